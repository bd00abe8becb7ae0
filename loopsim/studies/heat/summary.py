"""The heat of a layout in a sentence and a few numbers, for a line or a row that stands beside others."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

from loopsim.network import ROOM
from loopsim.studies.heat.results import NEVER, ComponentHeat, HeatPoint
from loopsim.studies.results import Finding, OperatingPoint
from loopsim.studies.sentence import Sentence, datum, marked, quantity

__all__ = ["air_drawn_in", "band_of", "component_sentence", "heat_sentence", "news_of_heat", "settled"]

NO_BANDS: Mapping[str, float] = MappingProxyType({})


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
    return replace(finding, text=f"{case.case.name}: {marked(finding.text)}")


def settled(temperature: float) -> float | None:
    """A temperature [degrees Celsius]; None where heat has no way out, so that it never settles."""
    return None if abs(temperature) > NEVER else temperature


def heat_sentence(heat: HeatPoint, bands: Mapping[str, float] = NO_BANDS) -> Sentence:
    """Whether it stays cool: the coolant against the room, and the component nearest to its limit.

    `bands` are half widths by the keys of `loopsim.studies.figures`, as `quick_bands` gives them.
    """
    warmest = heat.warmest
    parts = [_coolant(heat), component_words(warmest, band_of(warmest, bands)) if warmest is not None else ""]
    parts = [words for words in parts if words]
    answer = "; ".join(parts) or "nothing is heated"
    return Sentence(f"{heat.case.name}, room at {datum(heat.room, 'c')}: {answer}")


def _coolant(heat: HeatPoint) -> str:
    if not heat.streams:
        return ""
    if heat.coolant_rise is None:
        return "the heat has no way out, so the coolant never settles"
    return f"the coolant gets up to {quantity(heat.coolant_rise, 'k', 1)} warmer than the room"


def component_sentence(component: ComponentHeat, half: float = 0.0) -> Sentence:
    """What a component reaches, how far from its limit: ``"Lamp reaches 78 ± 7 °C, 12 ± 7 K below its limit"``.

    Parameters
    ----------
    component : ComponentHeat
    half : float
        Half width of the band of its temperature, 0 where none is known [K].
    """
    return Sentence(component_words(component, half))


def component_words(component: ComponentHeat, half: float = 0.0) -> str:
    """The same to be put into another sentence."""
    if component.boils:
        return f"{component.name}: its coolant boils"
    if component.temperature is None:
        return f"{component.name} warms without end"
    who = component.name if component.cooled_by == "coolant" else f"the air around {component.name}"
    return f"{who} reaches {quantity(component.temperature, 'c', 1, half)}{_against_limit(component, half)}"


def _against_limit(component: ComponentHeat, half: float) -> str:
    if component.margin is None:
        return ""
    side = "below" if component.margin >= 0 else "above"
    return f", {quantity(abs(component.margin), 'k', 1, half)} {side} its limit"


def band_of(component: ComponentHeat, bands: Mapping[str, float]) -> float:
    """Half width of the band of a component's temperature, 0 where none is known [K]."""
    return bands.get(f"{component.name}, temperature_c", 0.0)
