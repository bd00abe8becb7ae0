"""Dry-break coupling."""

from typing import ClassVar, Literal

from loopsim.curves import DropCurve, drop_curve_from_kv
from loopsim.fields import number, points
from loopsim.parts.base import FlowPath, Part, Port, restriction, two_ports
from loopsim.parts.fitting import bore_ml

__all__ = ["QuickDisconnect"]

TYPICAL_DROP = drop_curve_from_kv(0.8, relative_tolerance=0.3)


class QuickDisconnect(Part):
    """A coupling that shuts both ends when it is pulled apart."""

    title: ClassVar = "dry-break coupling"
    symbol: ClassVar = "quick_disconnect"
    help: ClassVar = (
        "Two halves with a valve in each, so that the line can be parted wet. It costs far more pressure than its "
        "bore suggests: take the drop of the mated pair, or its Kv, from the maker's sheet. The default is the square "
        "law of a Kv of 0.8 m³/h, a guess. Part it only with the pumps off and no pressure in the loop."
    )

    kind: Literal["quick_disconnect"] = "quick_disconnect"
    length_mm: float = number("length", "of the outline of the mated pair, along its own x", 70.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 24.0, above=0.0)
    height_mm: float = number("height", "of the outline", 24.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 12.0, least=0.0)
    spill_ml: float = number("spill", "coolant lost each time it is parted; a guess", 0.3, least=0.0)
    drop: DropCurve = points("pressure drop", "of the mated pair against flow, port to port", TYPICAL_DROP)

    def make_ports(self) -> tuple[Port, ...]:
        """Socket and plug in line."""
        return two_ports(self, ("socket", "plug"), "both ends")

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """One restriction through the mated pair."""
        return (FlowPath("", "socket", "plug", restriction(self.drop)),)

    @property
    def coolant_ml(self) -> float:
        """Coolant in its bore, of which the valves take up about half [mL]."""
        return bore_ml(self.bore_mm, self.length_mm) / 2
