"""Flow meter."""

from typing import ClassVar, Literal

from pydantic import ConfigDict, ValidationInfo, field_validator

from loopsim.curves import DropCurve, DropPoint, Provenance
from loopsim.fields import number, points
from loopsim.parts.base import FlowPath, Part, Port, restriction, two_ports
from loopsim.parts.fitting import bore_ml

__all__ = ["FlowMeter"]

TYPICAL_DROP = DropCurve(
    points=tuple(
        DropPoint(flow_l_h=flow, dp_kpa=dp) for flow, dp in ((60, 0.4), (120, 1.4), (180, 3.0), (240, 5.2), (360, 11.0))
    ),
    provenance=Provenance(kind="guess", source="typical turbine meter of 10 mm bore"),
    relative_tolerance=0.3,
)


class FlowMeter(Part):
    """Shows the flow, and costs some."""

    title: ClassVar = "flow meter"
    symbol: ClassVar = "flow_meter"
    help: ClassVar = (
        "Measures the flow within its range; outside of it, its reading means little. Take range and pressure drop "
        "from the maker's sheet: the default drop is a guess for a small turbine wheel. Most need straight tube "
        "before them, about ten bores."
    )

    # Defaults are checked too: a value may contradict the default of another field.
    model_config: ClassVar[ConfigDict] = ConfigDict(validate_default=True)
    one_way: ClassVar = True

    kind: Literal["flow_meter"] = "flow_meter"
    length_mm: float = number("length", "of the outline, along the part's own x", 60.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 34.0, above=0.0)
    height_mm: float = number("height", "of the outline", 34.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 17.0, least=0.0)
    least_flow_l_h: float = number("least flow", "that it can measure; a guess", 40.0, least=0.0)
    most_flow_l_h: float = number("most flow", "that it can measure; a guess", 600.0, above=0.0)
    drop: DropCurve = points("pressure drop", "drop against flow, port to port", TYPICAL_DROP)

    @field_validator("most_flow_l_h")
    @classmethod
    def _range_is_one(cls, most: float, info: ValidationInfo) -> float:
        least = info.data.get("least_flow_l_h", 0.0)
        if most <= least:
            raise ValueError(f"must be above the least flow ({least:g} L/h), got {most:g} L/h")
        return most

    def make_ports(self) -> tuple[Port, ...]:
        """Inlet and outlet in line."""
        return two_ports(self, ("inlet", "outlet"), "both ends")

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """One restriction from inlet to outlet."""
        return (FlowPath("", "inlet", "outlet", restriction(self.drop)),)

    @property
    def coolant_ml(self) -> float:
        """Coolant in its straight bore [mL]."""
        return bore_ml(self.bore_mm, self.length_mm)
