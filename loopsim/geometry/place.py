"""Places: a part's own axes and the enclosure's."""

import math
from dataclasses import dataclass
from typing import NamedTuple

__all__ = ["Outline", "Place", "Spot"]


class Spot(NamedTuple):
    """A point in plan with its height [mm]."""

    x_mm: float
    y_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Place:
    """Where a part stands: the middle of its outline, the height of its underside, its rotation."""

    x_mm: float
    y_mm: float
    height_mm: float = 0.0
    rotation_deg: float = 0.0

    def spot(self, own: Spot) -> Spot:
        """A point given in the part's own axes, in the enclosure's."""
        cos, sin = _cos_sin(self.rotation_deg)
        return Spot(
            self.x_mm + cos * own.x_mm - sin * own.y_mm,
            self.y_mm + sin * own.x_mm + cos * own.y_mm,
            self.height_mm + own.height_mm,
        )

    def facing(self, own_deg: float) -> float:
        """A direction given in the part's own axes, in the enclosure's, 0 to 360 degrees."""
        return (own_deg + self.rotation_deg) % 360.0


@dataclass(frozen=True, slots=True)
class Outline:
    """The box that a part takes up, in its own axes around its middle."""

    length_mm: float  # along its own x
    width_mm: float  # along its own y
    height_mm: float

    def corners(self, place: Place) -> list[Spot]:
        """The four corners of its underside in the enclosure's axes, counter-clockwise."""
        x, y = self.length_mm / 2, self.width_mm / 2
        return [place.spot(Spot(a, b, 0.0)) for a, b in ((-x, -y), (x, -y), (x, y), (-x, y))]


def _cos_sin(angle_deg: float) -> tuple[float, float]:
    """Cosine and sine, exact at quarter turns: parts turned by 90 degrees must line up to the last digit."""
    quarters, rest = divmod(angle_deg, 90.0)
    if rest == 0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    radians = math.radians(angle_deg)
    return math.cos(radians), math.sin(radians)
