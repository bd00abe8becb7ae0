"""What the air map and the search over tilts answer with. SI throughout; front ends convert at their edge."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from loopsim.network import Tilt
from loopsim.studies.fill.clearing import Clears
from loopsim.studies.sentence import read_marks

__all__ = ["AirMap", "BledWhile", "HighPoint", "TiltPlan", "TiltStep", "Where"]

BledWhile = Literal["pumps stand", "pumps run", "never"]


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a layout.

    Attributes
    ----------
    place : str
        Its name in the height graph: a port ``"part.port"``, a place inside ``"part/place"``, a point of a run.
    item : str
        Id of the part or tube run.
    name : str
        What that is called.
    x, y, height : float
        In the enclosure's axes, the machine level [m].
    """

    place: str
    item: str
    name: str
    x: float
    y: float
    height: float


@dataclass(frozen=True, slots=True)
class HighPoint:
    """A local high point: where air stays when all around is full of liquid.

    Attributes
    ----------
    at : Where
        The highest place.
    height : float
        Of it, as the machine is held [m].
    sill : float
        Height down to which air collects before it gets out at the nearer of the two low passes [m].
    gas : float
        Volume between top and sill: the most air that stays [m3].
    liquid : float
        What the ways down from the sill to the low points on both sides hold: liquid even then [m3].
    blind : float
        Of the gas, what lies in ends through which nothing flows, such as the neck under a cap, and stays even where
        the flow clears the rest [m3].
    verdict : str
        Whether the running flow carries the rest away: ``"clears"``, ``"may clear"`` or ``"stays"``.
    speed, stays_below, clears_above : float
        Of the liquid at the hardest stretch of its best way out, and the spread of the published criteria there; 0
        where there is no such way [m/s].
    bore : float
        Hydraulic diameter of that stretch [m].
    slope_deg : float
        By how much it leads down [°].
    eotvos : float
        Its Eotvos number; a plug no longer rises by itself below about 3.4.
    ends_in : str or None
        Id of the vessel in which air that is carried off ends; None if it comes round again (it wanders) or nothing
        flows.
    caught_at : str or None
        Place of the first other high point on its way there that may keep it.
    cap : str or None
        The highest capped opening in it.
    left_under_cap : float
        What stays when that is opened [m3]; `gas` without one.
    into : str or None
        Place of the higher high point into which more air goes; None if it gets into the open.
    bled_while : str
        When what lies open there lets liquid out, not air in: while the ``"pumps stand"``, where it lies below the
        vessel's level; while the ``"pumps run"`` and press it out; ``"never"``.
    is_neck : bool
        True where all of its air stands in the neck under a cap, beside the flow, and does no harm there.
    tube_reaches : bool
        True if a bleed port in a tube beside it, where there is room for one, lets some of its air out; False where
        all of it sits higher, inside a part.
    sentence : str
    """

    at: Where
    height: float
    sill: float
    gas: float
    liquid: float
    blind: float
    verdict: Clears
    speed: float
    stays_below: float
    clears_above: float
    bore: float
    slope_deg: float
    eotvos: float
    ends_in: str | None
    caught_at: str | None
    cap: str | None
    left_under_cap: float
    into: str | None
    bled_while: BledWhile
    is_neck: bool
    tube_reaches: bool
    sentence: str

    def __post_init__(self) -> None:
        read_marks(self, "sentence")

    @property
    def is_stirred(self) -> bool:
        """True beside a running impeller, which may draw the air in though nothing flows through there."""
        return self.verdict == "may clear" and self.speed <= 0

    @property
    def takes_port(self) -> bool:
        """True where a new bleed port would let air out, and nothing less does: no cap, no impeller beside it."""
        stays = self.verdict != "clears" and self.cap is None and not self.is_stirred
        return stays and self.tube_reaches and self.bled_while != "never"


@dataclass(frozen=True)
class AirMap:
    """All high points of a layout at one operating point, the highest first.

    Attributes
    ----------
    points : tuple of HighPoint
    tilt : Tilt
        How the machine is held.
    stopped : frozenset of str
        Ids of the pumps without power.
    capacity : float
        Coolant that the layout holds [m3].
    sources : tuple of str
        Where the criteria come from.
    """

    points: tuple[HighPoint, ...]
    tilt: Tilt
    stopped: frozenset[str]
    capacity: float
    sources: tuple[str, ...]

    @property
    def gas(self) -> float:
        """The most air that all high points keep [m3]."""
        return sum(point.gas for point in self.points)

    @property
    def lasting(self) -> float:
        """The most air in those that the flow surely does not clear [m3]."""
        return sum(point.gas for point in self.points if point.verdict == "stays")

    @property
    def stays(self) -> tuple[HighPoint, ...]:
        """Those that the flow does not clear for sure, the largest first."""
        left = [point for point in self.points if point.verdict != "clears"]
        return tuple(sorted(left, key=lambda point: -point.gas))


@dataclass(frozen=True, slots=True)
class TiltStep:
    """One way to hold the machine, after those before it.

    Attributes
    ----------
    tilt : Tilt
    freed, left : float
        Air that gets out in this step, and that is still inside after it [m3].
    spills : tuple of str
        Names of the vessels whose surface reaches their lid so: close them, or lower the level first.
    """

    tilt: Tilt
    freed: float
    left: float
    spills: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TiltPlan:
    """In which order to tilt the machine to let out most air, nothing running.

    Attributes
    ----------
    trapped : float
        Air with which it begins: every high point full [m3].
    steps : tuple of TiltStep
        Empty if no tilt lets anything out.
    left_at : mapping of str to float
        What is left at the end, by place [m3].
    """

    trapped: float
    steps: tuple[TiltStep, ...]
    left_at: Mapping[str, float] = field(default_factory=dict)

    @property
    def left(self) -> float:
        """Air that no tilt within the given angles lets out [m3]."""
        return self.steps[-1].left if self.steps else self.trapped
