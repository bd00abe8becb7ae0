"""What a failure leads to, in a sentence."""

from collections.abc import Iterator
from math import inf

from loopsim.studies.failing.bearable import holds
from loopsim.studies.failing.results import FailureOutcome
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.words import duration, l_h
from loopsim.units import from_si

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
    happens = [*_flow_words(base, outcome), _warmest_words(outcome), _time_words(base, outcome)]
    title = outcome.failure.title
    words = ", ".join(each for each in happens if each)
    return f"{title[0].upper()}{title[1:]}: {f'{words}; ' if words else ''}{_verdict_words(outcome)}."


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
    return f"{from_si(flow, 'm3_h'):.0f} m³/h of air"


def _warmest_words(outcome: FailureOutcome) -> str:
    if outcome.heat is None:
        return "flow and heat come to no rest"
    warmest = outcome.warmest
    if warmest is None:
        return ""
    if warmest.boils:
        return f"the coolant boils at {warmest.name}"
    if warmest.temperature is None:
        return f"{warmest.name} never settles"
    if warmest.margin is None:
        return f"{warmest.name} at {warmest.temperature:.0f} °C"
    side = "below" if warmest.margin >= 0 else "above"
    return f"{warmest.name} {abs(warmest.margin):.1f} K {side} its limit"


def _time_words(base: HeatPoint, outcome: FailureOutcome) -> str:
    if outcome.verdict != "holds" and not holds(base):
        return "a limit is passed with everything in order"
    if outcome.time is not None:
        return f"the first limit is met after {duration(outcome.time)}"
    if outcome.time_between is None:
        return ""
    least, most = outcome.time_between
    until = f" to {duration(most)}" if most < inf else " or more"
    return f"the first limit is met after {duration(least)}{until}"


def _verdict_words(outcome: FailureOutcome) -> str:
    if outcome.verdict == "holds":
        return "it holds"
    if outcome.bearable_load is not None:
        return f"cut the load to {outcome.bearable_load:.0f} W of {outcome.load:.0f} W"
    return "shut down"
