"""Cold plate on a component."""

from typing import Any, ClassVar, Literal

from loopsim.curves import DropCurve, DropPoint, Provenance
from loopsim.fields import choice, number, points
from loopsim.parts.base import FlowPath, Part, Port, restriction, two_ports

__all__ = ["Block"]

TYPICAL_DROP = DropCurve(
    points=tuple(DropPoint(flow_l_h=flow, dp_kpa=dp) for flow, dp in ((60, 1.0), (120, 3.4), (180, 7.1), (240, 12.1))),
    provenance=Provenance(kind="guess", source="typical cold plate with fine fins"),
    relative_tolerance=0.25,
)


def _guessed(of: str, *rows: tuple[float, float]) -> DropCurve:
    return DropCurve(
        points=tuple(DropPoint(flow_l_h=flow, dp_kpa=dp) for flow, dp in rows),
        provenance=Provenance(kind="guess", source=f"usual {of}"),
        relative_tolerance=0.4,
    )


# Usual sizes, all guesses with a wide band: fins as fine as hair on a processor, wider ones over a whole board.
_CLASSES: dict[str, dict[str, Any]] = {
    "processor": {
        "length_mm": 90.0,
        "width_mm": 60.0,
        "load_w": 150.0,
        "volume_ml": 15.0,
        "drop": _guessed("block on a processor, fine fins", (60, 1.2), (120, 4.0), (180, 8.2), (240, 13.8)),
    },
    "graphics": {
        "length_mm": 220.0,
        "width_mm": 110.0,
        "ports_at": "one end",
        "port_height_mm": 15.0,
        "load_w": 250.0,
        "volume_ml": 45.0,
        "drop": _guessed("block over a whole graphics board", (60, 0.7), (120, 2.3), (180, 4.7), (240, 7.9)),
    },
}


class Block(Part):
    """A cold plate: coolant in, coolant out, heat from the component under it."""

    title: ClassVar = "block"
    symbol: ClassVar = "block"
    help: ClassVar = (
        "A cold plate on a hot component. Its fine channels are usually the largest resistance of the loop. Take "
        "pressure drop points from the maker's sheet, or measure with two pressure taps and a bucket."
    )
    classes: ClassVar = _CLASSES

    kind: Literal["block"] = "block"
    length_mm: float = number("length", "of the outline, along the part's own x", 80.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 60.0, above=0.0)
    height_mm: float = number("height", "of the outline", 25.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    ports_at: Literal["both ends", "one end"] = choice("ports", "at both ends, or side by side at one", "both ends")
    port_spacing_mm: float = number("port spacing", "between the ports, where both are at one end", 25.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 18.0, least=0.0)
    load_w: float = number("heat", "heat that the component gives to the coolant", 100.0, least=0.0)
    volume_ml: float = number("volume", "coolant inside", 20.0, least=0.0)
    drop: DropCurve = points("pressure drop", "drop against flow, port to port", TYPICAL_DROP)

    def make_ports(self) -> tuple[Port, ...]:
        """Two ports, alike in both directions."""
        return two_ports(self, ("inlet", "outlet"), self.ports_at)

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """One restriction from inlet to outlet."""
        return (FlowPath("", "inlet", "outlet", restriction(self.drop)),)

    @property
    def heat_w(self) -> float:
        """Heat that the part puts into the coolant [W]."""
        return self.load_w

    @property
    def coolant_ml(self) -> float:
        """Coolant that it holds [mL]."""
        return self.volume_ml
