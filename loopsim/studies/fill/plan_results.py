"""What the plans for filling and draining answer with. SI throughout; front ends convert at their edge."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loopsim.network import Tilt
from loopsim.studies.fill.results import Drain, PumpFlooding, StartUp, Where
from loopsim.studies.sentence import read_marks
from loopsim.units import from_si

__all__ = [
    "DrainCode",
    "DrainPlan",
    "DrainPlanStep",
    "FillAction",
    "FillCode",
    "FillPlan",
    "FillSnapshot",
    "FillStep",
    "FillWarning",
    "LevelFall",
    "Mix",
]

_KEY_WORDS = 6  # of a step without a place, enough to know it by

FloatArray = NDArray[np.float64]
FillAction = Literal["make ready", "set valves", "pour", "cap", "run", "top up", "bleed", "tilt", "check"]
FillCode = Literal[
    "open end",
    "no vessel",
    "slim vessel",
    "pump not flooded",
    "hump before a pump",
    "does not start",
    "may not start",
    "held back",
    "runs over",
    "not reached",
    "air shut in",
    "air stays",
    "air may stay",
    "air wanders",
    "little cover",
    "no drain",
    "draws air",
]
DrainCode = Literal["no drain", "does not drain", "held back", "liquid stays", "frost"]


@dataclass(frozen=True, slots=True)
class Mix:
    """What to measure out.

    Attributes
    ----------
    coolant : str
        In words, ``"30 % propylene glycol in water"``.
    needed, margin : float
        Volume that the loop takes [m3], and the share put on top of it for spills and what comes out as air leaves.
    volume : float
        To make up, both together [m3].
    water, glycol : float
        To measure out, at `temperature_c`; they add up to a little more than `volume`, for the two shrink as they mix
        [m3]. The glycol is taken as pure: a ready-made concentrate states its own share.
    water_mass, glycol_mass : float
        The same to be weighed [kg].
    temperature_c : float
        At which it is measured [°C].
    """

    coolant: str
    needed: float
    margin: float
    volume: float
    water: float
    glycol: float
    water_mass: float
    glycol_mass: float
    temperature_c: float


@dataclass(frozen=True, slots=True)
class FillStep:
    """One thing to do.

    Attributes
    ----------
    number : int
        From 1 on.
    action : str
    sentence : str
        What to do, in words.
    opened : tuple of str
        Openings without their caps while it is done, see `HeightGraph.openings`; the lids of vessels are open anyhow.
    shut : tuple of str
        Ids of the valves that are shut meanwhile.
    running : tuple of str
        Ids of the pumps that run meanwhile.
    tilt : Tilt
        How the machine is held.
    at : Where or None
        The opening where it is done.
    volume : float
        Poured here [m3].
    seconds : float or None
        How long pouring or pumping takes; 0 where that is a matter of a moment, None where no published data tell.
    level : float
        Of the liquid at the end, in the vessel or in the neck into which it was poured [m].
    """

    number: int
    action: FillAction
    sentence: str
    opened: tuple[str, ...]
    shut: tuple[str, ...]
    running: tuple[str, ...]
    tilt: Tilt
    at: Where | None
    volume: float
    seconds: float | None
    level: float

    def __post_init__(self) -> None:
        read_marks(self, "sentence")

    @property
    def key(self) -> str:
        """By which a builder's tick knows it: another one once something else is to be done."""
        where = self.at.place if self.at is not None else " ".join(self.running or self.shut)
        volume = f"{from_si(self.volume, 'ml'):.0f} mL" if self.volume > 0 else ""
        return " ".join(each for each in (str(self.number), self.action, where, volume) if each)


@dataclass(frozen=True, slots=True, eq=False)
class FillSnapshot:
    """The loop at one moment of the plan.

    Attributes
    ----------
    step : int
        Number of the step, from 1 on; 0 before the first.
    time : float
        Of pouring and pumping up to now, bleeding not counted [s].
    liquid : ndarray, shape (m,)
        Share of each passage of the height graph that is full of liquid, 0 to 1.
    levels : mapping of str to float
        Height of the surface in each vessel by its id [m].
    poured : float
        Up to now [m3].
    air : float
        In what shall be full at the end: passages below the vessels' levels as drawn [m3].
    """

    step: int
    time: float
    liquid: FloatArray
    levels: Mapping[str, float]
    poured: float
    air: float


@dataclass(frozen=True, slots=True)
class FillWarning:
    """What stands in the way of a clean fill or of draining, with its remedy.

    Attributes
    ----------
    code : FillCode or DrainCode
        A short word for programs.
    text, remedy : str
    at : Where or None
        Where it sits.
    """

    code: FillCode | DrainCode
    text: str
    remedy: str
    at: Where | None = None

    def __post_init__(self) -> None:
        read_marks(self, "text", "remedy")


@dataclass(frozen=True, slots=True)
class LevelFall:
    """How far a vessel's level falls when the pumps are switched on, as a test for air.

    Liquid does not give way, air does: pressed together by the pumps it makes room for liquid out of the vessel.

    Attributes
    ----------
    vessel, name : str
        Id and name of the vessel that is watched.
    expected : float
        Fall with the air that the plan expects to be left [m].
    air_per_fall : float
        Air inside, at ambient pressure, for each metre of fall; inf where the pumps press nothing together [m3/m].
    sentence : str
    """

    vessel: str
    name: str
    expected: float
    air_per_fall: float
    sentence: str

    def __post_init__(self) -> None:
        read_marks(self, "sentence")

    def air(self, fall: float) -> float:
        """Air inside for a fall that was read [m3]."""
        return self.air_per_fall * fall


@dataclass(frozen=True)
class FillPlan:
    """How to fill a loop, step by step, and what happens meanwhile.

    Attributes
    ----------
    opening : Where
        Where the first liquid is poured in.
    steps : tuple of FillStep
    snapshots : tuple of FillSnapshot
        In order of time; every step has at least one, its end last.
    capacity : float
        Coolant that the circuit holds as drawn, without air [m3].
    poured : float
        Expected in all [m3].
    air : ndarray, shape (m,)
        Expected at the end in each passage of the layout's height graph that shall be full [m3].
    air_left, air_left_at_most : float
        Expected inside at the end [m3]: in high points that the flow surely does not clear, and in all that it does
        not clear for sure.
    top_ups : int
        How often the vessel is filled up again.
    pouring, pumping : float
        Time that it takes [s].
    bleeding : float or None
        The builder's own time, from the layout; None if not given [s].
    bleeding_practice : tuple of float
        From, to; common practice for loops like this one, no source [s].
    least_level : float
        Down to which the vessel may be pumped empty; nan without a vessel [m].
    is_complete : bool
        False where the plan ends before the loop is full: no pump may run, or none gets the liquid round.
    mix : Mix
    level_fall : LevelFall or None
        None where no vessel or no pump is.
    pumps : tuple of PumpFlooding
        Which pump liquid poured into this opening floods, and from which level on.
    starts : tuple of StartUp
        Whether the pumps then get liquid round by themselves: of each set of pumps the easiest way, with its lock head.
    warnings : tuple of FillWarning
    """

    opening: Where
    steps: tuple[FillStep, ...]
    snapshots: tuple[FillSnapshot, ...]
    capacity: float
    poured: float
    air: FloatArray
    air_left: float
    air_left_at_most: float
    top_ups: int
    pouring: float
    pumping: float
    bleeding: float | None
    bleeding_practice: tuple[float, float]
    least_level: float
    is_complete: bool
    mix: Mix
    level_fall: LevelFall | None
    pumps: tuple[PumpFlooding, ...]
    starts: tuple[StartUp, ...]
    warnings: tuple[FillWarning, ...]

    def snapshots_of(self, number: int) -> tuple[FillSnapshot, ...]:
        """Those of one step, its end last."""
        return tuple(each for each in self.snapshots if each.step == number)

    def air_inside(self, poured: float) -> float:
        """Air still inside once so much was poured and the vessel stands at its level as drawn [m3]."""
        return self.capacity - poured


@dataclass(frozen=True, slots=True)
class DrainPlanStep:
    """One thing to do.

    Attributes
    ----------
    number : int
        From 1 on.
    sentence : str
    at : Where or None
        The opening.
    tilt : Tilt
    volume : float
        That leaves here [m3].
    seconds : float or None
        How long it runs, an estimate; None where nothing runs or nothing is known.
    """

    number: int
    sentence: str
    at: Where | None
    tilt: Tilt
    volume: float
    seconds: float | None

    def __post_init__(self) -> None:
        read_marks(self, "sentence")

    @property
    def key(self) -> str:
        """By which a builder's tick knows it: another one once something else is to be done."""
        if self.at is None:
            return f"{self.number} {' '.join(self.sentence.split()[:_KEY_WORDS])}"
        return f"{self.number} open {self.at.place} {from_si(self.volume, 'ml'):.0f} mL"


@dataclass(frozen=True)
class DrainPlan:
    """How to drain a loop, step by step.

    Attributes
    ----------
    steps : tuple of DrainPlanStep
    drain : Drain
        What runs off, may be blown free, and stays: together what the fill plan pours in.
    air : float
        What a loop without any air would hold more [m3].
    warnings : tuple of FillWarning
    """

    steps: tuple[DrainPlanStep, ...]
    drain: Drain
    air: float
    warnings: tuple[FillWarning, ...]
