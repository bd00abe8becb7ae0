"""Air filter."""

from functools import cached_property
from typing import ClassVar, Literal

from loopsim.curves import AirDropCurve, AirDropPoint, AirOrigin
from loopsim.fields import number, points
from loopsim.parts.base import AirPath, DryPart, Setting, clogging_factor, restriction

__all__ = ["AirFilter"]

TYPICAL_DROP = AirDropCurve(
    points=tuple(AirDropPoint(air_m3_h=flow, dp_pa=dp) for flow, dp in ((15, 1.5), (30, 3.8), (60, 10), (120, 28))),
    provenance=AirOrigin(kind="guess", source="typical coarse mat of 130 cm², clean"),
    relative_tolerance=0.4,
)


class AirFilter(DryPart):
    """A mat or mesh in the air's way. The more of it is clogged, the more it costs."""

    title: ClassVar = "air filter"
    symbol: ClassVar = "air_filter"
    help: ClassVar = (
        "Keeps dust out of fans and fins. Take the drop of the clean filter from the maker's sheet. Clogging is the "
        "share of the mat that is shut: the drop is that of the clean one over (1 - share)², as all air then squeezes "
        "through what is left; an estimate."
    )
    air_from: ClassVar = "room"
    air_to: ClassVar = "chamber"
    placement_fields: ClassVar = ("air_from", "air_to")

    kind: Literal["air_filter"] = "air_filter"
    length_mm: float = number("length", "of the outline, along the part's own x; air goes this way", 10.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 160.0, above=0.0)
    height_mm: float = number("height", "of the outline", 80.0, above=0.0)
    clogging_percent: float = number("clogging", "share of the mat that is shut", 0.0, least=0.0, most=95.0)
    drop: AirDropCurve = points("pressure drop, clean", "drop of static pressure against air flow", TYPICAL_DROP)

    def air_paths_as_set(self, setting: Setting) -> tuple[AirPath, ...]:  # noqa: ARG002  nothing to set
        """One restriction, as clogged as it is."""
        return (self._path,)

    @cached_property
    def _path(self) -> AirPath:
        return AirPath("", restriction(self.drop, clogging_factor(self.clogging_percent)))
