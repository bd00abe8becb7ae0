"""What heat and air say, as sentences."""

from collections.abc import Iterator
from math import inf

from app import figures
from app.answer import Answer, CaseHeat
from app.measures import measures
from loopsim.studies import ComponentHeat, HeatPoint, SupplyLoad, air_flows, settled
from loopsim.studies.heat import band_of, component_sentence

__all__ = [
    "degrees", "half_band", "headline", "line", "load_of", "margin", "needs_attention", "of_item", "temperature",
    "verdict", "worst_case",
]  # fmt: skip


def worst_case(answer: Answer) -> CaseHeat | None:
    """The load case whose warmest component is nearest to its limit, or furthest past it; None without components."""
    loaded = [each for each in answer.heat if each.point.warmest is not None]
    return min(loaded, key=lambda each: _rank(each.point.warmest), default=None)


def headline(case: CaseHeat) -> str:
    """The answer to "does it stay cool" in a sentence."""
    warmest = case.point.warmest
    if warmest is None:
        return "Nothing is heated yet"
    return figures.capitalised(component_sentence(warmest, half_band(warmest, case)))


def line(point: HeatPoint) -> str:
    """Under which conditions that holds, and what goes with it."""
    case = point.case
    said = [f"{case.name[:1].upper()}{case.name[1:]}, room {degrees(point.room)} {figures.label('c')}"]
    if point.warmest is None:
        return "Give a block or an air-cooled part its loads and limits on its sheet."
    if point.coolant_rise is not None:
        said.append(f"coolant up to {figures.amount(point.coolant_rise, 'k')} above it")
    said.append(f"{figures.watts(point.budget.electrical)} W of heat in all")
    if point.sound is not None:
        said.append(f"about {point.sound:.0f} dB(A) at 1 m")
    return ", ".join(said) + "."


def temperature(component: ComponentHeat) -> str:
    """What a component reaches, in a few words."""
    if component.boils:
        return "coolant boils"
    if component.temperature is None:
        return "warms without end"
    return figures.amount(component.temperature, "c")


def half_band(component: ComponentHeat, case: CaseHeat) -> float:
    """Half width of the band of a component's temperature; that of its own block while no more is known [K]."""
    return band_of(component, case.bands) or component.tolerance


def margin(component: ComponentHeat, half: float = 0.0) -> str:
    """How far a component is from its limit, in words, with no more digits than its band allows."""
    if component.limit is None:
        return "no limit given"
    if component.margin is None:
        return f"limit {figures.in_unit(component.limit, 'c', measures.unit('c'))} {figures.label('c')}"
    side = "left" if component.margin >= 0 else "over"
    return f"{figures.banded(abs(component.margin), 'k', half if half >= 0.05 else 0.0)} {figures.label('k')} {side}"


def needs_attention(component: ComponentHeat, half: float) -> str:
    """``"rust"`` past its limit, ``"amber"`` where the margin is within the band, else empty."""
    if not component.holds:
        return "rust"
    return "amber" if component.margin is not None and component.margin < half else ""


def load_of(supply: SupplyLoad) -> str:
    """What a supply gives against its rating, and what it loses where."""
    load, rating = figures.watts(supply.load), figures.plain(supply.rating)
    return f"{load} of {rating} W, loses {figures.watts(supply.loss)} W {supply.stands}"


def verdict(case: CaseHeat) -> tuple[str, str]:
    """The warmest component and its margin: the answer, and what it is about."""
    component = case.point.warmest
    if component.margin is None:
        return temperature(component), component.name
    half = half_band(component, case)
    at = figures.banded(component.temperature, "c", half).partition(" ±")[0]
    return f"{at} {figures.label('c')} · {margin(component, half)}", component.name


def of_item(point: HeatPoint, item: str) -> list[str]:
    """What heat and air have to say of a part or tube run, a line for each."""
    return [*_of_coolant(point, item), *_of_components(point, item), *_of_air(point, item)]


def _of_coolant(point: HeatPoint, item: str) -> Iterator[str]:
    enters, leaves = (settled(at) for at in point.streams.get(item, (inf, inf)))
    if enters is not None and leaves is not None:
        there, on = figures.amount(enters, "c"), figures.amount(leaves, "c")
        yield f"coolant at {there}" if there == on else f"coolant enters at {there}, leaves at {on}"
    for each in point.exchangers:
        if each.part == item:
            yield f"sheds {figures.watts(each.heat)} W"


def _of_components(point: HeatPoint, item: str) -> Iterator[str]:
    for each in point.components:
        if each.part == item:
            yield f"{each.name}: {figures.watts(each.heat)} W, {temperature(each)}, {margin(each, each.tolerance)}"
    for supply in point.supplies:
        if supply.id == item:
            yield load_of(supply)


def _of_air(point: HeatPoint, item: str) -> Iterator[str]:
    for air in air_flows(point):
        if air.part == item:
            yield f"{figures.amount(air.flow, 'm3_h')} of air, {air.source} to {air.target}"


def degrees(temperature: float) -> str:
    """A temperature that was given, such as the room's, as it was typed, in the builder's unit."""
    return figures.plain(round(figures.in_own(temperature, "c"), 1)).replace("-", "−")


def _rank(component: ComponentHeat | None) -> float:
    if component is None or component.boils or component.temperature is None:
        return float("-inf")
    return float("inf") if component.margin is None else component.margin
