"""What filling by gravity, and starting after it, answer with. SI throughout; front ends convert at their edge."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loopsim.studies.fill.air_results import Where
from loopsim.studies.sentence import read_marks

__all__ = ["GravityFill", "PumpFlooding", "StartUp", "SuctionCover", "TrappedPocket", "Unreached"]

FloatArray = NDArray[np.float64]


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

    @property
    def shut_in_by(self) -> str:
        """What floods then: ``"Radiator 2 floods"``, ``"its lower end floods"``."""
        return f"{'its lower end' if self.sealed_by.item == self.at.item else self.sealed_by.name} floods"


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
    is_held : bool
        True where a check valve holds the liquid back at every level.
    """

    at: Where
    volume: float
    level: float
    is_behind_hump: bool
    is_held: bool = False


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

    def __post_init__(self) -> None:
        read_marks(self, "sentence")


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
    crests : tuple of (str, float)
        Every place on the way at which the front stops to rise above the level, with its lift there [m].
    lock : float
        Opposing columns of all its humps when liquid stands in the legs that rise and air in those that fall, and the
        heads at which its check valves open [m].
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
    crests: tuple[tuple[str, float], ...]
    lock: float
    humps: int
    shut_off: float
    derated: float
    verdict: Literal["starts", "may start", "does not start"]
    sentence: str

    def __post_init__(self) -> None:
        read_marks(self, "sentence")


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

    def __post_init__(self) -> None:
        read_marks(self, "sentence")


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
    held : tuple of Where
        Check valves that hold liquid back, which would stand on both sides of them otherwise.
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
    held: tuple[Where, ...] = ()
    sentences: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        read_marks(self, "sentences")
