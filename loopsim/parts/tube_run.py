"""Tube runs, and the tube they are cut from."""

from collections.abc import Mapping
from typing import Any, ClassVar, Literal

from loopsim import elements
from loopsim.curves import Provenance
from loopsim.fields import FieldDescription, Record, choice, describe, number, points, text
from loopsim.geometry import Bend, Path, Spot
from loopsim.parts.base import ID_PATTERN, Port
from loopsim.parts.fitting import bore_ml
from loopsim.units import to_si

__all__ = ["Corner", "Tube", "TubeRun", "part_of"]

SHORTEST_MM = 0.1  # a run between ports that touch still is so long: it costs nothing, and its flow is known

Material = Literal["plastic", "rubber", "drawn copper or brass", "stainless steel", "glass", "acrylic"]

# Roughness of new, clean walls [um]: drawn tube and glass by Moody (1944); stainless steel, drawn plastic and smoothed
# rubber by the table in White, Fluid Mechanics, from memory. Acrylic tube as other plastic; drilled, it is rougher.
ROUGHNESS_UM: dict[Material, float] = {
    "plastic": 1.5,
    "rubber": 10.0,
    "drawn copper or brass": 1.5,
    "stainless steel": 2.0,
    "glass": 1.5,
    "acrylic": 1.5,
}


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
    material: Material = choice("material", "of the wall; its roughness follows from it", "plastic")
    roughness_um: float | None = number(
        "roughness", "of the inner wall, where it is known; empty: that of the material, new and clean", None, least=0.0
    )
    least_radius_mm: float = number("least radius", "smallest bend radius of the centre line", 40.0, least=0.0)
    elbow_bore_mm: float | None = number(
        "elbow bore",
        "inner diameter of its elbow fittings, less than the tube's if pushed in; empty: the same",
        None,
        above=0.0,
    )
    provenance: Provenance = Provenance(kind="table", source="handbook roughness of its material")
    relative_tolerance: float = number(
        "tolerance",
        "half width of the band of its drop, as a share; 0.15 is what 0.3 mm make of a bore of 10 mm, a guess",
        0.15,
        least=0.0,
        most=1.0,
    )

    @property
    def roughness(self) -> float:
        """Height of the wall's roughness, as given or by the material [m]."""
        return to_si(ROUGHNESS_UM[self.material] if self.roughness_um is None else self.roughness_um, "um")

    @classmethod
    def fields(cls) -> tuple[FieldDescription, ...]:
        """Fields that a builder edits, without the id."""
        return tuple(field for field in describe(cls) if field.name != "id")


class Corner(Record):
    """Where a run turns."""

    x_mm: float = number("x", "along the front edge")
    y_mm: float = number("y", "away from the front edge")
    height_mm: float = number("height", "middle of the tube above the floor", 20.0)
    turn: Literal["bend", "elbow", "mitre"] = choice(
        "turn", "a bend of the tube; an elbow fitting; or a mitre, cut and glued to a sharp corner", "bend"
    )

    @property
    def spot(self) -> Spot:
        """Its place."""
        return Spot(self.x_mm, self.y_mm, self.height_mm)


class TubeRun(Record):
    """Tube from port to port along a path with heights; bends and elbows come from the path."""

    title: ClassVar = "tube run"
    symbol: ClassVar = "tube_run"
    help: ClassVar = (
        "Tube from one port to another. Every corner is a bend of the tube, an elbow fitting or a mitre; the radius "
        "must not be smaller than the tube allows, or it kinks. Elbows count as screwed ones of standard radius, on "
        "the bore that the tube names for them."
    )

    id: str = text("id", "short name for files", pattern=ID_PATTERN)
    start: str = text("start", "part.port at which it begins")
    end: str = text("end", "part.port at which it ends")
    tube: str = text("tube", "id of the tube it is cut from")
    radius_mm: float = number("bend radius", "of the centre line at its bends", 40.0, least=0.0)
    flattening_percent: float = number(
        "flattening",
        "by how much its bends are flatter than round: what the short axis has lost of the bore; 0 to 10 is usual, a "
        "guess",
        0.0,
        least=0.0,
        most=60.0,
    )
    kinked_percent: float = number(
        "kink", "share of the bore's area that a kink closes, to see what one would do; 0 for none", 0.0,
        least=0.0, most=95.0,
    )  # fmt: skip
    corners: tuple[Corner, ...] = points("corners", "where it turns, from start to end", ())

    @property
    def part_ids(self) -> tuple[str, str]:
        """Of the parts that it joins, from start to end."""
        return part_of(self.start), part_of(self.end)

    @classmethod
    def fields(cls) -> tuple[FieldDescription, ...]:
        """Fields that a builder edits, without the id."""
        return tuple(field for field in describe(cls) if field.name != "id")

    def path(self, start: Spot, end: Spot) -> Path:
        """Its centre line between two port planes."""
        path: Path = self.keep("path", self._make_path, start, end)
        return path

    def _make_path(self, start: Spot, end: Spot) -> Path:
        radii = [self.radius_mm if corner.turn == "bend" else 0.0 for corner in self.corners]
        return Path([start, *(corner.spot for corner in self.corners), end], radii)

    def element(self, tube: Tube, path: Path, start: Port, end: Port) -> elements.Tube:
        """Wall friction, turns and ends of the run as an element."""
        made: elements.Tube = self.keep("element", self._make_element, tube, path, start, end)
        return made

    def _make_element(self, tube: Tube, path: Path, start: Port, end: Port) -> elements.Tube:
        """Wall friction, turns, a kink, and the losses at both ends where bores change or vessels open.

        Losses of a port are stated on the port's bore; here all are on the velocity in the tube.
        """
        turns = self.turns_loss(tube, path)
        along = turns.k + self.kink_loss
        forward = along + _end_loss(tube, start, leaving_part=True) + _end_loss(tube, end, leaving_part=False)
        reverse = along + _end_loss(tube, end, leaving_part=True) + _end_loss(tube, start, leaving_part=False)
        return elements.Tube(
            bore=to_si(tube.bore_mm, "mm"),
            length=to_si(max(path.length_mm, SHORTEST_MM), "mm"),
            roughness=tube.roughness,
            loss_coefficient=forward,
            reverse_loss_coefficient=reverse,
            laminar_coefficient=turns.k1,
        )

    @property
    def kink_loss(self) -> float:
        """Loss of a kink on the velocity in the tube: a sudden narrowing and widening again, an upper estimate."""
        open_share = 1 - to_si(self.kinked_percent, "percent")
        return (elements.narrowing_loss(open_share) + elements.widening_loss(open_share)) / open_share**2

    def turns_loss(self, tube: Tube, path: Path) -> elements.FittingLoss:
        """Loss of all corners of its path, on the velocity in the tube, beyond the friction of the centre line."""
        total = elements.FittingLoss()
        for bend in path.bends:
            total = total.with_more(self._turn_loss(tube, bend))
        return total

    def _turn_loss(self, tube: Tube, bend: Bend) -> elements.FittingLoss:
        bore = to_si(tube.bore_mm, "mm")
        turn = self.corners[bend.corner].turn
        if turn == "elbow":
            return _elbow_loss(tube, bend.angle_deg)
        if turn == "mitre":
            return elements.mitre_loss(bore, bend.angle_deg)
        flattening = to_si(self.flattening_percent, "percent")
        return elements.bend_loss(bore, bend.angle_deg, to_si(bend.radius_mm, "mm"), tube.roughness, flattening)

    @staticmethod
    def coolant_ml(tube: Tube, path: Path) -> float:
        """Coolant that the run holds [mL]."""
        return bore_ml(tube.bore_mm, path.length_mm)


def _elbow_loss(tube: Tube, angle_deg: float) -> elements.FittingLoss:
    """An elbow fitting in its own bore, with the changes of bore at both its ends, on the velocity in the tube."""
    bore_mm = tube.elbow_bore_mm or tube.bore_mm
    own = elements.elbow_loss(to_si(bore_mm, "mm"), angle_deg).on_other_bore(tube.bore_mm / bore_mm)
    ends = _bore_change(tube, bore_mm, into_tube=True) + _bore_change(tube, bore_mm, into_tube=False)
    return elements.FittingLoss(own.k + ends, own.k1)


def _end_loss(tube: Tube, port: Port, leaving_part: bool) -> float:
    """Loss at one end of a run, on the velocity in the tube: the port's own, and that of a change of bore."""
    tube_over_port = (tube.bore_mm / port.bore_mm) ** 2
    in_tube = tube_over_port**2  # from velocity heads of the port's bore to those of the tube's
    own = (port.out_loss if leaving_part else port.in_loss) * in_tube
    return own + _bore_change(tube, port.bore_mm, into_tube=leaving_part)


def _bore_change(tube: Tube, bore_mm: float, into_tube: bool) -> float:
    """Loss from another bore into the tube, or out of the tube into it, on the velocity in the tube."""
    narrow, wide = sorted((tube.bore_mm, bore_mm))
    share = (narrow / wide) ** 2
    widening = into_tube == (bore_mm < tube.bore_mm)
    change = elements.widening_loss(share) if widening else elements.narrowing_loss(share)
    return change * ((tube.bore_mm / bore_mm) ** 4 if bore_mm < tube.bore_mm else 1.0)


def part_of(name: str) -> str:
    """The part's id in the name of a port, ``"part.port"``, or of something inside it, ``"part/way"``."""
    return name.partition("/")[0].partition(".")[0]
