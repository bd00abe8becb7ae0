"""Elbow fitting."""

import math
from typing import ClassVar, Literal

from loopsim import elements
from loopsim.curves import Provenance
from loopsim.fields import choice, number
from loopsim.geometry import Spot
from loopsim.parts.base import FlowPath, Part, Port
from loopsim.parts.fitting import bore_ml, tolerance
from loopsim.parts.inner import Inside, shared_out, straight
from loopsim.units import to_si

__all__ = ["Elbow"]

_ANGLE = {"90 degrees": 90.0, "45 degrees": 45.0}


class Elbow(Part):
    """A sharp turn between two ports."""

    title: ClassVar = "elbow"
    symbol: ClassVar = "elbow"
    help: ClassVar = (
        "A fitting that turns the line. It loses K + K1/Re velocity heads of its bore: K is what handbooks print, K1 "
        "counts at low flow and in thick coolant. From the angle both are estimates for a sharp inner edge; a drilled "
        "fitting on the maker's sheet, or measured, is stated. Elbows within a tube run are corners of that run."
    )

    kind: Literal["elbow"] = "elbow"
    length_mm: float = number("length", "of the outline, along the part's own x", 40.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 40.0, above=0.0)
    height_mm: float = number("height", "of the outline", 18.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 9.0, least=0.0)
    angle: Literal["90 degrees", "45 degrees"] = choice("angle", "by which it turns the line", "90 degrees")
    loss_from: Literal["angle", "stated"] = choice(
        "loss from", "estimated from its angle, or the two values stated below", "angle"
    )
    loss: float = number(
        "loss K", "where stated: velocity heads in turbulent flow; sharp about 1.2", 1.2, least=0.0, most=20.0
    )
    laminar_loss: float = number(
        "laminar loss K1", "where stated: share of the loss that goes with 1/Re; about 1000", 1000.0, least=0.0
    )
    provenance: Provenance = Provenance(kind="guess", source="handbook law for a sharp mitre")
    relative_tolerance: float = tolerance(0.3)

    def make_ports(self) -> tuple[Port, ...]:
        """Port a at the near end, b where the turn to the left leads."""
        if self.angle == "90 degrees":
            far, facing = Spot(0.0, self.width_mm / 2, self.port_height_mm), 90.0
        else:
            reach = math.sqrt(0.5) * min(self.length_mm, self.width_mm) / 2
            far, facing = Spot(reach, reach, self.port_height_mm), 45.0
        return (
            Port("a", Spot(-self.length_mm / 2, 0.0, self.port_height_mm), 180.0, self.bore_mm),
            Port("b", far, facing, self.bore_mm),
        )

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """Two short legs and the turn between them."""
        k, k1 = self.coefficients
        bore, length = to_si(self.bore_mm, "mm"), to_si(self.leg_length_mm, "mm")
        return (FlowPath("", "a", "b", elements.Tube(bore, length, loss_coefficient=k, laminar_coefficient=k1)),)

    def make_inside(self) -> Inside:
        """Two legs that meet at the corner."""
        places = {"corner": Spot(0.0, 0.0, self.port_height_mm)}
        paths = [straight(name, "corner", self.bore_mm) for name in self.ports]
        spots = places | {name: port.spot for name, port in self.ports.items()}
        return Inside(shared_out(paths, spots, self.coolant_ml), places)

    @property
    def idle_fields(self) -> frozenset[str]:
        """The stated losses, where the angle decides."""
        return frozenset() if self.loss_from == "stated" else frozenset({"loss", "laminar_loss"})

    @property
    def coefficients(self) -> tuple[float, float]:
        """K and K1 of the turn: as stated, or those of a mitre, see `loopsim.elements.mitre_loss`."""
        if self.loss_from == "stated":
            return self.loss, self.laminar_loss
        return elements.mitre_loss(to_si(self.bore_mm, "mm"), _ANGLE[self.angle])

    @property
    def leg_length_mm(self) -> float:
        """Length of its centre line, from port to port."""
        middle = Spot(0.0, 0.0, self.port_height_mm)
        return sum(math.dist(port.spot, middle) for port in self.ports.values())

    @property
    def coolant_ml(self) -> float:
        """Coolant in its two legs [mL]."""
        return bore_ml(self.bore_mm, self.leg_length_mm)
