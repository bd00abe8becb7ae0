"""The operating point of a layout: what flows, what it costs, and what the numbers rest on."""

from collections.abc import Collection, Iterable, Iterator

from loopsim import elements
from loopsim.build import Build
from loopsim.curves import Provenance, worst_provenance
from loopsim.elements.friction import LAMINAR_UP_TO, TURBULENT_FROM, velocity
from loopsim.errors import SketchError
from loopsim.network import LoopNetwork, assemble
from loopsim.parts import Part, Pump
from loopsim.solve import FlowResult, solve_flow
from loopsim.studies.findings import findings
from loopsim.studies.pressures import port_pressures, pressure_findings, suctions
from loopsim.studies.pumps import at_rest, check_pumps, pump_findings, pump_flow
from loopsim.studies.results import Finding, OperatingPoint, PartFlow, PumpFlow, Regime
from loopsim.studies.words import NO_FLOW, l_h
from loopsim.units import to_si

__all__ = ["operating_point", "solved_layout"]

_NO_POWER = 1e-9  # losses that are no budget worth dividing [W]


def operating_point(build: Build, layout_name: str | None = None, stopped: Collection[str] = ()) -> OperatingPoint:
    """Solve a layout.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    stopped : collection of str
        Ids of pumps without power.

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
    return solved_layout(loop, solve_flow(loop.network))


def solved_layout(loop: LoopNetwork, result: FlowResult) -> OperatingPoint:
    """The operating point read from a solved network."""
    build, layout = loop.build, loop.layout
    pumps = tuple(pump_flow(loop, result, part) for part in _parts(loop) if isinstance(part, Pump))
    lost = sum(abs(result.flow[name] * result.dp[name]) for name in _passive(loop, result))
    others = (
        *(_part_flow(loop, result, part, lost) for part in _parts(loop) if not isinstance(part, Pump)),
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
            *pressure_findings(loop, result, pressures, inlets),
            *findings(build, layout.name),
            *at_rest(pumps),
        ),
        iterations=result.iterations,
        mass_imbalance=result.mass_residual * loop.network.state.density,
        pressure_imbalance=result.pressure_residual,
        datum=result.datum,
        worst_provenance=worst_provenance(_all_provenances(loop)),
    )


def _parts(loop: LoopNetwork) -> list[Part]:
    return [loop.build.part(part_id) for part_id in loop.layout.placements]


def _passive(loop: LoopNetwork, result: FlowResult) -> Iterator[str]:
    running = set(loop.running_pumps())
    return (name for name in result.flow if name not in running)


def _part_flow(loop: LoopNetwork, result: FlowResult, part: Part, lost: float) -> PartFlow:
    names = loop.elements_of[part.id]
    if not names:  # ports merged, or the way shut
        return PartFlow(part.id, part.name, part.kind_name(), _entering(loop, result, part), 0.0, 0.0, None)
    flow, dp = _through(loop, result, part)
    state = loop.network.state
    laws = [(loop.network.links[name].element, result.flow[name]) for name in names]
    return PartFlow(
        id=part.id,
        name=part.name,
        kind=part.kind_name(),
        flow=flow,
        dp=dp,
        share=_share((result.flow[name] * result.dp[name] for name in names), lost),
        provenance=worst_provenance(part.provenances),
        beyond_data=any(
            isinstance(law, elements.Restriction) and law.law.beyond_data(passing, state.density, state.viscosity)
            for law, passing in laws
        ),
    )


def _through(loop: LoopNetwork, result: FlowResult, part: Part) -> tuple[float, float]:
    """Flow through a part and what it costs.

    With several ways inside it is all that enters, and the drop that this flow would need to lose the same power.
    """
    names = loop.elements_of[part.id]
    if len(names) == 1:
        return result.flow[names[0]], result.dp[names[0]]
    flow = _entering(loop, result, part)
    power = sum(result.flow[name] * result.dp[name] for name in names)
    return flow, power / flow if flow > NO_FLOW else 0.0


def _entering(loop: LoopNetwork, result: FlowResult, part: Part) -> float:
    """Sum of what flows into a part whose ports are merged."""
    total = 0.0
    for run in loop.layout.runs:
        flow = result.flow[run.id]
        total += max(flow, 0.0) * (run.end.partition(".")[0] == part.id)
        total += max(-flow, 0.0) * (run.start.partition(".")[0] == part.id)
    return total


def _run_flow(loop: LoopNetwork, result: FlowResult, run_id: str, lost: float) -> PartFlow:
    run = loop.layout.run(run_id)
    tube = loop.build.tube(run.tube)
    flow, state = result.flow[run_id], loop.network.state
    bore = to_si(tube.bore_mm, "mm")
    speed = float(velocity(flow, bore))
    reynolds = abs(speed) * bore * state.density / state.viscosity
    return PartFlow(
        id=run_id,
        name=loop.build.run_name(run),
        kind="tube_run",
        flow=flow,
        dp=result.dp[run_id],
        share=_share([flow * result.dp[run_id]], lost),
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


def _all_provenances(loop: LoopNetwork) -> Iterator[Provenance]:
    for part in _parts(loop):
        yield from part.provenances
        if part.id in loop.stopped and isinstance(part, Pump) and part.stopped_is_estimate:
            yield Provenance(kind="guess", source="resistance of the standing impeller")
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
        if each.regime == "transitional":
            text = f"{each.name}: between laminar and turbulent (Re {each.reynolds:.0f}), so its drop is uncertain"
            yield Finding("transitional", each.id, text)


def _chattering(loop: LoopNetwork, others: tuple[PartFlow, ...]) -> Iterator[Finding]:
    """Check valves that are neither shut nor open."""
    flows = {part.id: part for part in others}
    for part_id in loop.layout.placements:
        for name in loop.elements_of[part_id]:
            valve = loop.network.links[name].element
            if not isinstance(valve, elements.CheckValve) or part_id not in flows:
                continue
            if valve.opening_state(flows[part_id].flow, loop.network.state.density) == "part open":
                text = f"{flows[part_id].name}: {l_h(flows[part_id].flow)} opens it only in part, it may chatter"
                yield Finding("chatter", part_id, text)
