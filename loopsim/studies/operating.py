"""The operating point of a layout: what flows, what it costs, and what the numbers rest on."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace

import numpy as np

from loopsim import elements
from loopsim.build import Build
from loopsim.curves import Origin, worst_provenance
from loopsim.elements.friction import LAMINAR_UP_TO, TURBULENT_FROM, velocity
from loopsim.errors import SketchError
from loopsim.network import Circuit, LoopNetwork, assemble
from loopsim.parts import Part, Pump, part_of
from loopsim.solve import FlowResult, solve_flow
from loopsim.studies.findings import findings
from loopsim.studies.levels import Level, level_sentence, settled
from loopsim.studies.pressures import port_pressures, pressure_findings, suctions
from loopsim.studies.pumps import at_rest, check_pumps, pump_findings, pump_flow, without_bare_levelling
from loopsim.studies.results import CircuitFlow, Finding, OperatingPoint, PartFlow, PumpFlow, Regime
from loopsim.studies.words import NO_FLOW, WORTH_SAYING, l_h
from loopsim.units import to_si

__all__ = ["operating_point", "solved_layout"]

_NO_POWER = 1e-9  # losses that are no budget worth dividing [W]
_LEVEL_WORTH_SAYING = 1e-3  # move of a vessel's level [m]


def operating_point(
    build: Build, layout_name: str | None = None, stopped: Collection[str] = (), near: OperatingPoint | None = None
) -> OperatingPoint:
    """Solve a layout.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    stopped : collection of str
        Ids of pumps without power.
    near : OperatingPoint, optional
        Of a sketch that is much the same, such as before a small move: the solve begins at its flows. It saves time and
        changes nothing else.

    Raises
    ------
    SketchError
        If there is no such layout or pump, or nothing is placed in the layout.
    NotSolved
        Never for a reason of the sketch; a defect of ours.
    """
    layout = build.layout(layout_name)
    check_pumps(build, layout, stopped)
    if not layout.placed:
        raise SketchError(f"layout {layout.name!r} is empty: place a reservoir, a pump and a block, and join them")
    loop = assemble(build, layout, stopped)
    return solved_layout(loop, solve_flow(loop.network, None if near is None else _flows(near)))


def _flows(point: OperatingPoint) -> dict[str, float]:
    return {part.id: part.flow for part in point.parts} | {pump.id: pump.flow for pump in point.pumps}


def solved_layout(loop: LoopNetwork, result: FlowResult, drawn: bool = True) -> OperatingPoint:
    """The operating point read from a solved network.

    Parameters
    ----------
    loop : LoopNetwork
    result : FlowResult
    drawn : bool
        False to leave out of the findings what the drawing shows by itself, before anything is solved.
    """
    build, layout = loop.build, loop.layout
    result, levels = settled(loop, result)
    pumps = tuple(pump_flow(loop, result, part) for part in _parts(loop) if isinstance(part, Pump))
    lost = _lost(loop, result)
    others = (
        *(
            each
            for part in _parts(loop)
            if not isinstance(part, Pump)
            for each in _part_flows(loop, result, part, lost)
        ),
        *(_run_flow(loop, result, run_id, lost) for run_id in layout.runs_by_id),
    )
    pressures = port_pressures(loop, result)
    inlets = suctions(loop, result, pressures)
    at = _loop_flow_at(loop, others)
    flows = {**{part.id: part.flow for part in others}, **{pump.id: pump.flow for pump in pumps}}
    return OperatingPoint(
        build=build,
        layout=layout,
        stopped=loop.stopped,
        loop_flow=abs(flows.get(at, 0.0)) if at else 0.0,
        loop_flow_at=at,
        pumps=pumps,
        parts=others,
        pressures=pressures,
        suctions=inlets,
        findings=(
            *_result_findings(loop, pumps, others),
            *_circuit_findings(loop, levels),
            *_tee_findings(loop, result, at),
            *pressure_findings(loop, result, pressures, inlets),
            *(without_bare_levelling(findings(build, layout.name), pumps) if drawn else ()),
            *at_rest(pumps),
        ),
        iterations=result.iterations,
        mass_imbalance=result.mass_residual * loop.network.state.density,
        pressure_imbalance=result.pressure_residual,
        datum=result.datum,
        worst_provenance=worst_provenance(_all_provenances(loop)),
        circuits=tuple(_circuit_flow(loop, result, circuit, levels.get(circuit, ())) for circuit in loop.circuits),
        states={item: loop.state_of(item) for item in loop.elements_of},
    )


def _circuit_flow(loop: LoopNetwork, result: FlowResult, circuit: Circuit, levels: tuple[Level, ...]) -> CircuitFlow:
    inside = set(circuit.body.links)
    merged = {part.id for part in _parts(loop) if part.id in circuit.body.junctions}
    items = [item for item, names in loop.elements_of.items() if item in merged or not inside.isdisjoint(names)]
    vessel = next((loop.build.part(item).name for item in items if _is_vessel(loop, item)), "")
    held = circuit.body.junctions.isdisjoint(result.datum)
    moving = any(abs(result.flow[name]) > NO_FLOW for name in circuit.body.links)
    return CircuitFlow(vessel, circuit.coolant, frozenset(items), held, moving, levels)


def _is_vessel(loop: LoopNetwork, item: str) -> bool:
    part = loop.build.parts_by_id.get(item)
    return part is not None and part.is_vessel


def _parts(loop: LoopNetwork) -> list[Part]:
    """Those that coolant enters."""
    return [part for part_id in loop.layout.placements if (part := loop.build.part(part_id)).ports]


def _lost(loop: LoopNetwork, result: FlowResult) -> dict[Circuit, float]:
    """Power that all but the running pumps take in each circuit [W]."""
    running = set(loop.running_pumps())
    return {
        circuit: sum(abs(result.flow[name] * result.dp[name]) for name in circuit.body.links if name not in running)
        for circuit in loop.circuits
    }


def _part_flows(loop: LoopNetwork, result: FlowResult, part: Part, lost: dict[Circuit, float]) -> Iterator[PartFlow]:
    """What flows through a part; a part between several circuits answers for each of them."""
    names = loop.elements_of[part.id]
    circuits = list(dict.fromkeys(loop.circuit_of[name] for name in names))
    if len(circuits) < 2:
        yield _part_flow(loop, result, part, names, lost)
        return
    for name in names:
        way = name.partition("/")[2]
        yield replace(_part_flow(loop, result, part, (name,), lost), name=f"{part.name}, {way}", way=way)


def _part_flow(
    loop: LoopNetwork, result: FlowResult, part: Part, names: tuple[str, ...], lost: dict[Circuit, float]
) -> PartFlow:
    if not names:  # ports merged, or the way shut
        return PartFlow(part.id, part.name, part.kind_name(), _entering(loop, result, part), 0.0, 0.0, None)
    flow, dp = _through(loop, result, part, names)
    return PartFlow(
        id=part.id,
        name=part.name,
        kind=part.kind_name(),
        flow=flow,
        dp=dp,
        share=_share((result.flow[name] * result.dp[name] for name in names), lost[loop.circuit_of[names[0]]]),
        provenance=worst_provenance(part.provenances),
        beyond_data=any(_is_beyond_data(loop, name, result.flow[name]) for name in names),
    )


def _is_beyond_data(loop: LoopNetwork, name: str, flow: float) -> bool:
    element, state = loop.network.links[name].element, loop.network.state_in(name)
    return isinstance(element, elements.Restriction) and element.law.beyond_data(flow, state.density, state.viscosity)


def _through(loop: LoopNetwork, result: FlowResult, part: Part, names: tuple[str, ...]) -> tuple[float, float]:
    """Flow through a part and what it costs.

    With several ways inside it is all that enters, and the drop that this flow would need to lose the same power.
    """
    if len(names) == 1:
        return result.flow[names[0]], result.dp[names[0]]
    flow = _entering(loop, result, part)
    power = sum(result.flow[name] * result.dp[name] for name in names)
    return flow, power / flow if flow > NO_FLOW else 0.0


def _entering(loop: LoopNetwork, result: FlowResult, part: Part) -> float:
    """Sum of what flows into a part whose ports are merged."""
    ports = {f"{part.id}.{port}" for port in part.ports}
    inwards = [result.flow[run.id] for run in loop.layout.runs if run.end in ports]
    inwards += [-result.flow[run.id] for run in loop.layout.runs if run.start in ports]
    return sum(flow for flow in inwards if flow > 0.0)


def _run_flow(loop: LoopNetwork, result: FlowResult, run_id: str, lost: dict[Circuit, float]) -> PartFlow:
    run = loop.layout.run(run_id)
    tube = loop.build.tube(run.tube)
    flow, state = result.flow[run_id], loop.network.state_in(run_id)
    bore = to_si(tube.bore_mm, "mm")
    speed = float(velocity(flow, bore))
    reynolds = abs(speed) * bore * state.density / state.viscosity
    return PartFlow(
        id=run_id,
        name=loop.build.run_name(run),
        kind="tube_run",
        flow=flow,
        dp=result.dp[run_id],
        share=_share([flow * result.dp[run_id]], lost[loop.circuit_of[run_id]]),
        provenance=tube.provenance.kind,
        velocity=speed,
        reynolds=reynolds,
        regime=_regime(flow, reynolds),
    )


def _regime(flow: float, reynolds: float) -> Regime:
    if abs(flow) < NO_FLOW:
        return "still"
    if reynolds <= LAMINAR_UP_TO:
        return "laminar"
    return "turbulent" if reynolds >= TURBULENT_FROM else "transitional"


def _share(powers: Iterable[float], lost: float) -> float:
    return sum(abs(power) for power in powers) / lost if lost > _NO_POWER else 0.0


def _loop_flow_at(loop: LoopNetwork, flows: Iterable[PartFlow]) -> str | None:
    """The part whose flow stands for the loop's: as the layout says; else the reservoir, else the largest heat source.

    Without either, the first pump.
    """
    if loop.layout.loop_flow_at is not None:
        return loop.layout.loop_flow_at
    for each in flows:
        if each.kind != "tube_run" and loop.build.part(each.id).surface_mm is not None and abs(each.flow) > NO_FLOW:
            return each.id
    hottest = max(_parts(loop), key=lambda part: part.heat_w, default=None)
    if hottest is not None and hottest.heat_w > 0:
        return hottest.id
    return next((part.id for part in _parts(loop) if isinstance(part, Pump)), None)


def _all_provenances(loop: LoopNetwork) -> Iterator[Origin]:
    for part in _parts(loop):
        yield from part.provenances
        if part.id in loop.stopped and isinstance(part, Pump) and part.stopped_is_estimate:
            yield Origin(kind="guess", source="resistance of the standing impeller")
    for run in loop.layout.runs:
        yield loop.build.tube(run.tube).provenance


def _result_findings(loop: LoopNetwork, pumps: tuple[PumpFlow, ...], others: tuple[PartFlow, ...]) -> Iterator[Finding]:
    for pump in pumps:
        yield from pump_findings(loop, pump)
    yield from _chattering(loop, others)
    for each in others:
        if each.beyond_data:
            text = f"{each.name}: {l_h(each.flow)} is beyond its data, so its drop is an estimate"
            yield Finding("beyond_data", each.id, text)
    yield from _transitional([each for each in others if each.regime == "transitional"])


def _transitional(runs: list[PartFlow]) -> Iterator[Finding]:
    """Tube runs between laminar and turbulent, all said at once."""
    if not runs:
        return
    numbers = sorted(run.reynolds or 0.0 for run in runs)
    if len(runs) == 1:
        text = f"{runs[0].name}: between laminar and turbulent (Re {numbers[0]:.0f}), so its drop is uncertain"
    else:
        more = f"{len(runs) - 1} more tube run{'' if len(runs) == 2 else 's'}"
        low, high = f"{numbers[0]:.0f}", f"{numbers[-1]:.0f}"
        span = low if low == high else f"{low} to {high}"
        text = f"{runs[0].name} and {more}: between laminar and turbulent (Re {span}), so their drops are uncertain"
    yield Finding("transitional", runs[0].id, text, others=tuple(run.id for run in runs[1:]))


def _circuit_findings(loop: LoopNetwork, levels: dict[Circuit, tuple[Level, ...]]) -> Iterator[Finding]:
    """Levels that move, and vessels that disagree on what fills their circuit."""
    for settling in levels.values():
        for level in settling:
            if abs(level.settles - level.drawn) >= _LEVEL_WORTH_SAYING or level.verdict != "holds":
                yield Finding("level", level.vessel, level_sentence(level), quiet=level.verdict == "holds")
    for circuit in loop.circuits:
        for vessel in circuit.other_coolants:
            text = f"{loop.build.part(vessel).name}: names another coolant than the one taken for its circuit"
            yield Finding("two_coolants", vessel, f"{text} ({circuit.coolant.id}); one circuit holds one liquid")
        if circuit.cushion is not None and loop.is_used_up(circuit):
            text = f"{loop.build.part(circuit.cushion).name}: the warm coolant's swell takes up all of its gas"
            remedy = "leave more gas above the cold coolant, or take a larger expansion vessel"
            yield Finding("cushion", circuit.cushion, f"{text}, and the loop bursts; {remedy}", remedy=remedy)


def _tee_findings(loop: LoopNetwork, result: FlowResult, at: str | None) -> Iterator[Finding]:
    """Tees whose losses do not settle, and legs that would gain."""
    band = result.flow_band
    if band is not None and at is not None:
        ends = [_loop_flow_in(loop, flows, at) for flows in band]
        text = f"the tees' losses do not settle on one answer: the loop flow lies between {l_h(min(ends))} and "
        yield Finding("tee_unsettled", None, f"{text}{l_h(max(ends))}")
    for name, meeting in loop.network.meetings.items():
        flow = np.array([[result.flow[leg]] for leg in meeting.legs])
        if np.abs(flow).max() > NO_FLOW and (meeting.law.coefficients(flow)[1] < 0).any():
            text = f"{loop.build.part(name).name}: the fast stream drags the slow one along; the gain counts as no loss"
            yield Finding("tee_gain", name, text, quiet=True)


def _loop_flow_in(loop: LoopNetwork, flows: dict[str, float], at: str) -> float:
    """Loop flow in a set of flows: that of the part's element, or half of all that passes its ports."""
    names = loop.elements_of[at]
    if len(names) == 1:
        return abs(flows[names[0]])
    return sum(abs(flows[run.id]) for run in loop.layout.runs for end in (run.start, run.end) if part_of(end) == at) / 2


def _chattering(loop: LoopNetwork, others: tuple[PartFlow, ...]) -> Iterator[Finding]:
    """Check valves that are neither shut nor open."""
    flows = {part.id: part for part in others}
    for part_id in loop.layout.placements:
        for name in loop.elements_of[part_id]:
            valve = loop.network.links[name].element
            flow = flows[part_id].flow if part_id in flows else 0.0
            if not isinstance(valve, elements.CheckValve) or abs(flow) < WORTH_SAYING:
                continue
            if valve.opening_state(flow, loop.network.state_in(name).density) == "part open":
                text = f"{flows[part_id].name}: {l_h(flow)} opens it only in part, it may chatter"
                yield Finding("chatter", part_id, text)
