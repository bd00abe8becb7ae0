"""Drain port."""

from typing import ClassVar, Literal

from loopsim.fields import number
from loopsim.parts.fitting import CappedTee

__all__ = ["DrainPort"]


class DrainPort(CappedTee):
    """A capped tee through which the loop is drained."""

    title: ClassVar = "drain port"
    symbol: ClassVar = "drain_port"
    help: ClassVar = (
        "A tee in the line with a capped outlet below, to let the coolant out; place it at the lowest point. Open it "
        "only with the machine off and unplugged, a vessel under it, and nothing live below. Its loss is that of a "
        "tee run straight through, a guess; it hardly matters."
    )

    kind: Literal["drain_port"] = "drain_port"
    port_height_mm: float = number("port height", "middle of the ports above the underside", 25.0, least=0.0)
    opening_height_mm: float = number(
        "opening height", "of the opening under the cap, above the underside", 0.0, least=0.0
    )
