"""What the failure catalogue answers with. SI throughout, temperatures in degrees Celsius."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from loopsim.studies.failing.catalogue import Failure, Situation
from loopsim.studies.heat.power import SupplyLoad
from loopsim.studies.heat.results import ComponentHeat, HeatPoint
from loopsim.studies.results import OperatingPoint
from loopsim.studies.sentence import read_marks

__all__ = ["MUST_ACT", "Alarms", "FailureOutcome", "FailureOutcomes", "Verdict"]

Verdict = Literal["holds", "dark", "holds with less load", "shut down"]
MUST_ACT: tuple[Verdict, ...] = ("holds with less load", "shut down")  # a limit is passed unless somebody acts


@dataclass(frozen=True)
class FailureOutcome:
    """A machine after one failure, come to rest.

    Attributes
    ----------
    failure : Failure
    situation : Situation
        The machine as the failure leaves it.
    point : OperatingPoint
        The flow, at the temperatures found; at those stated where there is no rest.
    heat : HeatPoint or None
        Flow, heat and air at rest, at full load of the case; None where they come to none.
    flow : float
        At the place that stands for the healthy loop [m3/s].
    share : float
        Of the healthy loop's flow, 0 if that is none.
    block_flows : mapping of str to float
        Coolant through each block by id, without direction [m3/s].
    back_flows : mapping of str to float
        What goes backwards through each pump (coolant) and each fan (air) that does not run, by id; only where any
        does [m3/s].
    verdict : str
        ``"holds"`` where every limit holds at full load; ``"dark"`` where they hold since components are without
        power; ``"holds with less load"`` where they do once the load is cut; else ``"shut down"``.
    load : float
        All components together as the failure leaves them [W].
    dark : tuple of str
        Ids of the blocks and air-cooled parts that are without power.
    bearable_load : float or None
        To which the load has to be cut, all components alike [W]; None unless that is the verdict.
    time_between : tuple of float or None
        Bounds of the time until the first limit by closed forms, see `Grace` [s]; None where all hold, or where the
        limit is that of air or a supply.
    time : float or None
        The same as the course in time has it [s], see `timed_outcome`; None where that was not followed, or meets no
        limit in eight hours.
    sentence : str
        What happens and what to do, in one sentence.
    """

    failure: Failure
    situation: Situation
    point: OperatingPoint
    heat: HeatPoint | None
    flow: float
    share: float
    block_flows: Mapping[str, float]
    back_flows: Mapping[str, float]
    verdict: Verdict
    load: float
    bearable_load: float | None
    time_between: tuple[float, float] | None
    time: float | None
    sentence: str
    dark: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        read_marks(self, "sentence")

    @property
    def overloaded(self) -> tuple[SupplyLoad, ...]:
        """Supplies that give more than they may."""
        return () if self.heat is None else tuple(each for each in self.heat.supplies if each.is_overloaded)

    @property
    def warmest(self) -> ComponentHeat | None:
        """The component nearest to its limit, or past it; None if there is none, or no rest."""
        return None if self.heat is None else self.heat.warmest

    @property
    def margin(self) -> float | None:
        """Of the warmest component to its limit [K]; None without one, or where it never settles."""
        return None if self.warmest is None else self.warmest.margin


@dataclass(frozen=True, slots=True)
class Alarms:
    """Levels at which a machine should warn, and at which it should cut its load's power.

    Attributes
    ----------
    place : str or None
        Id of the part at which flow and coolant temperature are read.
    flow_warn, flow_cut : float or None
        Loop flow below which to do so [m3/s].
    coolant_warn, coolant_cut : float or None
        Coolant temperature above which to do so [degrees Celsius].
    sentence : str
        Them in words, or why there are none.
    """

    place: str | None
    flow_warn: float | None
    flow_cut: float | None
    coolant_warn: float | None
    coolant_cut: float | None
    sentence: str

    def __post_init__(self) -> None:
        read_marks(self, "sentence")


@dataclass(frozen=True)
class FailureOutcomes:
    """A layout, healthy and after every failure.

    Attributes
    ----------
    base : HeatPoint
        With everything in order.
    outcomes : tuple of FailureOutcome
        In the order of the catalogue.
    alarms : Alarms
        Proposed from them.
    """

    base: HeatPoint
    outcomes: tuple[FailureOutcome, ...]
    alarms: Alarms

    @property
    def worst(self) -> FailureOutcome | None:
        """The failure that does most harm: by verdict, then by the load that can be borne, by time, and by margin."""
        return min(self.outcomes, key=_how_bad, default=None)

    @property
    def survives_any(self) -> bool:
        """True if every failure looked at leaves all limits held at full load."""
        return all(outcome.verdict == "holds" for outcome in self.outcomes)


_ORDER: tuple[Verdict, ...] = ("shut down", "holds with less load", "dark", "holds")


def _how_bad(outcome: FailureOutcome) -> tuple[int, float, float, float]:
    borne = 0.0 if outcome.verdict == "shut down" else outcome.load
    bearable = borne if outcome.bearable_load is None else outcome.bearable_load
    (soonest, *_) = (float("inf"),) if outcome.time_between is None else outcome.time_between
    margin = outcome.margin if outcome.margin is not None else float("-inf")
    return _ORDER.index(outcome.verdict), bearable, soonest if outcome.time is None else outcome.time, margin
