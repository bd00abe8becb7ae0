"""Filter."""

from typing import ClassVar, Literal

from loopsim.curves import DropCurve, DropPoint, Provenance
from loopsim.fields import number, points
from loopsim.geometry import Spot
from loopsim.parts.base import FlowPath, Part, Port, clogging_factor, restriction, two_ports
from loopsim.parts.inner import Inside, bowl

__all__ = ["Filter"]

TYPICAL_DROP = DropCurve(
    points=tuple(
        DropPoint(flow_l_h=flow, dp_kpa=dp)
        for flow, dp in ((60, 0.15), (120, 0.45), (180, 0.9), (240, 1.5), (360, 3.2))
    ),
    provenance=Provenance(kind="guess", source="typical in-line filter with a steel mesh, clean"),
    relative_tolerance=0.3,
)

_WALL_MM = 2.0  # of the bowl, a guess


class Filter(Part):
    """A mesh in the line. The more of it is clogged, the more it costs."""

    title: ClassVar = "filter"
    symbol: ClassVar = "filter"
    help: ClassVar = (
        "Keeps debris from the fine channels of the blocks. Take the drop of the clean filter from the maker's sheet "
        "or measure it. Clogging is the share of the mesh that is shut: the drop is that of the clean one over "
        "(1 - share)², as all liquid then squeezes through what is left; an estimate."
    )
    one_way: ClassVar = True

    kind: Literal["filter"] = "filter"
    length_mm: float = number("length", "of the outline, along the part's own x", 70.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 40.0, above=0.0)
    height_mm: float = number("height", "of the outline", 40.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 20.0, least=0.0)
    volume_ml: float = number("volume", "coolant inside", 35.0, least=0.0)
    clogging_percent: float = number("clogging", "share of the mesh that is shut", 0.0, least=0.0, most=95.0)
    drop: DropCurve = points("pressure drop, clean", "drop against flow, port to port", TYPICAL_DROP)

    def make_ports(self) -> tuple[Port, ...]:
        """Inlet and outlet in line."""
        return two_ports(self, ("inlet", "outlet"), "both ends")

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """One restriction, as clogged as it is."""
        return (FlowPath("", "inlet", "outlet", restriction(self.drop_as_clogged)),)

    def make_inside(self) -> Inside:
        """The bowl around the mesh, up to a wall of 2 mm, a guess."""
        bores = {name: port.bore_mm for name, port in self.ports.items()}
        top, low = self.height_mm - _WALL_MM, min(_WALL_MM, self.port_height_mm)
        return bowl(bores, self.volume_ml, Spot(0.0, 0.0, self.port_height_mm), top, low, self.width_mm / 2 - _WALL_MM)

    @property
    def drop_as_clogged(self) -> DropCurve:
        """The clean curve, raised by the square of the velocity in the open rest of the mesh."""
        factor = clogging_factor(self.clogging_percent)
        raised = tuple(point.with_values(dp_kpa=factor * point.dp_kpa) for point in self.drop.points)
        return self.drop.with_values(points=raised)

    @property
    def coolant_ml(self) -> float:
        """Coolant that it holds [mL]."""
        return self.volume_ml
