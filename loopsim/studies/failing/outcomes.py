"""What every failure of a layout leads to: flow, temperatures, time, and what is to be done."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from loopsim.build import Build
from loopsim.parts import Block, Pump
from loopsim.studies.failing.alarms import proposed_alarms
from loopsim.studies.failing.bearable import SETTLED, at_rest, bearable_share, holds
from loopsim.studies.failing.catalogue import Failure, Situation, catalogue, pairs_of
from loopsim.studies.failing.grace import Grace
from loopsim.studies.failing.results import MUST_ACT, FailureOutcome, FailureOutcomes, Verdict
from loopsim.studies.failing.words import outcome_sentence
from loopsim.studies.heat.point import heat_point
from loopsim.studies.heat.results import FanFlow, HeatPoint
from loopsim.studies.heat.transient import transient
from loopsim.studies.operating import operating_point
from loopsim.studies.results import OperatingPoint, PumpFlow
from loopsim.studies.words import WORTH_SAYING

__all__ = ["each_outcome", "failure_outcomes", "outcomes_from", "timed_outcome"]

_FOLLOWED = 8 * 60.0  # how long a course is followed that comes to no limit [min]


def failure_outcomes(
    build: Build,
    layout_name: str | None = None,
    case_name: str | None = None,
    pairs: bool = False,
    timed: bool = False,
) -> FailureOutcomes:
    """Solve a layout after every failure of its catalogue, flow, heat and air together.

    Parameters
    ----------
    build : Build
    layout_name, case_name : str, optional
        The first layout and the first load case if not given.
    pairs : bool
        Also every two single failures at once.
    timed : bool
        Follow the course in time where a limit is passed, see `timed_outcome`; not for pairs, of which there are many.

    Raises
    ------
    SketchError
        If there is no such layout or load case, or nothing is placed in the layout.
    NotSolved
        Never for a reason of the sketch; a defect of ours.
    """
    return outcomes_from(heat_point(build, layout_name, case_name), pairs, timed)


def outcomes_from(base: HeatPoint, pairs: bool = False, timed: bool = False) -> FailureOutcomes:
    """The same for a layout that is solved already with everything in order."""
    failures = catalogue(base.point.build, base.point.layout.name)
    outcomes = tuple(each_outcome(base, failures, timed))
    if pairs:
        outcomes += tuple(each_outcome(base, pairs_of(failures)))
    return FailureOutcomes(base, outcomes, proposed_alarms(base, outcomes))


def each_outcome(base: HeatPoint, failures: Iterable[Failure], timed: bool = False) -> Iterator[FailureOutcome]:
    """The outcomes one by one as they are found, so that a front end can show how far it is, and stop.

    Parameters
    ----------
    base : HeatPoint
        The layout with everything in order.
    failures : iterable of Failure
    timed : bool
        As in `failure_outcomes`.
    """
    healthy, grace = Situation(base.point.build, base.point.layout.name), Grace(base)
    for failure in failures:
        outcome = _outcome(grace, failure, failure.strike(healthy))
        yield timed_outcome(base, outcome) if timed else outcome


def timed_outcome(base: HeatPoint, outcome: FailureOutcome) -> FailureOutcome:
    """The same with its time to the first limit, followed from the healthy machine at rest through the struck one.

    Parameters
    ----------
    base : HeatPoint
        The layout with everything in order.
    outcome : FailureOutcome
        As `each_outcome` gives it; comes back as it is where it holds, or where a limit was passed before.

    Raises
    ------
    NotSolved
        Never for a reason of the sketch; a defect of ours.
    """
    if outcome.verdict not in MUST_ACT or not holds(base):
        return outcome
    timed = replace(outcome, time=_time(base, outcome))
    return replace(timed, sentence=outcome_sentence(base, timed))


def _outcome(grace: Grace, failure: Failure, struck: Situation) -> FailureOutcome:
    base = grace.healthy
    heat = at_rest(struck, base.case.name, base, SETTLED)
    point = _flow_alone(struck) if heat is None else heat.point
    flow, dark = flow_at(point, base.point.loop_flow_at), _dark(base, struck)
    load = sum(each.heat for each in base.components if each.part not in dark)
    verdict, bearable = _verdict(struck, heat, load, dark)
    outcome = FailureOutcome(
        failure=failure,
        situation=struck,
        point=point,
        heat=heat,
        flow=flow,
        share=flow / base.point.loop_flow if base.point.loop_flow > 0 else 0.0,
        block_flows={part.id: abs(part.flow) for part in point.parts if _is_block(point, part.id)},
        back_flows=_back_flows(point, heat),
        verdict=verdict,
        load=load,
        bearable_load=bearable,
        time_between=grace.bounds(heat) if verdict in MUST_ACT else None,
        time=None,
        dark=dark,
        sentence="",
    )
    return replace(outcome, sentence=outcome_sentence(base, outcome))


def _dark(base: HeatPoint, struck: Situation) -> tuple[str, ...]:
    """Blocks and air-cooled parts that gave heat and are without power now, in the order of the layout."""
    build, case = struck.build, struck.build.load_case(base.case.name)
    loaded = {each.part for each in base.components if each.heat > 0}
    return tuple(part for part in struck.layout.placements if part in loaded and build.load_share(case, part) == 0)


def _flow_alone(struck: Situation) -> OperatingPoint:
    pumps = {part_id for part_id in struck.stopped if isinstance(struck.build.part(part_id), Pump)}
    return operating_point(struck.build, struck.layout_name, pumps)


def flow_at(point: OperatingPoint, place: str | None) -> float:
    """Flow at the place that stood for the healthy loop, without direction [m3/s]."""
    return abs(point.of(place).flow) if place is not None else 0.0


def _verdict(
    struck: Situation, heat: HeatPoint | None, load: float, dark: tuple[str, ...]
) -> tuple[Verdict, float | None]:
    if heat is None:
        return "shut down", None
    if holds(heat):
        return ("dark" if dark else "holds"), None
    share = bearable_share(struck, heat)
    return ("holds with less load", share * load) if share > 0 else ("shut down", None)


def _time(base: HeatPoint, outcome: FailureOutcome) -> float | None:
    """Until the first limit; at once where a supply is asked for more than it may give."""
    if outcome.overloaded:
        return 0.0
    struck = outcome.situation
    return transient(
        struck.build,
        struck.layout_name,
        base.case.name,
        struck.stopped,
        _FOLLOWED,
        healthy=base,
        until_limit=True,
    ).time_to_limit


def _is_block(point: OperatingPoint, item: str) -> bool:
    return isinstance(point.build.parts_by_id.get(item), Block)


def _back_flows(point: OperatingPoint, heat: HeatPoint | None) -> dict[str, float]:
    machines: tuple[PumpFlow | FanFlow, ...] = (*point.pumps, *(() if heat is None else heat.fans))
    return {each.id: -each.flow for each in machines if each.state != "running" and each.flow < -WORTH_SAYING}
