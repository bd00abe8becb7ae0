"""What heat and air have to say: limits, boiling, freezing, fans against a wall, supplies beyond their rating."""

from collections.abc import Iterator, Mapping

from loopsim.build import LoadCase
from loopsim.network import ThermalNetwork
from loopsim.studies.heat.power import SupplyLoad
from loopsim.studies.heat.results import NEVER, ComponentHeat, ExchangerHeat, FanFlow, SpaceAir
from loopsim.studies.results import Finding
from loopsim.studies.sentence import datum, quantity
from loopsim.studies.words import NO_FLOW, l_h

__all__ = ["heat_findings"]

_NO_AIR = 1e-7  # below 0.4 L/h of air nothing moves [m3/s]
_FREEZING_MARGIN = 5.0  # to be kept above the freezing point; common practice, no source [K]
_BOILS = 100.0  # of what stands at about the room's pressure [degrees Celsius]
_UNEVEN = 0.1  # difference of flows that is worth saying, as a share of the larger
_ESCAPING = 0.05  # share of the air that is worth saying


def heat_findings(
    thermal: ThermalNetwork,
    case: LoadCase,
    flow: Mapping[str, float],
    streams: Mapping[str, tuple[float, float]],
    standing: frozenset[str],
    components: tuple[ComponentHeat, ...],
    exchangers: tuple[ExchangerHeat, ...],
    fans: tuple[FanFlow, ...],
    spaces: tuple[SpaceAir, ...],
    supplies: tuple[SupplyLoad, ...],
) -> Iterator[Finding]:
    """Everything worth saying, worst first within each kind."""
    for component in components:
        yield from _component(component)
    yield from _uneven(components, _largest_flows(thermal, flow))
    yield from _no_way_out(thermal, streams, standing, components)
    for exchanger in exchangers:
        yield from _exchanger(exchanger)
    yield from _air(fans, spaces)
    for supply in supplies:
        if supply.is_overloaded:
            text = f"{supply.name}: gives {supply.load:.0f} W, it is rated for {supply.rating:g} W"
            yield Finding("overloaded", supply.id, text)
    yield from _frost(thermal, case)
    yield from _limit_below_room(thermal, components)


def _component(component: ComponentHeat) -> Iterator[Finding]:
    if component.boils:
        still = "no coolant flows through it, what stands in it boils"
        why = still if component.cooled_by == "coolant" and component.flow < NO_FLOW else "its coolant boils"
        yield Finding("boils", component.part, f"{component.name}: {why}; see how long it takes to get there")
    elif component.temperature is None:
        text = f"{component.name}: {component.heat:.0f} W have no way out, so it warms without end"
        yield Finding("no_way_out", component.part, text)
    elif component.limit is not None and component.margin is not None and component.margin < 0:
        of = "the air around it reaches" if component.cooled_by == "air" else "it reaches"
        text = f"{component.name}: {of} {quantity(component.temperature, 'c', 1)}"
        yield Finding("over_limit", component.part, f"{text}, its limit is {datum(component.limit, 'c')}")


def _uneven(components: tuple[ComponentHeat, ...], most: Mapping[str, float]) -> Iterator[Finding]:
    """Blocks side by side that get unlike shares of the flow; in a row the same flow would pass both."""
    flows = {each.part: each for each in components if each.cooled_by == "coolant" and each.flow > NO_FLOW}
    for part, less in flows.items():
        beside = [
            other
            for other in flows.values()
            if less.flow < (1 - _UNEVEN) * other.flow
            and less.flow + other.flow < 1.001 * min(most[part], most[other.part])
        ]
        if beside:
            more = max(beside, key=lambda each: each.flow)
            text = f"{less.name} gets {l_h(less.flow)}, {more.name} beside it {l_h(more.flow)}"
            text += ": the flow divides unevenly"
            yield Finding("uneven_flow", part, text, quiet=True)


def _largest_flows(thermal: ThermalNetwork, flow: Mapping[str, float]) -> dict[str, float]:
    """Largest flow of any element in the circuit of each part that is an element itself."""
    most = {circuit: max(abs(flow[name]) for name in circuit.body.links) for circuit in thermal.loop.circuits}
    return {name: most[circuit] for name, circuit in thermal.loop.circuit_of.items()}


def _no_way_out(
    thermal: ThermalNetwork,
    streams: Mapping[str, tuple[float, float]],
    standing: frozenset[str],
    components: tuple[ComponentHeat, ...],
) -> Iterator[Finding]:
    """Coolant whose heat has nowhere to go: of the whole loop, or what stands in a pump against something shut."""
    if any(component.boils or component.temperature is None for component in components):
        return
    if any(leaves > NEVER for item, (_, leaves) in streams.items() if item not in standing):
        yield Finding("no_way_out", None, "the coolant's heat has no way out: no radiator with air and flow through it")
    for item in standing:
        part = thermal.loop.build.parts_by_id.get(item)
        if part is not None and streams[item][1] > _BOILS:
            text = f"{part.name}: what stands in it is heated and cannot leave, so it boils; stop it, or open the way"
            yield Finding("standing_boils", item, text)


def _exchanger(exchanger: ExchangerHeat) -> Iterator[Finding]:
    if exchanger.flow > NO_FLOW and exchanger.is_air_cooled and exchanger.other_flow < _NO_AIR:
        yield Finding("no_air", exchanger.part, f"{exchanger.name}: no air passes through it, so it gives off nothing")
    elif exchanger.is_air_cooled and exchanger.heat < -1.0:
        text = f"{exchanger.name}: warms the coolant, its air is the hotter of the two"
        yield Finding("warms_coolant", exchanger.part, text)


def _air(fans: tuple[FanFlow, ...], spaces: tuple[SpaceAir, ...]) -> Iterator[Finding]:
    for fan in fans:
        if fan.state == "does not start":
            yield Finding("fan_start", fan.id, f"{fan.name}: too slow to start, it stands")
        elif fan.state == "running" and abs(fan.flow) < _NO_AIR:
            yield Finding("dead_fan", fan.id, f"{fan.name}: moves no air, there is no way out for it")
        elif fan.flow < -_NO_AIR:
            text = f"{fan.name}: air runs back through it, {quantity(-fan.flow, 'm3_h', 1)}"
            yield Finding("air_back", fan.id, text)
    for space in spaces:
        if space.escaping > _ESCAPING:
            text = f"{100 * space.escaping:.0f} % of the air that leaves the {space.name} passes no radiator"
            yield Finding("escaping_air", None, text)


def _frost(thermal: ThermalNetwork, case: LoadCase) -> Iterator[Finding]:
    """Each coolant against the coldest room."""
    for coolant in {circuit.coolant.id: circuit.coolant for circuit in thermal.loop.circuits}.values():
        freezes = coolant.medium.freezing_point_c
        if thermal.room_c < freezes + _FREEZING_MARGIN:
            text = (
                f"{coolant.medium.name} freezes at {quantity(freezes, 'c')}; the room has {datum(thermal.room_c, 'c')} "
                f"in the case {case.name!r}, keep {datum(_FREEZING_MARGIN, 'k')} above"
            )
            yield Finding("frost", None, text)


def _limit_below_room(thermal: ThermalNetwork, components: tuple[ComponentHeat, ...]) -> Iterator[Finding]:
    for component in components:
        if component.limit is not None and component.limit <= thermal.room_c:
            text = (
                f"{component.name}: its limit of {datum(component.limit, 'c')} is not above the room's "
                f"{datum(thermal.room_c, 'c')}; nothing here cools below the room"
            )
            yield Finding("limit_below_room", component.part, text)
