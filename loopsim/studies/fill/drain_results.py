"""What draining answers with. SI throughout; front ends convert at their edge."""

from collections.abc import Mapping
from dataclasses import dataclass

from loopsim.network import Tilt
from loopsim.studies.fill.air_results import Where
from loopsim.studies.sentence import read_marks

__all__ = ["Drain", "DrainStep", "Held", "LowPoint"]

WORTH_A_NAME = 0.5e-6  # a part that holds less is not counted beside a low point [m3]


@dataclass(frozen=True, slots=True)
class Held:
    """Liquid that stays in one part or tube run.

    Attributes
    ----------
    at : Where
        Its lowest place there.
    volume : float
        [m3].
    blown_free : float
        Of it, what blowing through may push out, an estimate within a third [m3]; 0 in vessels and blind ends.
    """

    at: Where
    volume: float
    blown_free: float


@dataclass(frozen=True, slots=True)
class LowPoint:
    """Liquid that stays on draining, joined below one surface.

    Attributes
    ----------
    level : float
        Of its surface, the machine level [m].
    sill_at : Where or None
        The pass over which the rest ran off; None if nothing leads out.
    held : tuple of Held
        In which parts and runs it stands, what holds most first.
    """

    level: float
    sill_at: Where | None
    held: tuple[Held, ...]

    @property
    def at(self) -> Where:
        """The lowest place in what holds most of it."""
        return self.held[0].at

    @property
    def volume(self) -> float:
        """That stays [m3]."""
        return sum(each.volume for each in self.held)

    @property
    def blown_free(self) -> float:
        """Of it, what blowing through may push out [m3]."""
        return sum(each.blown_free for each in self.held)

    @property
    def name(self) -> str:
        """Of what holds most of it: ``"Reservoir"``, ``"Reservoir and 3 beside it"``."""
        others = sum(each.volume > WORTH_A_NAME for each in self.held[1:])
        return f"{self.at.name} and {others} beside it" if others else self.at.name


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
        Coolant before: all that runs off, may be blown free, and stays [m3].
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

    def __post_init__(self) -> None:
        read_marks(self, "sentences")

    @property
    def drained(self) -> float:
        """What leaves by gravity [m3]."""
        return sum(step.volume for step in self.steps)

    @property
    def left(self) -> float:
        """What does not run off [m3]."""
        return sum(point.volume for point in self.low_points)

    @property
    def blown_free(self) -> float:
        """Of that, what blowing through may push out [m3]."""
        return sum(point.blown_free for point in self.low_points)

    @property
    def stays(self) -> float:
        """What is inside at the end [m3]."""
        return self.left - self.blown_free
