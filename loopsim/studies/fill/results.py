"""What the studies of filling and draining answer with. SI throughout; front ends convert at their edge."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loopsim.network import Tilt
from loopsim.studies.fill.clearing import Clears

__all__ = [
    "AirMap",
    "Drain",
    "DrainStep",
    "GravityFill",
    "HighPoint",
    "LowPoint",
    "PumpFlooding",
    "StartUp",
    "SuctionCover",
    "TiltPlan",
    "TiltStep",
    "TrappedPocket",
    "Unreached",
    "Where",
]

FloatArray = NDArray[np.float64]


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
    sentence: str


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
    def stays(self) -> tuple[HighPoint, ...]:
        """Those that the flow does not clear for sure, the largest first."""
        left = [point for point in self.points if point.verdict != "clears"]
        return tuple(sorted(left, key=lambda point: -point.gas))

    @property
    def best_bleed(self) -> HighPoint | None:
        """Where a bleed port helps most: what stays, by volume that no cap lets out; None if nothing stays."""
        for verdict in ("stays", "may clear"):
            left = [point for point in self.points if point.verdict == verdict and point.left_under_cap > 0]
            if left:
                return max(left, key=lambda point: point.left_under_cap)
        return None


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


@dataclass(frozen=True, slots=True)
class TrappedPocket:
    """Air that liquid shuts in while it rises.

    Attributes
    ----------
    at : Where
        Its highest place.
    sealed_at : float
        Level at which its last way out is flooded [m].
    sealed_by : Where
        The place that is flooded then.
    volume : float
        At that moment, at ambient pressure [m3].
    squeezed : float
        Under the column of the final level [m3].
    pressure : float
        Of it then, gauge [Pa].
    """

    at: Where
    sealed_at: float
    sealed_by: Where
    volume: float
    squeezed: float
    pressure: float


@dataclass(frozen=True, slots=True)
class Unreached:
    """A part or run, or some of it, that stays dry because it, or a hump in front of it, lies above the level.

    Attributes
    ----------
    at : Where
        Its place that needs the highest level.
    volume : float
        That stays dry [m3].
    level : float
        Level at which all of it would be reached; inf if it hangs on no way from the opening [m].
    is_behind_hump : bool
        True where that is more than its own height.
    """

    at: Where
    volume: float
    level: float
    is_behind_hump: bool


@dataclass(frozen=True, slots=True)
class PumpFlooding:
    """Whether gravity floods a pump.

    Attributes
    ----------
    pump, name : str
        Its id and name.
    level : float
        Level from which its body lies under liquid; inf if none does [m].
    is_flooded : bool
        True at the level of the fill, with a suction line that traps no air.
    hump_at : Where or None
        Where its suction line rises and falls again on the way from the vessel; None if nowhere.
    hump : float
        By how much [m].
    head_on_inlet : float
        Level above the pump's inlet; below 0 where the inlet lies higher [m].
    sentence : str
    """

    pump: str
    name: str
    level: float
    is_flooded: bool
    hump_at: Where | None
    hump: float
    head_on_inlet: float
    sentence: str


@dataclass(frozen=True, slots=True)
class StartUp:
    """Whether pumps get liquid round one way after a fill, without anybody bleeding.

    Attributes
    ----------
    pumps : tuple of str
        Ids of those that push, in the order of the way.
    way : tuple of str
        Ids of the parts and runs on it.
    lift : float
        From the level to the highest place that the front must pass; 0 if none lies above [m].
    lock : float
        Opposing columns of all its humps when liquid stands in the legs that rise and air in those that fall [m].
    humps : int
        Falling legs that hold air.
    shut_off : float
        Head of the pumps without flow [m].
    derated : float
        The same with gas in the liquid, an estimate [m].
    verdict : str
        ``"starts"``: even the whole lock is below the derated head; ``"may start"``: between that and where the lift
        alone stops it; ``"does not start"``.
    sentence : str
    """

    pumps: tuple[str, ...]
    way: tuple[str, ...]
    lift: float
    lock: float
    humps: int
    shut_off: float
    derated: float
    verdict: Literal["starts", "may start", "does not start"]
    sentence: str


@dataclass(frozen=True, slots=True)
class SuctionCover:
    """Liquid above a vessel's outlet against what keeps a vortex from drawing air.

    Attributes
    ----------
    port, name : str
        The outlet ``"part.port"``, and the vessel's name.
    cover : float
        Of liquid above the middle of the outlet [m].
    least : float
        By the published criterion at the flow [m].
    habit : float
        Two bores, the usual habit [m].
    speed : float
        In the outlet [m/s].
    verdict : str
        ``"enough"`` for both, ``"debatable"`` between the two, ``"too little"`` for both.
    sentence : str
    """

    port: str
    name: str
    cover: float
    least: float
    habit: float
    speed: float
    verdict: Literal["enough", "debatable", "too little"]
    sentence: str


@dataclass(frozen=True)
class GravityFill:
    """What liquid poured into one opening reaches by its own weight, all pumps standing.

    Attributes
    ----------
    opening : Where
    vents : tuple of str
        Places through which air leaves.
    rim : float
        Highest level possible: at the opening, or where liquid would run out of another one [m].
    spills_at : Where or None
        That other opening.
    level : float
        To which it was filled [m].
    levels, wet : ndarray, shape (k,)
        Levels from the lowest to the rim [m], and the volume that each needs, air shut in counted as dry [m3].
    poured : float
        Up to `level`, with what squeezed pockets let in [m3].
    capacity : float
        Coolant that the circuit holds as drawn [m3].
    unreached : tuple of Unreached
        The largest first.
    pockets : tuple of TrappedPocket
        The largest first.
    pumps : tuple of PumpFlooding
    share_wet : ndarray, shape (m,)
        Of each passage of the height graph, 0 to 1, pockets counted as dry.
    sentences : tuple of str
        What a builder should know about this fill, one thing each.
    """

    opening: Where
    vents: tuple[str, ...]
    rim: float
    spills_at: Where | None
    level: float
    levels: FloatArray
    wet: FloatArray
    poured: float
    capacity: float
    unreached: tuple[Unreached, ...]
    pockets: tuple[TrappedPocket, ...]
    pumps: tuple[PumpFlooding, ...]
    share_wet: FloatArray
    sentences: tuple[str, ...] = ()


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
        Volume to have vessels for: all that leaves, and a tenth for what is blown and spilt [m3].
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
