"""Check valve."""

from typing import ClassVar, Literal

from loopsim import elements
from loopsim.curves import Provenance
from loopsim.fields import choice, number
from loopsim.parts.base import FlowPath, Part, Port, two_ports
from loopsim.parts.fitting import bore_ml, tolerance
from loopsim.units import to_si

__all__ = ["CheckValve"]


class CheckValve(Part):
    """Lets liquid through from inlet to outlet only, apart from a small leak."""

    title: ClassVar = "check valve"
    symbol: ClassVar = "check_valve"
    help: ClassVar = (
        "Keeps liquid from running back, as through a stopped pump beside a running one. It costs pressure all the "
        "time: the spring asks for its cracking pressure, and near it the disc may chatter. Take both numbers from "
        "the maker's sheet."
    )
    one_way: ClassVar = True

    kind: Literal["check_valve"] = "check_valve"
    length_mm: float = number("length", "of the outline, along the part's own x", 45.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 20.0, above=0.0)
    height_mm: float = number("height", "of the outline", 20.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 10.0, least=0.0)
    kv_m3_h: float = number(
        "Kv", "flow of water at 1 bar with the valve open; 1.2 is a guess: some 12 velocity heads of a 10 mm bore", 1.2,
        above=0.0,
    )  # fmt: skip
    cracking_kpa: float = number(
        "cracking pressure",
        "at which it begins to open; light springs 0.5 to 3.5, 0.7 is a guess",
        0.7,
        above=0.0,
    )
    full_open_factor: float = number(
        "fully open at", "so many times its cracking pressure across it; below, it may chatter; 2 is a guess", 2.0,
        above=1.0, most=100.0,
    )  # fmt: skip
    leak_share: float = number(
        "leak", "Kv of the shut valve over that of the open one; a guess", 1e-4, above=0.0, most=0.5
    )
    stuck: Literal["no", "open", "shut"] = choice(
        "stuck", "held open both ways, or shut, by dirt or a broken spring: to see what that would do", "no"
    )
    provenance: Provenance = Provenance(kind="guess", source="usual disc check valve of 10 mm bore with a light spring")
    relative_tolerance: float = tolerance(0.5)

    def make_ports(self) -> tuple[Port, ...]:
        """Inlet and outlet in line."""
        return two_ports(self, ("inlet", "outlet"), "both ends")

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """One way from inlet to outlet; stuck open it is a plain valve, stuck shut no way at all."""
        if self.stuck == "shut":
            return ()
        if self.stuck == "open":
            return (FlowPath("", "inlet", "outlet", elements.Valve(self.kv_m3_h)),)
        cracking, leak = to_si(self.cracking_kpa, "kpa"), self.leak_share * self.kv_m3_h
        valve = elements.CheckValve(self.kv_m3_h, cracking, leak, self.full_open_factor)
        return (FlowPath("", "inlet", "outlet", valve),)

    @property
    def coolant_ml(self) -> float:
        """Coolant in the straight bore [mL]."""
        return bore_ml(self.bore_mm, self.length_mm)
