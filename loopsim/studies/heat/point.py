"""Does it stay cool: coolant, components, air and supplies of a layout at one load case."""

from collections.abc import Collection, Iterator

import numpy as np

from loopsim.build import Build, Layout, LoadCase
from loopsim.errors import SketchError, did_you_mean
from loopsim.network import ROOM, ThermalNetwork, assemble_thermal
from loopsim.parts import AirComponent, Block, Fan, Part, Pump
from loopsim.solve import Coupled, solve_coupled
from loopsim.studies.heat.boiling import boiling_points_c
from loopsim.studies.heat.findings import heat_findings
from loopsim.studies.heat.power import SupplyLoad
from loopsim.studies.heat.results import (
    NEVER,
    ComponentHeat,
    ExchangerHeat,
    FanFlow,
    HeatBudget,
    HeatPoint,
    SpaceAir,
)
from loopsim.studies.heat.sound import incoherent_sum
from loopsim.studies.heat.sources import HeatSources
from loopsim.studies.operating import solved_layout
from loopsim.studies.results import Finding
from loopsim.studies.words import NO_FLOW

__all__ = ["component_heats", "heat_point", "heat_points", "heat_sources", "read_heat", "solved_heat"]

_FLOWS_SEARCHED = np.geomspace(1e-8, 1e-2, 601)  # among which a least flow is looked for [m3/s]


def heat_point(
    build: Build,
    layout_name: str | None = None,
    case_name: str | None = None,
    stopped: Collection[str] = (),
    near: HeatPoint | None = None,
) -> HeatPoint:
    """Solve flow, heat and air of a layout together.

    Parameters
    ----------
    build : Build
    layout_name, case_name : str, optional
        The first layout and the first load case if not given.
    stopped : collection of str
        Ids of pumps and fans without power.
    near : HeatPoint, optional
        A result of the same layout to start from; it saves time and changes nothing else.

    Raises
    ------
    SketchError
        If there is no such layout, load case, pump or fan, or nothing is placed in the layout.
    NotSolved
        Never for a reason of the sketch; a defect of ours.
    """
    layout, case = build.layout(layout_name), build.load_case(case_name)
    return read_heat(*solved_heat(build, layout, case, stopped, None if near is None else near.coupled))


def solved_heat(
    build: Build,
    layout: Layout,
    case: LoadCase,
    stopped: Collection[str] = (),
    near: Coupled | None = None,
    left: float = 0.0,
) -> tuple[HeatSources, Coupled]:
    """Where heat enters a layout, and its flow, heat and air at rest with each other.

    Raises as `heat_point`; `near` and `left` are those of `solve_coupled`.
    """
    sources = heat_sources(build, layout, case, stopped)
    start = near if near is not None and _alike(near.thermal, sources.thermal) else None
    return sources, solve_coupled(sources.thermal, sources.at, start, left)


def heat_sources(build: Build, layout: Layout, case: LoadCase, stopped: Collection[str] = ()) -> HeatSources:
    """Where heat enters a layout; raises as `heat_point`, but solves nothing."""
    _check_stopped(build, layout, stopped)
    if not layout.placed:
        raise SketchError(f"layout {layout.name!r} is empty: place a reservoir, a pump and a block, and join them")
    room = build.ambient.temperature_c if case.ambient_c is None else case.ambient_c
    return HeatSources(assemble_thermal(build, layout, room, stopped), case)


def heat_points(build: Build, layout_name: str | None = None, stopped: Collection[str] = ()) -> tuple[HeatPoint, ...]:
    """The same for every load case of the build, see `heat_point`."""
    found: list[HeatPoint] = []
    for case in build.load_cases:
        found.append(heat_point(build, layout_name, case.name, stopped, found[-1] if found else None))
    return tuple(found)


def _check_stopped(build: Build, layout: Layout, stopped: Collection[str]) -> None:
    known = [part_id for part_id in layout.placements if isinstance(build.part(part_id), Pump | Fan)]
    for name in stopped:
        if name not in known:
            there = f"; there are: {', '.join(known)}" if known else ""
            hint = did_you_mean(name, known) or there
            raise SketchError(f"layout {layout.name!r} has no pump or fan {name!r} to stop{hint}", part=name)


def _alike(one: ThermalNetwork, other: ThermalNetwork) -> bool:
    return list(one.heat.streams) == list(other.heat.streams)


def read_heat(sources: HeatSources, coupled: Coupled, drawn: bool = True) -> HeatPoint:
    """The answer read from a solution; `drawn` as in `solved_layout`."""
    thermal, case = coupled.thermal, sources.case
    point = solved_layout(thermal.loop, coupled.liquid, drawn)
    streams, standing = _streams(coupled), _standing(coupled)
    components = component_heats(sources, coupled)
    exchangers, fans = tuple(_exchangers(coupled)), tuple(_fans(sources, coupled))
    spaces, supplies = tuple(_spaces(coupled)), sources.supplies(coupled.liquid)
    return HeatPoint(
        case=case,
        room=thermal.room_c,
        point=point,
        streams=streams,
        ports=_ports(coupled),
        components=components,
        exchangers=exchangers,
        fans=fans,
        spaces=spaces,
        supplies=supplies,
        budget=_budget(sources, coupled, supplies, exchangers),
        sound=_sound(sources, fans),
        findings=(
            *_undecided(coupled),
            *_unjoined(sources),
            *heat_findings(
                thermal, case, coupled.liquid.flow, streams, standing, components, exchangers, fans, spaces, supplies
            ),
            *point.findings,
        ),
        imbalance=coupled.imbalance,
        coupled=coupled,
        standing=standing,
    )


def _undecided(coupled: Coupled) -> Iterator[Finding]:
    if coupled.undecided:
        text = "which way the warm coolant would rise by itself is not decided; it counts as standing, the safe side"
        yield Finding("undecided_warmth", None, text)


def _unjoined(sources: HeatSources) -> Iterator[Finding]:
    """Marks of a drawing in progress: blocks and pumps whose heat does not count yet, beside those whose does."""
    parts = [part for part in sources.parts if isinstance(part, Block | Pump)]
    left_out = [part for part in parts if not sources.has_power(part)]
    for part in left_out if len(left_out) < len(parts) else ():
        text = f"{part.name}: no coolant is led round through it yet, so its heat does not count"
        yield Finding("unjoined", part.id, text, quiet=True)


def _urgency(component: ComponentHeat) -> tuple[bool, float]:
    """Those past all limits first, then by the least margin; without a limit last."""
    if component.boils or component.temperature is None:
        return False, -np.inf
    return False, np.inf if component.margin is None else component.margin


def _streams(coupled: Coupled) -> dict[str, tuple[float, float]]:
    """Temperatures at which liquid enters and leaves each part and run."""
    thermal, found = coupled.thermal, coupled.temperatures
    streams = {}
    for item, names in thermal.loop.elements_of.items():
        rows = [thermal.number[name] for name in names]
        if not rows:
            continue
        size = np.abs(coupled.rate[rows])
        if size.sum() > 0:  # of several ways, the mean of what passes through them
            enters, leaves = (float(each[rows] @ size / size.sum()) for each in (found.inlet, found.outlet))
        else:
            enters, leaves = float(found.inlet[rows].mean()), float(found.outlet[rows].mean())
        streams[item] = (thermal.room_c + enters, thermal.room_c + leaves)
    return streams


def _standing(coupled: Coupled) -> frozenset[str]:
    """Parts and runs in which nothing flows."""
    flow = coupled.liquid.flow
    elements = coupled.thermal.loop.elements_of.items()
    return frozenset(item for item, names in elements if names and all(abs(flow[name]) < NO_FLOW for name in names))


def _ports(coupled: Coupled) -> dict[str, float]:
    thermal = coupled.thermal
    number = {name: row for row, name in enumerate(thermal.loop.network.junctions)}
    ports = {}
    for run in thermal.loop.layout.runs:
        for reference in (run.start, run.end):
            junction = thermal.loop.junction_of(reference)
            ports[reference] = thermal.room_c + float(coupled.temperatures.node[number[junction]])
            if junction != reference:
                ports[junction] = ports[reference]
    return dict(sorted(ports.items()))


def component_heats(sources: HeatSources, coupled: Coupled) -> tuple[ComponentHeat, ...]:
    """The components of a layout as a solution leaves them, least margin first."""
    return tuple(sorted(_components(sources, coupled), key=_urgency))


def _components(sources: HeatSources, coupled: Coupled) -> Iterator[ComponentHeat]:
    for part in sources.parts:
        if isinstance(part, Block) and sources.has_power(part):
            yield from _on_block(sources, coupled, part)
        elif isinstance(part, AirComponent):
            yield _in_air(sources, coupled, part)


def _on_block(sources: HeatSources, coupled: Coupled, block: Block) -> Iterator[ComponentHeat]:
    """Component temperatures: the coolant, the block's resistance to all of its heat, the joint to its own."""
    thermal, found = coupled.thermal, coupled.temperatures
    (name,) = thermal.loop.elements_of[block.id]
    row = thermal.number[name]
    heat = sources.loads[block.id]
    flow = coupled.liquid.flow[name]
    share = float(block.cooling.inlet_share(flow, coupled.rate[row]))
    leaves = thermal.room_c + float(found.outlet[row])
    coolant = leaves - share * float(found.outlet[row] - found.inlet[row])
    resistance = float(block.cooling.resistance(flow))
    face = coolant + heat * resistance
    boils = leaves >= boiling_points_c(thermal.loop, coupled.liquid)[row]
    still = flow == 0 and heat > 0
    for load in block.loads:
        own = sources.heat_of(block, load)
        at = face + own * load.resistance_k_w
        yield ComponentHeat(
            part=block.id,
            name=block.name if len(block.loads) == 1 else f"{block.name}, {load.name}",
            heat=own,
            temperature=None if still or at > NEVER else at,
            limit=load.limit_c,
            cooled_by="coolant",
            boils=bool(boils),
            tolerance=block.cooling.relative_tolerance * heat * resistance,
            flow=abs(flow),
            least_flow=_least_flow(coupled, block, heat, own * load.resistance_k_w, load.limit_c),
        )


def _least_flow(coupled: Coupled, block: Block, heat: float, joint: float, limit: float) -> float | None:
    """Flow at which a component just holds its limit while the coolant enters as it does [m3/s].

    None if no flow keeps it below, or none is needed.
    """
    if heat <= 0:
        return None
    thermal = coupled.thermal
    enters = thermal.room_c + float(coupled.temperatures.inlet[thermal.number[block.id]])
    state = thermal.loop.network.state_in(block.id)
    flows = _FLOWS_SEARCHED
    rates = state.density * state.heat_capacity * flows
    warming = heat / rates * (1 - block.cooling.inlet_share(flows, rates))
    at = enters + warming + heat * block.cooling.resistance(flows) + joint
    holds = at <= limit
    if not holds[-1] or holds[0]:
        return None
    first = int(np.argmax(holds))
    return float(np.exp(np.interp(-limit, -at[first - 1 : first + 1], np.log(flows[first - 1 : first + 1]))))


def _in_air(sources: HeatSources, coupled: Coupled, part: AirComponent) -> ComponentHeat:
    thermal = coupled.thermal
    space = thermal.space_of(part.id)
    chamber = thermal.room_c + float(coupled.temperatures.node[thermal.space_node(space)])
    around = part.air_around_c(chamber, _entering(coupled, space))
    return ComponentHeat(
        part=part.id,
        name=part.name,
        heat=sources.loads[part.id],
        temperature=None if around > NEVER else around,
        limit=part.air_limit_c,
        cooled_by="air",
    )


def _entering(coupled: Coupled, space: str) -> float:
    """Mean temperature of the air that enters a space; the room's where none does."""
    thermal, size = coupled.thermal, np.abs(coupled.rate)
    _, below = thermal.heat.ends(coupled.rate)
    into = (below == thermal.space_node(space)) & (size > 0)
    if not into.any():
        return thermal.room_c
    return thermal.room_c + float(coupled.temperatures.outlet[into] @ size[into] / size[into].sum())


def _exchangers(coupled: Coupled) -> Iterator[ExchangerHeat]:
    thermal, found = coupled.thermal, coupled.temperatures
    flows = np.concatenate((coupled.liquid.variants.flows[:, 0], coupled.air.variants.flows[:, 0]))
    heat = thermal.heat
    for (part_id, _), a, b, passed in zip(
        thermal.exchangers, heat.exchange_a, heat.exchange_b, found.exchanged, strict=True
    ):
        across = float(found.inlet[a] - found.inlet[b])
        smaller = min(abs(coupled.rate[a]), abs(coupled.rate[b]))
        yield ExchangerHeat(
            part=part_id,
            name=thermal.loop.build.part(part_id).name,
            heat=float(passed),
            flow=abs(float(flows[a])),
            other_flow=abs(float(flows[b])),
            enters=thermal.room_c + float(found.inlet[a]),
            leaves=thermal.room_c + float(found.outlet[a]),
            other_enters=thermal.room_c + float(found.inlet[b]),
            other_leaves=thermal.room_c + float(found.outlet[b]),
            effectiveness=float(passed / (smaller * across)) if smaller * across else 0.0,
            is_air_cooled=bool(b >= thermal.liquid_count),
        )


def _fans(sources: HeatSources, coupled: Coupled) -> Iterator[FanFlow]:
    thermal = coupled.thermal
    for part in sources.parts:
        if not isinstance(part, Fan):
            continue
        stopped = part.id in thermal.air.stopped
        setting = thermal.loop.layout.placement(part.id).setting(stopped=stopped)
        names = thermal.air.elements_of[part.id]
        turns = part.turns(setting)
        yield FanFlow(
            id=part.id,
            name=part.name,
            flow=coupled.air.flow[names[0]] if names else 0.0,
            pressure=-coupled.air.dp[names[0]] if names else 0.0,
            power=sources.fans[part.id],
            state="stopped" if stopped else "running" if turns else "does not start",
            sound=part.sound_dba_at(setting.speed) if turns else None,
        )


def _spaces(coupled: Coupled) -> Iterator[SpaceAir]:
    thermal, air = coupled.thermal, coupled.air
    finned = {name for part_id, _ in thermal.exchangers for name in thermal.air.elements_of[part_id]}
    for space in thermal.air.spaces:
        if space == ROOM:
            continue
        leaving = {name: out for name, out in _leaving(thermal, air.flow, space) if out > 0}
        passing = sum(leaving.values())
        to_room = {name: out for name, out in leaving.items() if ROOM in _ends(thermal, name)}
        past = sum(out for name, out in to_room.items() if name not in finned)
        temperature = thermal.room_c + float(coupled.temperatures.node[thermal.space_node(space)])
        yield SpaceAir(
            name=space,
            pressure=air.pressure[space],
            temperature=None if temperature > NEVER else temperature,
            passing=passing,
            escaping=past / sum(to_room.values()) if to_room else 0.0,
        )


def _leaving(thermal: ThermalNetwork, flow: dict[str, float], space: str) -> Iterator[tuple[str, float]]:
    """Flow out of a space through each element at it, negative where in."""
    for name, link in thermal.air.network.links.items():
        if space in (link.start, link.end):
            yield name, flow[name] if link.start == space else -flow[name]


def _ends(thermal: ThermalNetwork, name: str) -> tuple[str, str]:
    link = thermal.air.network.links[name]
    return link.start, link.end


def _budget(
    sources: HeatSources,
    coupled: Coupled,
    supplies: tuple[SupplyLoad, ...],
    exchangers: tuple[ExchangerHeat, ...],
) -> HeatBudget:
    thermal, heating = coupled.thermal, coupled.heating
    room = thermal.space_node(ROOM)
    count = thermal.liquid_count
    into_coolant = float(heating.streams[:count].sum())
    outside = float(heating.nodes[room])
    return HeatBudget(
        electrical=sum(sources.electrical(coupled.liquid).values()) + sum(supply.loss for supply in supplies),
        into_coolant=into_coolant,
        into_air=float(heating.streams[count:].sum() + heating.nodes.sum()) - outside,
        outside=outside,
        to_air_by_exchangers=sum(each.heat for each in exchangers if each.is_air_cooled),
    )


def _sound(sources: HeatSources, fans: tuple[FanFlow, ...]) -> float | None:
    loop = sources.thermal.loop
    levels = [fan.sound for fan in fans]
    levels += [_pump_sound(pump, loop.layout, pump.id in loop.stopped) for pump in sources.pumps]
    return incoherent_sum(level for level in levels if level is not None)


def _pump_sound(pump: Part, layout: Layout, stopped: bool) -> float | None:
    return None if stopped else pump.sound_dba_at(layout.placement(pump.id).setting().speed)
