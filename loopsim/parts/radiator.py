"""Radiator, liquid side."""

from typing import Any, ClassVar, Literal

from loopsim.curves import DropCurve, DropPoint, Provenance
from loopsim.fields import choice, number, points
from loopsim.parts.base import FlowPath, Part, Port, restriction, two_ports

__all__ = ["Radiator"]

TYPICAL_DROP = DropCurve(
    points=tuple(DropPoint(flow_l_h=flow, dp_kpa=dp) for flow, dp in ((60, 0.25), (120, 0.85), (180, 1.8), (240, 3.0))),
    provenance=Provenance(kind="guess", source="typical slim radiator, flat tubes, one pass"),
    relative_tolerance=0.25,
)


def _of_core(length: float, volume: float, *drops: float) -> dict[str, Any]:
    """Both ports at one end: the liquid goes there through one half of the tubes and back through the other."""
    return {
        "length_mm": length + 40.0,
        "width_mm": 120.0,
        "height_mm": 30.0,
        "ports_at": "one end",
        "port_spacing_mm": 60.0,
        "port_height_mm": 15.0,
        "volume_ml": volume,
        "drop": DropCurve(
            points=tuple(DropPoint(flow_l_h=f, dp_kpa=dp) for f, dp in zip((60, 120, 180, 240), drops, strict=True)),
            provenance=Provenance(kind="guess", source=f"usual slim core of {length:g} mm, there and back"),
            relative_tolerance=0.4,
        ),
    }


# By the length of the core, 120 mm wide; guesses with a wide band, most of the drop being that of the end tanks.
_CLASSES: dict[str, dict[str, Any]] = {
    "120 mm": _of_core(120.0, 60.0, 0.30, 1.0, 2.05, 3.4),
    "240 mm": _of_core(240.0, 105.0, 0.38, 1.28, 2.6, 4.3),
    "360 mm": _of_core(360.0, 150.0, 0.46, 1.55, 3.15, 5.2),
}


class Radiator(Part):
    """Flat tubes and fins between two end tanks."""

    title: ClassVar = "radiator"
    symbol: ClassVar = "radiator"
    help: ClassVar = (
        "Sheds the heat to the air. Its liquid side costs little pressure as long as the tubes are not clogged; take "
        "the drop from the maker's sheet or measure it."
    )
    classes: ClassVar = _CLASSES

    kind: Literal["radiator"] = "radiator"
    length_mm: float = number("length", "of the outline, along the part's own x", 400.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 55.0, above=0.0)
    height_mm: float = number("height", "of the outline", 55.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    ports_at: Literal["both ends", "one end"] = choice("ports", "at both ends, or side by side at one", "both ends")
    port_spacing_mm: float = number("port spacing", "between the ports, where both are at one end", 30.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 27.0, least=0.0)
    volume_ml: float = number("volume", "coolant inside", 120.0, least=0.0)
    drop: DropCurve = points("pressure drop", "drop against flow, port to port", TYPICAL_DROP)

    def make_ports(self) -> tuple[Port, ...]:
        """Two ports, alike in both directions."""
        return two_ports(self, ("a", "b"), self.ports_at)

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """One restriction from port to port."""
        return (FlowPath("", "a", "b", restriction(self.drop)),)

    @property
    def coolant_ml(self) -> float:
        """Coolant that it holds [mL]."""
        return self.volume_ml
