"""The heat of a layout in a sentence and a few numbers, for a line or a row that stands beside others."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from loopsim.network import ROOM
from loopsim.studies.heat.results import NEVER, ComponentHeat, HeatPoint
from loopsim.studies.results import Finding, OperatingPoint

__all__ = ["air_drawn_in", "heat_sentence", "news_of_heat", "settled"]


def air_drawn_in(heat: HeatPoint) -> float:
    """Air that the machine takes from the room, through whatever it comes [m3/s]."""
    flow = heat.coupled.air.flow
    leaving = 0.0
    for name, link in heat.coupled.thermal.air.network.links.items():
        if link.start == ROOM:
            leaving += max(flow[name], 0.0)
        elif link.end == ROOM:
            leaving += max(-flow[name], 0.0)
    return leaving


def news_of_heat(shown: HeatPoint, cases: Iterable[HeatPoint], point: OperatingPoint) -> tuple[Finding, ...]:
    """What heat has to say and the flow at the stated coolant temperature has not, each once.

    Parameters
    ----------
    shown : HeatPoint
        The load case in view; it comes first.
    cases : iterable of HeatPoint
        All load cases. What only another case has to say names that case.
    point : OperatingPoint
        The flow at the stated temperature.
    """
    said = {(finding.code, finding.part) for finding in point.findings}
    news = []
    for case in (shown, *(each for each in cases if each is not shown)):
        fresh = [finding for finding in _of_heat(case) if (finding.code, finding.part) not in said]
        said |= {(finding.code, finding.part) for finding in fresh}
        news += fresh if case is shown else [_named(finding, case) for finding in fresh]
    return tuple(news)


def _of_heat(heat: HeatPoint) -> Iterator[Finding]:
    """Its findings; where heat has no way out, the flow at temperatures that are never reached says nothing."""
    unreached = () if heat.is_steady else heat.point.findings
    return (finding for finding in heat.findings if finding not in unreached)


def _named(finding: Finding, case: HeatPoint) -> Finding:
    return replace(finding, text=f"{case.case.name}: {finding.text}")


def settled(temperature: float) -> float | None:
    """A temperature [degrees Celsius]; None where heat has no way out, so that it never settles."""
    return None if abs(temperature) > NEVER else temperature


def heat_sentence(heat: HeatPoint) -> str:
    """Whether it stays cool: the coolant against the room, and the component nearest to its limit."""
    parts = [words for words in (_coolant(heat), _nearest(heat.warmest)) if words]
    answer = "; ".join(parts) or "nothing is heated"
    return f"{heat.case.name}, room at {heat.room:g} °C: {answer}"


def _coolant(heat: HeatPoint) -> str:
    if not heat.streams:
        return ""
    if heat.coolant_rise is None:
        return "the heat has no way out, so the coolant never settles"
    return f"the coolant gets up to {heat.coolant_rise:.1f} K warmer than the room"


def _nearest(component: ComponentHeat | None) -> str:
    if component is None:
        return ""
    if component.boils:
        return f"the coolant of {component.name} boils"
    if component.temperature is None:
        return f"{component.name} warms without end"
    at = f"{component.name} is at" if component.cooled_by == "coolant" else f"the air around {component.name} is at"
    return f"{at} {component.temperature:.1f} °C{_against_limit(component)}"


def _against_limit(component: ComponentHeat) -> str:
    if component.margin is None:
        return ""
    side = "below" if component.margin >= 0 else "above"
    return f", {abs(component.margin):.1f} K {side} its limit"
