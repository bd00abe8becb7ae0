"""What tees and crosses share."""

from typing import ClassVar, Literal

from loopsim import elements
from loopsim.curves import Provenance
from loopsim.fields import choice, number
from loopsim.geometry import Spot
from loopsim.parts.base import FlowPath, Part, Port
from loopsim.parts.fitting import bore_ml, tolerance
from loopsim.units import to_si

__all__ = ["Branching"]

_SIDES = {"a": (-1, 0, 180.0), "b": (1, 0, 0.0), "c": (0, 1, 90.0), "d": (0, -1, 270.0)}
_MIDDLE = "middle"


class Branching(Part):
    """A fitting in which three or four runs meet, with losses that follow from how the flow divides."""

    leg_names: ClassVar[str]  # a and b in line, then those across
    law: ClassVar[type[elements.TeeLaw] | type[elements.CrossLaw]]

    length_mm: float = number("length", "of the outline, along the part's own x", 28.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 28.0, above=0.0)
    height_mm: float = number("height", "of the outline", 16.0, above=0.0)
    bore_mm: float = number("bore in line", "inner diameter of ports a and b", 10.0, above=0.0)
    branch_bore_mm: float = number("bore across", "inner diameter of the branch", 10.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 8.0, least=0.0)
    losses: Literal["as the flow divides", "constant per leg"] = choice(
        "losses", "by the published laws of tees, or one number that you know for yours", "as the flow divides"
    )
    leg_loss: float = number(
        "loss per leg",
        "in velocity heads of the leg's bore, each way, where it is constant; 0.6 is a guess",
        0.6,
        least=0.0,
        most=10.0,
    )
    provenance: Provenance = Provenance(kind="geometry", source="handbook laws of tees with sharp edges")
    relative_tolerance: float = tolerance(0.3)

    def make_ports(self) -> tuple[Port, ...]:
        """Legs a and b in line, the others across."""
        return tuple(self._port(name, *_SIDES[name]) for name in self.leg_names)

    def _port(self, name: str, x: int, y: int, facing_deg: float) -> Port:
        spot = Spot(x * self.length_mm / 2, y * self.width_mm / 2, self.port_height_mm)
        return Port(name, spot, facing_deg, self._bore_of(name))

    def _bore_of(self, leg: str) -> float:
        return self.bore_mm if leg in "ab" else self.branch_bore_mm

    @property
    def inner_nodes(self) -> dict[str, Spot]:
        """Where the legs meet."""
        return {_MIDDLE: Spot(0.0, 0.0, self.port_height_mm)}

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """One leg from each port to the middle."""
        return tuple(FlowPath(name, name, _MIDDLE, self._leg(name)) for name in self.leg_names)

    def _leg(self, name: str) -> elements.Leg:
        bore = to_si(self._bore_of(name), "mm")
        if self.losses == "constant per leg":
            return elements.Leg(bore, self.leg_loss, self.leg_loss)
        return elements.Leg(bore)

    @property
    def idle_fields(self) -> frozenset[str]:
        """The constant loss, where the flows decide."""
        return frozenset() if self.losses == "constant per leg" else frozenset({"leg_loss"})

    @property
    def meeting_law(self) -> elements.MeetingLaw | None:
        """How its legs' losses follow from the flows; None where they are constant."""
        if self.losses == "constant per leg":
            return None
        return self.law(to_si(self.bore_mm, "mm"), to_si(self.branch_bore_mm, "mm"))

    @property
    def coolant_ml(self) -> float:
        """Coolant in the legs, as straight bores from the middle [mL]."""
        reach = {"a": self.length_mm, "b": self.length_mm, "c": self.width_mm, "d": self.width_mm}
        return sum(bore_ml(self._bore_of(name), reach[name] / 2) for name in self.leg_names)
