"""Levels of flow and coolant temperature at which to warn and to cut, proposed from what failures lead to."""

from collections.abc import Sequence

from loopsim.studies.failing.bearable import holds
from loopsim.studies.failing.results import Alarms, FailureOutcome
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.sentence import quantity
from loopsim.studies.words import NO_FLOW, l_h

__all__ = ["coolant_at", "proposed_alarms", "total_load"]

_LOADED = 0.99  # share of the load from which a case tells something of the levels: where power is lost, none matters
_LOWERED = 0.9  # share of the healthy flow below which a failure shows in the flow


def proposed_alarms(base: HeatPoint, outcomes: Sequence[FailureOutcome]) -> Alarms:
    """Alarm levels at the place that stands for the loop.

    Cut below the flow halfway between the least at which limits still hold and the largest below it at which they do
    not; warn below the flow halfway between the healthy one and the largest to which a failure lowers it. Cut above
    the coolant temperature at which, in the worst case that still has flow enough, a component meets its limit; warn
    halfway to it from the healthy one. A flow alarm needs a delay of some seconds, for bubbles pass; proposals,
    to be checked on the finished machine.

    Parameters
    ----------
    base : HeatPoint
        With everything in order.
    outcomes : sequence of FailureOutcome
    """
    place = base.point.loop_flow_at
    if place is None or base.point.loop_flow <= 0:
        return Alarms(place, None, None, None, None, "Nothing flows, so there is nothing to watch.")
    if not holds(base):
        return Alarms(place, None, None, None, None, "Limits are passed with everything in order: no level can help.")
    loaded = [each for each in outcomes if each.load >= _LOADED * total_load(base)]
    flow_warn, flow_cut = _flow_levels(base, loaded)
    coolant_warn, coolant_cut = _coolant_levels(base, loaded, place, flow_cut)
    where = base.point.build.part(place).name
    sentence = f"At {where}: warn below {l_h(flow_warn)}, cut below {l_h(flow_cut)}"
    if coolant_warn is not None and coolant_cut is not None:
        sentence += f"; warn above {quantity(coolant_warn, 'c')}, cut above {quantity(coolant_cut, 'c')}"
    return Alarms(place, flow_warn, flow_cut, coolant_warn, coolant_cut, f"{sentence}.")


def total_load(heat: HeatPoint) -> float:
    """Heat of all components together [W]."""
    return sum(each.heat for each in heat.components)


def coolant_at(heat: HeatPoint, place: str) -> float | None:
    """Temperature of the coolant in a vessel, or that at which it leaves a part [degrees Celsius]."""
    if place in heat.ports:
        return heat.ports[place]
    return heat.streams[place][1] if place in heat.streams else None


def _flow_levels(base: HeatPoint, outcomes: Sequence[FailureOutcome]) -> tuple[float, float]:
    healthy = base.point.loop_flow
    enough = min([healthy, *(each.flow for each in outcomes if each.verdict == "holds" and each.flow > NO_FLOW)])
    too_little = max((each.flow for each in outcomes if each.verdict != "holds" and each.flow < enough), default=0.0)
    cut = (enough + too_little) / 2
    lowered = max((each.flow for each in outcomes if each.share < _LOWERED), default=_LOWERED * healthy)
    return max((healthy + lowered) / 2, (healthy + cut) / 2), cut


def _coolant_levels(
    base: HeatPoint, outcomes: Sequence[FailureOutcome], place: str, flow_cut: float
) -> tuple[float | None, float | None]:
    enough = [base, *(each.heat for each in outcomes if each.heat is not None and each.flow >= flow_cut)]
    meets = [limit for heat in enough if (limit := _meets_limit_at(heat, place)) is not None]
    healthy = coolant_at(base, place)
    if healthy is None or not meets:
        return None, None
    cut = min(meets)
    if cut <= healthy:  # it would cut the healthy machine: some failure cannot be told by the coolant here
        return None, None
    return (healthy + cut) / 2, cut


def _meets_limit_at(heat: HeatPoint, place: str) -> float | None:
    """Temperature of the coolant there with which the first component on a block would just meet its limit."""
    there = coolant_at(heat, place)
    margins = [each.margin for each in heat.components if each.cooled_by == "coolant" and each.margin is not None]
    return None if there is None or not margins else there + min(margins)
