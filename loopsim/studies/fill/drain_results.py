"""What draining answers with. SI throughout; front ends convert at their edge."""

from collections.abc import Mapping
from dataclasses import dataclass

from loopsim.network import Tilt
from loopsim.studies.fill.air_results import Where

__all__ = ["Drain", "DrainStep", "LowPoint"]


@dataclass(frozen=True, slots=True)
class LowPoint:
    """Where liquid stays on draining.

    Attributes
    ----------
    at : Where
        The lowest place.
    sill : float
        Height up to which it stays [m].
    sill_at : Where or None
        The pass over which the rest ran off; None if nothing leads out.
    volume : float
        That stays [m3].
    blown_free : float
        Of it, what blowing through may push out, an estimate within a third [m3]; 0 in blind ends.
    """

    at: Where
    sill: float
    sill_at: Where | None
    volume: float
    blown_free: float


@dataclass(frozen=True, slots=True)
class DrainStep:
    """One opening, after those before it.

    Attributes
    ----------
    at : Where
    tilt : Tilt
        How the machine is held meanwhile.
    volume : float
        That leaves here [m3].
    """

    at: Where
    tilt: Tilt
    volume: float


@dataclass(frozen=True)
class Drain:
    """What leaves by gravity, and what stays.

    Attributes
    ----------
    steps : tuple of DrainStep
        In which order to open, the one that lets out most first.
    collect : float
        Volume to have vessels for: all that runs off or may be blown free, and a tenth for what is spilt [m3].
    held : float
        Coolant before [m3].
    low_points : tuple of LowPoint
        The largest first.
    freezes_below_c : float
        At which what stays begins to freeze [°C].
    spill : mapping of str to float
        Lost each time a dry-break coupling is parted, by its id [m3].
    sentences : tuple of str
    """

    steps: tuple[DrainStep, ...]
    collect: float
    held: float
    low_points: tuple[LowPoint, ...]
    freezes_below_c: float
    spill: Mapping[str, float]
    sentences: tuple[str, ...] = ()

    @property
    def drained(self) -> float:
        """What leaves by gravity [m3]."""
        return sum(step.volume for step in self.steps)

    @property
    def left(self) -> float:
        """What stays [m3]."""
        return sum(point.volume for point in self.low_points)
