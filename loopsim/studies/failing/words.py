"""What a failure leads to, in a sentence."""

from collections.abc import Iterator
from math import inf

from loopsim.studies.failing.bearable import holds
from loopsim.studies.failing.results import MUST_ACT, FailureOutcome
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.heat.summary import component_words
from loopsim.studies.sentence import marked, quantity
from loopsim.studies.words import duration, l_h, listed

__all__ = ["outcome_sentence"]

_SAME = 0.995  # share of the flow from which it counts as the same
_NOTHING = 0.005  # share up to which it counts as none


def outcome_sentence(base: HeatPoint, outcome: FailureOutcome) -> str:
    """What happens and what to do.

    Parameters
    ----------
    base : HeatPoint
        With everything in order.
    outcome : FailureOutcome
        Its own sentence does not count.
    """
    happens = [
        _power_words(outcome),
        *_flow_words(base, outcome),
        _warmest_words(outcome),
        *_overload_words(outcome),
        _time_words(base, outcome),
    ]
    title = marked(outcome.failure.title)
    words = ", ".join(each for each in happens if each)
    return f"{title[0].upper()}{title[1:]}: {f'{words}; ' if words else ''}{_verdict_words(outcome)}."


def _power_words(outcome: FailureOutcome) -> str:
    """What hung on a supply that is lost."""
    if all(event.what != "lost" for event in outcome.failure.events):
        return ""
    out = outcome.situation.stopped.union(outcome.dark)
    names = [outcome.point.build.part(part).name for part in outcome.situation.layout.placements if part in out]
    return f"{listed(names)} without power" if names else ""


def _overload_words(outcome: FailureOutcome) -> Iterator[str]:
    for supply in outcome.overloaded:
        yield f"{supply.name} is asked for {supply.load:.0f} W and may give {supply.rating:.0f} W"


def _flow_words(base: HeatPoint, outcome: FailureOutcome) -> Iterator[str]:
    share = outcome.share
    if base.point.loop_flow > 0 and share < _SAME:
        stays = f"{l_h(outcome.flow)} stays, {share * 100:.0f} % of the flow"
        yield stays if share > _NOTHING else "nothing flows"
    pumps = {pump.id for pump in outcome.point.pumps}
    for part_id, each in outcome.back_flows.items():
        amount = l_h(each) if part_id in pumps else _m3_h(each)
        yield f"{amount} runs back through {outcome.point.build.part(part_id).name}"


def _m3_h(flow: float) -> str:
    return f"{quantity(flow, 'm3_h')} of air"


def _warmest_words(outcome: FailureOutcome) -> str:
    if outcome.load == 0 and outcome.dark:
        return ""
    if outcome.heat is None:
        return "flow and heat come to no rest"
    return "" if outcome.warmest is None else component_words(outcome.warmest)


def _time_words(base: HeatPoint, outcome: FailureOutcome) -> str:
    if outcome.verdict in MUST_ACT and not holds(base):
        return "a limit is passed with everything in order"
    warms = ", were the room to warm at once" if any(each.what == "hot room" for each in outcome.failure.events) else ""
    bounds = outcome.time_between
    if outcome.time is not None:
        by_hand = f" ({_by_hand(*bounds)})" if bounds is not None and outcome.time > 0 else ""
        return f"the first limit is met {_after(outcome.time)}{by_hand}{warms}"
    return "" if bounds is None else f"the first limit is met after {_between(bounds)}{warms}"


def _after(time: float) -> str:
    return f"after {duration(time)}" if time > 0 else "at once"


def _by_hand(alone: float, whole: float) -> str:
    loop = f", the whole loop {duration(whole)}" if whole < inf else ""
    return f"its block alone would take {duration(alone)}{loop}"


def _between(bounds: tuple[float, float]) -> str:
    least, most = bounds
    return f"{duration(least)} to {duration(most)}" if most < inf else f"{duration(least)} or more"


def _verdict_words(outcome: FailureOutcome) -> str:
    if outcome.verdict == "holds":
        return "it holds"
    if outcome.verdict == "dark":
        return "the machine is dark" if outcome.load == 0 else "what has power holds"
    if outcome.bearable_load is not None:
        return f"cut the load to {outcome.bearable_load:.0f} W of {outcome.load:.0f} W"
    return "shut down"
