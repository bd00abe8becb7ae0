"""Fill port."""

from typing import ClassVar, Literal

from loopsim.fields import number
from loopsim.parts.fitting import CappedTee

__all__ = ["FillPort"]


class FillPort(CappedTee):
    """A capped tee through which the loop is filled."""

    title: ClassVar = "fill port"
    symbol: ClassVar = "fill_port"
    help: ClassVar = (
        "A tee in the line with a capped neck on top, to pour coolant in. What its funnel can reach follows from the "
        "height of its opening. Its loss is that of a tee run straight through, a guess; it hardly matters."
    )

    kind: Literal["fill_port"] = "fill_port"
    height_mm: float = number("height", "of the outline", 44.0, above=0.0)
    opening_height_mm: float = number(
        "opening height", "of the opening under the cap, above the underside", 40.0, least=0.0
    )
