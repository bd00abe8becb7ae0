"""Tube runs, and the tube they are cut from."""

import math
from collections.abc import Mapping, Sequence
from functools import cached_property, lru_cache
from typing import Any, ClassVar, Literal

from loopsim import elements
from loopsim.curves import Provenance
from loopsim.fields import FieldDescription, Record, choice, describe, number, points, text
from loopsim.geometry import Bend, Path, Spot
from loopsim.parts.base import ID_PATTERN, Port
from loopsim.parts.fitting import bore_ml
from loopsim.units import to_si

__all__ = ["Corner", "Tube", "TubeRun"]

_REYNOLDS_OF_BENDS = 1e4  # bend losses are tabulated for turbulent flow; the friction factor in them is taken here


def _soft(bore_mm: float, outer_mm: float, least_radius_mm: float) -> dict[str, Any]:
    size = f"{bore_mm:g}/{outer_mm:g}"
    return {
        "bore_mm": bore_mm,
        "outer_mm": outer_mm,
        "least_radius_mm": least_radius_mm,
        "provenance": Provenance(kind="guess", source=f"usual soft tube {size}; its least radius is a guess"),
    }


# Usual sizes of soft tube, bore and outside; a thin wall kinks early.
_SIZES: dict[str, dict[str, Any]] = {
    "6/8": _soft(6.0, 8.0, 35.0),
    "8/11": _soft(8.0, 11.0, 35.0),
    "10/13": _soft(10.0, 13.0, 40.0),
    "10/16": _soft(10.0, 16.0, 35.0),
    "13/16": _soft(13.0, 16.0, 70.0),
    "13/19": _soft(13.0, 19.0, 55.0),
}


class Tube(Record):
    """Tube as it is bought: what every run cut from it shares."""

    classes: ClassVar[Mapping[str, Mapping[str, Any]]] = _SIZES

    id: str = text("id", "short name for files", pattern=ID_PATTERN)
    name: str = text("name", "what you call it")
    bore_mm: float = number("bore", "inner diameter", 10.0, above=0.0)
    outer_mm: float = number("outside", "outer diameter", 13.0, above=0.0)
    roughness_um: float = number("roughness", "of the inner wall; drawn tube and plastic about 1.5", 1.5, least=0.0)
    least_radius_mm: float = number("least radius", "smallest bend radius of the centre line", 40.0, least=0.0)
    provenance: Provenance = Provenance(kind="table", source="usual wall of plastic tube")

    @classmethod
    def fields(cls) -> tuple[FieldDescription, ...]:
        """Fields that a builder edits, without the id."""
        return tuple(field for field in describe(cls) if field.name != "id")


class Corner(Record):
    """Where a run turns."""

    x_mm: float = number("x", "along the front edge")
    y_mm: float = number("y", "away from the front edge")
    height_mm: float = number("height", "middle of the tube above the floor", 20.0)
    turn: Literal["bend", "elbow"] = choice("turn", "a bend of the tube, or a sharp elbow fitting", "bend")

    @property
    def spot(self) -> Spot:
        """Its place."""
        return Spot(self.x_mm, self.y_mm, self.height_mm)


class TubeRun(Record):
    """Tube from port to port along a path with heights; bends and elbows come from the path."""

    title: ClassVar = "tube run"
    symbol: ClassVar = "tube_run"
    help: ClassVar = (
        "Tube from one port to another. Every corner is a bend of the tube or an elbow fitting; the radius must not be "
        "smaller than the tube allows, or it kinks."
    )

    id: str = text("id", "short name for files", pattern=ID_PATTERN)
    start: str = text("start", "part.port at which it begins")
    end: str = text("end", "part.port at which it ends")
    tube: str = text("tube", "id of the tube it is cut from")
    radius_mm: float = number("bend radius", "of the centre line at its bends", 40.0, least=0.0)
    corners: tuple[Corner, ...] = points("corners", "where it turns, from start to end", ())

    @classmethod
    def fields(cls) -> tuple[FieldDescription, ...]:
        """Fields that a builder edits, without the id."""
        return tuple(field for field in describe(cls) if field.name != "id")

    def path(self, start: Spot, end: Spot) -> Path:
        """Its centre line between two port planes."""
        path = self.last_path.get((start, end))
        if path is None:
            radii = [self.radius_mm if corner.turn == "bend" else 0.0 for corner in self.corners]
            path = Path([start, *(corner.spot for corner in self.corners), end], radii)
            self.last_path.clear()
            self.last_path[start, end] = path
        return path

    @cached_property
    def last_path(self) -> dict[tuple[Spot, Spot], Path]:
        """The path last worked out: one drawing is solved, checked and drawn between the same ports."""
        return {}

    def element(self, tube: Tube, path: Path, start: Port, end: Port) -> elements.Tube:
        """Wall friction, bends, and the losses at both ends where bores change or vessels open.

        Losses of a port are stated on the port's bore; here all are on the velocity in the tube.
        """
        bends = bend_loss(path.bends, tube)
        forward = bends + _end_loss(tube, start, leaving_part=True) + _end_loss(tube, end, leaving_part=False)
        reverse = bends + _end_loss(tube, end, leaving_part=True) + _end_loss(tube, start, leaving_part=False)
        return elements.Tube(
            bore=to_si(tube.bore_mm, "mm"),
            length=to_si(path.length_mm, "mm"),
            roughness=to_si(tube.roughness_um, "um"),
            loss_coefficient=forward,
            reverse_loss_coefficient=reverse,
        )

    @staticmethod
    def coolant_ml(tube: Tube, path: Path) -> float:
        """Coolant that the run holds [mL]."""
        return bore_ml(tube.bore_mm, path.length_mm)


def bend_loss(bends: Sequence[Bend], tube: Tube) -> float:
    """Sum of the loss coefficients of a path's corners, beyond the friction of their centre line.

    References
    ----------
    Rennels and Hudson, Pipe Flow (2012), rounded and mitred bends, as in the `fluids` library.
    """
    return sum(_loss_of_bend(bend.angle_deg, bend.radius_mm, tube.bore_mm, tube.roughness_um) for bend in bends)


@lru_cache(maxsize=4096)  # most corners of a drawing are quarter turns of one radius
def _loss_of_bend(angle_deg: float, radius_mm: float, bore_mm: float, roughness_um: float) -> float:
    from fluids.fittings import bend_miter, bend_rounded  # on first use, it loads slowly

    bore = to_si(bore_mm, "mm")
    if radius_mm < bore_mm / 2:
        return float(bend_miter(angle=angle_deg, Di=bore, method="Rennels"))
    f = float(elements.friction_factor(_REYNOLDS_OF_BENDS, to_si(roughness_um, "um") / bore))
    whole = bend_rounded(Di=bore, angle=angle_deg, fd=f, rc=to_si(radius_mm, "mm"), method="Rennels")
    return float(whole) - f * math.radians(angle_deg) * radius_mm / bore_mm  # the length already counts the wall


def _end_loss(tube: Tube, port: Port, leaving_part: bool) -> float:
    """Loss at one end of a run, on the velocity in the tube: the port's own, and that of a change of bore."""
    tube_over_port = (tube.bore_mm / port.bore_mm) ** 2
    in_tube = tube_over_port**2  # from velocity heads of the port's bore to those of the tube's
    own = (port.out_loss if leaving_part else port.in_loss) * in_tube
    narrow, wide = sorted((tube.bore_mm, port.bore_mm))
    share = (narrow / wide) ** 2
    widening = leaving_part == (port.bore_mm < tube.bore_mm)
    change = elements.widening_loss(share) if widening else elements.narrowing_loss(share)
    return own + change * (in_tube if port.bore_mm < tube.bore_mm else 1.0)
