"""What the air of the chamber cools."""

from typing import ClassVar, Literal

from loopsim.curves import Origin
from loopsim.fields import number
from loopsim.parts.base import DryPart
from loopsim.parts.fitting import tolerance

__all__ = ["AirComponent"]


class AirComponent(DryPart):
    """A component, or a board with several, that gives its heat to the air of the chamber."""

    title: ClassVar = "air-cooled part"
    symbol: ClassVar = "air_component"
    help: ClassVar = (
        "Memory, converters, drives: whatever stays in the chamber without a cold plate. Its heat warms the air that "
        "then meets the radiators. Air stands still in corners: the stagnation factor says how many times as far "
        "above the entering air it is there as in the chamber's mean."
    )
    layer: ClassVar = "power"
    has_electronics: ClassVar = True

    kind: Literal["air_component"] = "air_component"
    length_mm: float = number("length", "of the outline, along the part's own x", 60.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 40.0, above=0.0)
    height_mm: float = number("height", "of the outline", 20.0, above=0.0)
    load_w: float = number("heat", "that it gives to the air at full duty; 10 is a guess", 10.0, least=0.0)
    air_limit_c: float | None = number(
        "air limit", "warmest air in which it may work; 50 is a usual figure; empty if not known", 50.0
    )
    stagnation_factor: float = number(
        "stagnation factor", "1 in the stream, 1.5 to 3 in a dead corner (a guess)", 1.0, least=1.0, most=10.0
    )
    provenance: Origin = Origin(kind="guess", source="heat not measured")
    relative_tolerance: float = tolerance(0.3)

    @property
    def air_heat_w(self) -> float:
        """Heat that it gives to the air of the chamber at full duty [W]."""
        return self.load_w

    def air_around_c(self, chamber_c: float, entering_c: float) -> float:
        """Temperature of the air that it stands in, from the chamber's mean and that of the air that enters [°C]."""
        return entering_c + self.stagnation_factor * (chamber_c - entering_c)
