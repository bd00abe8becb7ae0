"""Liquid-to-liquid heat exchanger."""

from collections.abc import Iterable
from functools import cached_property
from typing import ClassVar, Literal

from loopsim.curves import DropCurve, DropPoint, ExchangerCurve, ExchangerPoint, Provenance
from loopsim.elements.exchange import PLATES, Exchanger, fit_exchanger
from loopsim.errors import PartDataError
from loopsim.fields import number, points
from loopsim.geometry import Spot
from loopsim.parts.base import FlowPath, Part, Port, restriction

__all__ = ["LiquidExchanger"]

TYPICAL_DROP = DropCurve(
    points=tuple(
        DropPoint(flow_l_h=flow, dp_kpa=dp)
        for flow, dp in ((60, 0.35), (120, 1.25), (180, 2.7), (240, 4.6), (360, 9.7))
    ),
    provenance=Provenance(kind="guess", source="typical small brazed plate exchanger, ten plates"),
    relative_tolerance=0.3,
)

TYPICAL_HEAT = ExchangerCurve(
    points=tuple(
        ExchangerPoint(primary_l_h=flow, secondary_l_h=flow, heat_w=heat)
        for flow, heat in ((60, 440.0), (120, 780.0), (240, 1350.0))
    ),
    provenance=Provenance(kind="guess", source="usual small brazed plate exchanger, ten plates"),
    relative_tolerance=0.4,
)


class LiquidExchanger(Part):
    """Plates between two liquids, which run against each other and never meet."""

    title: ClassVar = "liquid exchanger"
    symbol: ClassVar = "liquid_exchanger"
    help: ClassVar = (
        "Passes heat from one liquid circuit to another, as to a building's chilled water. Each side has its own "
        "pressure drop; take both from the maker's sheet. The defaults are guesses. The two sides run against each "
        "other as drawn. Where one side is a supply line, its pressure, its water and its joining are a matter for "
        "local codes and licensed practice."
    )

    kind: Literal["liquid_exchanger"] = "liquid_exchanger"
    length_mm: float = number("length", "of the outline, along the part's own x", 200.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 75.0, above=0.0)
    height_mm: float = number("height", "of the outline", 45.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    port_spacing_mm: float = number("port spacing", "between the two ports at each end", 40.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 22.0, least=0.0)
    primary_ml: float = number("primary volume", "coolant on the primary side", 90.0, least=0.0)
    secondary_ml: float = number("secondary volume", "liquid on the secondary side", 90.0, least=0.0)
    primary_drop: DropCurve = points("primary drop", "drop against flow on the primary side", TYPICAL_DROP)
    secondary_drop: DropCurve = points("secondary drop", "drop against flow on the secondary side", TYPICAL_DROP)
    heat: ExchangerCurve = points("heat", "heat at a flow of each side; one row is enough", TYPICAL_HEAT)
    metal_j_k: float = number(
        "metal", "heat capacity of its metal: 500 J/K for a kilogram of stainless steel; a guess", 400.0, above=0.0
    )

    def make_ports(self) -> tuple[Port, ...]:
        """The primary from the near end to the far one on the left, the secondary back on the right."""
        end, side, height = self.length_mm / 2, self.port_spacing_mm / 2, self.port_height_mm
        return (
            Port("primary_inlet", Spot(-end, side, height), 180.0, self.bore_mm),
            Port("primary_outlet", Spot(end, side, height), 0.0, self.bore_mm),
            Port("secondary_inlet", Spot(end, -side, height), 0.0, self.bore_mm),
            Port("secondary_outlet", Spot(-end, -side, height), 180.0, self.bore_mm),
        )

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """One restriction on each side."""
        return (
            FlowPath("primary", "primary_inlet", "primary_outlet", restriction(self.primary_drop)),
            FlowPath("secondary", "secondary_inlet", "secondary_outlet", restriction(self.secondary_drop)),
        )

    @cached_property
    def exchanger(self) -> Exchanger:
        """Heat from primary (side a) to secondary (side b); PartDataError if the points cannot be."""
        try:
            return fit_exchanger(
                self.heat.heat_points, PLATES, "counterflow", relative_tolerance=self.heat.relative_tolerance
            )
        except PartDataError as error:
            raise PartDataError(f"{self.name}: {error}", part=self.id, field="heat") from error

    @property
    def provenances(self) -> Iterable[Provenance]:
        """Where the data that feed the flow come from."""
        return (self.primary_drop.provenance, self.secondary_drop.provenance)

    @property
    def coolant_ml(self) -> float:
        """Liquid that it holds on both sides [mL]."""
        return self.primary_ml + self.secondary_ml
