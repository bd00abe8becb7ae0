"""Cross."""

from typing import ClassVar, Literal

from loopsim import elements
from loopsim.curves import Provenance
from loopsim.parts.branching import Branching
from loopsim.parts.fitting import tolerance

__all__ = ["Cross"]


class Cross(Branching):
    """A fitting in which four runs meet: two in line, two across."""

    title: ClassVar = "cross"
    symbol: ClassVar = "cross"
    help: ClassVar = (
        "Splits one run into three, or brings them together. Each leg is counted as in a tee with the leg across "
        "from it capped, which is an estimate; where two streams enter and two leave, a constant share is a guess."
    )
    leg_names: ClassVar = "abcd"
    law: ClassVar = elements.CrossLaw

    kind: Literal["cross"] = "cross"
    provenance: Provenance = Provenance(kind="guess", source="laws of tees, leg by leg")
    relative_tolerance: float = tolerance(0.5)
