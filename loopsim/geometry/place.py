"""Places: a part's own axes and the enclosure's."""

import math
from dataclasses import dataclass
from typing import Literal, NamedTuple

__all__ = ["Lie", "Outline", "Place", "Spot"]

Lie = Literal["flat", "on edge", "ports up"]


class Spot(NamedTuple):
    """A point in plan with its height [mm]."""

    x_mm: float
    y_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Outline:
    """The box that a part takes up, in its own axes around its middle."""

    length_mm: float  # along its own x
    width_mm: float  # along its own y
    height_mm: float

    def lying(self, lie: Lie) -> "Outline":
        """The box as the part lies: on edge its width stands up, with the ports up its length."""
        if lie == "on edge":
            return Outline(self.length_mm, self.height_mm, self.width_mm)
        if lie == "ports up":
            return Outline(self.height_mm, self.width_mm, self.length_mm)
        return self

    def corners(self, place: "Place") -> list[Spot]:
        """The four corners of its underside, as it lies, in the enclosure's axes, counter-clockwise."""
        lying = self.lying(place.lie)
        x, y = lying.length_mm / 2, lying.width_mm / 2
        return [place.in_plan(Spot(a, b, 0.0)) for a, b in ((-x, -y), (x, -y), (x, y), (-x, y))]


_POINT = Outline(0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Place:
    """Where and how a part stands.

    A part is mirrored first, left to right across its own x, then tipped about its own axes, then turned in plan.

    Attributes
    ----------
    x_mm, y_mm : float
        Middle of its outline in plan, as it lies.
    height_mm : float
        Of its underside, as it lies.
    rotation_deg : float
        In plan, counter-clockwise.
    lie : str
        ``"flat"``; ``"on edge"``: tipped about its own x, its left side (own y) up; ``"ports up"``: tipped about its
        own y, its near end (where own x is least, and where ports at one end are) up.
    mirrored : bool
        True for its mirror image: what was left is right.
    outline : Outline
        Its box while it lies flat; needed where it lies otherwise.
    """

    x_mm: float
    y_mm: float
    height_mm: float = 0.0
    rotation_deg: float = 0.0
    lie: Lie = "flat"
    mirrored: bool = False
    outline: Outline = _POINT

    @property
    def turn(self) -> tuple[float, float]:
        """Cosine and sine of the rotation."""
        return _cos_sin(self.rotation_deg)

    def spot(self, own: Spot) -> Spot:
        """A point given in the part's own axes (middle of the underside, lying flat), in the enclosure's."""
        x, y, z = own
        y = -y if self.mirrored else y
        if self.lie == "on edge":
            return self.in_plan(Spot(x, self.outline.height_mm / 2 - z, y + self.outline.width_mm / 2))
        if self.lie == "ports up":
            return self.in_plan(Spot(z - self.outline.height_mm / 2, y, self.outline.length_mm / 2 - x))
        return self.in_plan(Spot(x, y, z))

    def in_plan(self, lying: Spot) -> Spot:
        """A point given about the middle of the underside of the part as it lies, in the enclosure's axes."""
        cos, sin = self.turn
        return Spot(
            self.x_mm + cos * lying.x_mm - sin * lying.y_mm,
            self.y_mm + sin * lying.x_mm + cos * lying.y_mm,
            self.height_mm + lying.height_mm,
        )

    def direction(self, own_deg: float) -> Spot:
        """A direction in the plane of the part's underside, lying flat, as a step of 1 mm in the enclosure's axes."""
        cos, sin = _cos_sin(-own_deg if self.mirrored else own_deg)
        tipped = {"flat": (cos, sin, 0.0), "on edge": (cos, 0.0, sin), "ports up": (0.0, sin, -cos)}[self.lie]
        turn_cos, turn_sin = self.turn
        x, y, z = tipped
        return Spot(turn_cos * x - turn_sin * y, turn_sin * x + turn_cos * y, z)

    def facing(self, own_deg: float) -> float:
        """The same direction in plan, 0 to 360 degrees; one that leads straight up or down is the part's own x."""
        if self.lie == "flat":
            return ((-own_deg if self.mirrored else own_deg) + self.rotation_deg) % 360.0
        x, y, _ = self.direction(own_deg)
        if math.hypot(x, y) < 1e-9:
            return self.rotation_deg % 360.0
        return math.degrees(math.atan2(y, x)) % 360.0


def _cos_sin(angle_deg: float) -> tuple[float, float]:
    """Cosine and sine, exact at quarter turns: parts turned by 90 degrees must line up to the last digit."""
    quarters, rest = divmod(angle_deg, 90.0)
    if rest == 0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    radians = math.radians(angle_deg)
    return math.cos(radians), math.sin(radians)
