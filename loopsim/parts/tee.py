"""Tee."""

from typing import ClassVar, Literal

from loopsim import elements
from loopsim.parts.branching import Branching

__all__ = ["Tee"]


class Tee(Branching):
    """A fitting in which three runs meet: two in line, one across."""

    title: ClassVar = "tee"
    symbol: ClassVar = "tee"
    help: ClassVar = (
        "Splits one run into two, or brings two together. What it costs depends on how the flow divides: turning into "
        "the branch costs most, straight on costs little, and where two streams join, the fast one can even drag the "
        "slow one along (such a gain is counted as no loss). The laws hold for sharp edges; swept tees cost less."
    )
    leg_names: ClassVar = "abc"
    law: ClassVar = elements.TeeLaw

    kind: Literal["tee"] = "tee"
