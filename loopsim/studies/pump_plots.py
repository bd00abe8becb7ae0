"""Pump curves against the system curve, as arrays for plotting."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from loopsim import elements
from loopsim.build import Build
from loopsim.network import Branch, Circuit, LoopNetwork, PumpGroup, assemble, pump_group, single_pump
from loopsim.parts import Pump
from loopsim.solve import FlowResult, solve_flow, solve_variants
from loopsim.studies.results import CurveLine, PumpPlot, StoppedCase

__all__ = ["combined_curve", "pump_plots", "system_curve"]

FloatArray = NDArray[np.float64]

POINTS = 41
_NOT_ONE_GROUP = "the pumps do not act between two common points, so each is shown against what it sees by itself"


def pump_plots(build: Build, layout_name: str | None = None) -> tuple[PumpPlot, ...]:
    """One plot for the group that the pumps form, or one for each pump, saying why.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.

    Returns
    -------
    tuple of PumpPlot
        Empty where there is no pump in a closed loop.

    Raises
    ------
    SketchError
        If there is no such layout.
    """
    loop = assemble(build, build.layout(layout_name))
    pumps = [part_id for part_id in loop.layout.placements if isinstance(build.part(part_id), Pump)]
    return tuple(plot for circuit in loop.circuits for plot in _plots_of(loop, circuit, pumps))


def _plots_of(loop: LoopNetwork, circuit: Circuit, pumps: Sequence[str]) -> Iterator[PumpPlot]:
    """The plots of one circuit, whose liquid is the measure of its heads."""
    here = [pump for pump in pumps if pump in circuit.body.links]
    if not here:
        return
    loop = _only(loop, circuit)
    group = pump_group(loop.network, here)
    if group is not None:
        yield _plot(loop, circuit, group, here, "")
        return
    result = solve_flow(loop.network)
    flowing = [pump for pump in here if abs(result.flow[pump]) > 0]
    why = _NOT_ONE_GROUP if len(flowing) > 1 else ""
    for pump in flowing:
        yield _plot(loop, circuit, single_pump(loop.network, pump), [pump], why)


def _only(loop: LoopNetwork, circuit: Circuit) -> LoopNetwork:
    """The same with nothing but one circuit in its network."""
    return replace(loop, network=loop.network.part_of(circuit.body.links))


def combined_curve(loop: LoopNetwork, group: PumpGroup, flow: FloatArray) -> FloatArray:
    """Head that a group of pumps gives at flows imposed on it, shape of `flow` [m3/s] -> [m]."""
    head = np.zeros_like(flow)
    for gap in group.gaps:
        alone = loop.network.part_of(gap.branch.names(), holds_pressure=False)
        solved = solve_variants(alone, {gap.start: flow, gap.end: -flow})
        head += solved.head(gap.end) - solved.head(gap.start)
    return head


def system_curve(loop: LoopNetwork, group: PumpGroup, flow: FloatArray) -> FloatArray:
    """Head that the rest of the layout needs at flows imposed on it in place of the group, shape of `flow` [m].

    References
    ----------
    The flow is imposed where the group sits, with everything else at its state, so it holds for any topology
    (design 4.2); where pieces of the group lie apart, the rest between them passes the same flow.
    """
    inside = set(group.names())
    ends = [end for gap in group.gaps for end in (gap.start, gap.end)]
    rest = loop.network.part_of((name for name in loop.network.links if name not in inside), junctions=ends)
    inflow = {end: np.zeros_like(flow) for end in ends}
    for gap in group.gaps:
        inflow[gap.end] = inflow[gap.end] + flow
        inflow[gap.start] = inflow[gap.start] - flow
    solved = solve_variants(rest, inflow)
    return np.asarray(sum(solved.head(gap.end) - solved.head(gap.start) for gap in group.gaps))


def _plot(loop: LoopNetwork, circuit: Circuit, group: PumpGroup, pumps: Sequence[str], why_single: str) -> PumpPlot:
    reach = _group_reach(loop, group)
    flow = np.linspace(0.0, reach, POINTS)
    result = solve_flow(loop.network)
    held = _with_cut_tees_held(loop, result, group)
    operating = _crossing(group, result)
    return PumpPlot(
        pumps=tuple(pumps),
        combined=_down_to_zero(CurveLine(_combined_label(loop, pumps), flow, combined_curve(held, group, flow), reach)),
        system=CurveLine("loop", flow, system_curve(held, group, flow)),
        each=tuple(_own_curve(loop, pump) for pump in pumps) if len(pumps) > 1 else (),
        flow=operating[0],
        head=operating[1],
        stopped=tuple(_stopped(loop, circuit, group, pump, flow) for pump in pumps),
        why_single=why_single,
    )


def _stopped(loop: LoopNetwork, circuit: Circuit, group: PumpGroup, pump: str, flow: FloatArray) -> StoppedCase:
    without = _only(assemble(loop.build, loop.layout, {pump}), circuit)
    name = loop.build.part(pump).name
    result = solve_flow(without.network)
    held = _with_cut_tees_held(without, result, group)
    head, needed = combined_curve(held, group, flow), system_curve(held, group, flow)
    at_flow, at_head = _crossing(group, result)
    combined = CurveLine(f"{name} stopped", flow, head, _group_reach(without, group))
    return StoppedCase(pump, name, _down_to_zero(combined), CurveLine("loop", flow, needed), at_flow, at_head)


def _with_cut_tees_held(loop: LoopNetwork, result: FlowResult, group: PumpGroup) -> LoopNetwork:
    """The same with the losses of tees that lie partly in the group held as they are at the operating point.

    A tee's losses depend on all its legs, so those of one that is cut can only be taken as they are. They depend on
    how the flow divides alone, so for like pumps side by side nothing is lost by that.
    """
    inside = set(group.names())
    network = loop.network.part_of(loop.network.links)
    for name, meeting in list(network.meetings.items()):
        if inside.isdisjoint(meeting.legs) or inside.issuperset(meeting.legs):
            continue
        del network.meetings[name]
        coefficients = meeting.law.coefficients(np.array([[result.flow[leg]] for leg in meeting.legs]))[0][:, 0]
        for leg, loss in zip(meeting.legs, coefficients.tolist(), strict=True):
            link = network.links[leg]
            assert isinstance(link.element, elements.Leg)
            network.links[leg] = replace(link, element=elements.Leg(link.element.bore, loss, loss))
    return replace(loop, network=network)


def _crossing(group: PumpGroup, result: FlowResult) -> tuple[float, float]:
    """Flow through the group and head across it in a solved network."""
    head = sum(result.head(gap.end) - result.head(gap.start) for gap in group.gaps)
    return _through(group.gaps[0].branch, result), float(head)


def _through(branch: Branch, result: FlowResult) -> float:
    if branch.kind == "element":
        return result.flow[branch.name] * (1 if branch.forward else -1)
    if branch.kind == "series":
        return _through(branch.children[0], result)
    return sum(_through(child, result) for child in branch.children)


def _group_reach(loop: LoopNetwork, group: PumpGroup) -> float:
    """Largest flow of the group that the pumps' data cover [m3/s]."""
    return max(_reach(loop, gap.branch) for gap in group.gaps)


def _reach(loop: LoopNetwork, branch: Branch) -> float:
    if branch.kind == "element":
        element = loop.network.links[branch.name].element
        return element.last_flow if isinstance(element, elements.Pump) else 0.0
    reaches = [_reach(loop, child) for child in branch.children]
    return sum(reaches) if branch.kind == "parallel" else max(reaches)


def _down_to_zero(line: CurveLine) -> CurveLine:
    """The line without what lies below zero head, except for the first point there."""
    below = np.flatnonzero(line.head < 0)
    if not len(below):
        return line
    end = int(below[0]) + 1
    return CurveLine(line.label, line.flow[:end], line.head[:end], line.sure_up_to)


def _own_curve(loop: LoopNetwork, pump: str) -> CurveLine:
    element = loop.network.links[pump].element
    assert isinstance(element, elements.Pump)
    flow = np.linspace(0.0, element.last_flow, POINTS)
    return CurveLine(f"{loop.build.part(pump).name} alone", flow, element.curve(flow)[0], element.last_flow)


def _combined_label(loop: LoopNetwork, pumps: Sequence[str]) -> str:
    if len(pumps) == 1:
        return loop.build.part(pumps[0]).name
    return "both pumps" if len(pumps) == 2 else f"all {len(pumps)} pumps"
