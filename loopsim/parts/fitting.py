"""What fittings share: a capped opening, holes in the sides, losses at ports, a band."""

import math
from dataclasses import replace
from typing import Any, ClassVar, Literal

from loopsim.curves import Provenance
from loopsim.fields import Record, choice, number, text
from loopsim.geometry import Spot
from loopsim.parts.base import ID_PATTERN, Part, Port, two_ports
from loopsim.parts.inner import Inside, shared_out, straight

__all__ = ["CappedTee", "SidePort", "bore_ml", "circuit_coolant", "in_side", "tolerance", "with_loss"]

Side = Literal["left", "right", "front", "back"]


class SidePort(Record):
    """A hole in a side of a home-made vessel or plate."""

    name: str = text("port", "short name, small letters, digits and _", pattern=ID_PATTERN)
    side: Side = choice("side", "the side it goes through", "left")
    offset_mm: float = number("offset", "from the middle of the side, towards the right or the back", 0.0)
    height_mm: float = number("height", "middle of the hole above the underside", 12.0, least=0.0)
    bore_mm: float = number("bore", "inner diameter", 10.0, above=0.0)


def tolerance(default: float) -> Any:
    """Field for the band of a part known by single numbers instead of a curve."""
    return number(
        "tolerance", "half width of the band of its losses, as a share: 0.3 is ±30 %", default, least=0.0, most=1.0
    )


def circuit_coolant() -> Any:
    """Field by which a vessel says what fills its circuit."""
    return text("coolant", "id of the coolant that fills its circuit; empty: the build's first", None)


class CappedTee(Part):
    """A tee whose third leg is capped: liquid runs straight through, the cap is opened for service only."""

    family: ClassVar = "filling and draining"

    length_mm: float = number("length", "of the outline, along the part's own x", 34.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 18.0, above=0.0)
    height_mm: float = number("height", "of the outline", 34.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 9.0, least=0.0)
    opening_height_mm: float = number("opening height", "of the opening under the cap, above the underside", least=0.0)
    leg_loss: float = number(
        "loss per leg", "straight on, in velocity heads of the bore; a guess", 0.1, least=0.0, most=10.0
    )
    provenance: Provenance = Provenance(kind="guess", source="straight run of a tee")
    relative_tolerance: float = tolerance(0.5)

    def make_ports(self) -> tuple[Port, ...]:
        """Two ports in line; the capped leg is none."""
        first, second = two_ports(self, ("a", "b"), "both ends")
        return with_loss(first, self.leg_loss), with_loss(second, self.leg_loss)

    @property
    def opening(self) -> Spot:
        """Middle of the opening under the cap."""
        return Spot(0.0, 0.0, self.opening_height_mm)

    def make_inside(self) -> Inside:
        """Straight through, and the capped leg up or down to its opening."""
        places = {"middle": Spot(0.0, 0.0, self.port_height_mm), "opening": self.opening}
        ends = ("a", "b", "opening")
        paths = [straight(end, "middle", self.bore_mm) for end in ends]
        spots = places | {name: port.spot for name, port in self.ports.items()}
        return Inside(shared_out(paths, spots, self.coolant_ml), places, {"opening": "capped"})

    @property
    def merges_ports(self) -> bool:
        """Both ports and the capped leg are one body of liquid."""
        return True

    @property
    def coolant_ml(self) -> float:
        """Coolant in the straight bore and in the capped leg [mL]."""
        return bore_ml(self.bore_mm, self.length_mm + abs(self.opening_height_mm - self.port_height_mm))


def with_loss(port: Port, loss: float) -> Port:
    """The same port with one loss each way, in velocity heads of its bore."""
    return replace(port, out_loss=loss, in_loss=loss)


def bore_ml(bore_mm: float, length_mm: float) -> float:
    """Volume of a straight bore [mL]."""
    return math.pi / 4 * bore_mm**2 * length_mm / 1000.0


def in_side(part: Part, hole: SidePort) -> tuple[Spot, float]:
    """Place and facing of a hole in one of the sides of a part's outline."""
    x, y = part.length_mm / 2, part.width_mm / 2
    return {
        "left": (Spot(-x, hole.offset_mm, hole.height_mm), 180.0),
        "right": (Spot(x, hole.offset_mm, hole.height_mm), 0.0),
        "front": (Spot(hole.offset_mm, -y, hole.height_mm), 270.0),
        "back": (Spot(hole.offset_mm, y, hole.height_mm), 90.0),
    }[hole.side]
