"""Pump curves against the system curve, as arrays for plotting."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from loopsim import elements
from loopsim.build import Build
from loopsim.network import Branch, LoopNetwork, PumpGroup, assemble, pump_group, single_pump
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
    if not pumps:
        return ()
    group = pump_group(loop.network, pumps)
    if group is not None:
        return (_plot(loop, group, pumps, ""),)
    result = solve_flow(loop.network)
    flowing = [pump for pump in pumps if abs(result.flow[pump]) > 0]
    why = _NOT_ONE_GROUP if len(flowing) > 1 else ""
    return tuple(_plot(loop, single_pump(loop.network, pump), [pump], why) for pump in flowing)


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


def _plot(loop: LoopNetwork, group: PumpGroup, pumps: Sequence[str], why_single: str) -> PumpPlot:
    reach = _group_reach(loop, group)
    flow = np.linspace(0.0, reach, POINTS)
    operating = _crossing(group, solve_flow(loop.network))
    return PumpPlot(
        pumps=tuple(pumps),
        combined=_down_to_zero(CurveLine(_combined_label(loop, pumps), flow, combined_curve(loop, group, flow), reach)),
        system=CurveLine("loop", flow, system_curve(loop, group, flow)),
        each=tuple(_own_curve(loop, pump) for pump in pumps) if len(pumps) > 1 else (),
        flow=operating[0],
        head=operating[1],
        stopped=tuple(_stopped(loop, group, pump, flow) for pump in pumps),
        why_single=why_single,
    )


def _stopped(loop: LoopNetwork, group: PumpGroup, pump: str, flow: FloatArray) -> StoppedCase:
    without = assemble(loop.build, loop.layout, {pump})
    name = loop.build.part(pump).name
    head, needed = combined_curve(without, group, flow), system_curve(without, group, flow)
    at_flow, at_head = _crossing(group, solve_flow(without.network))
    combined = CurveLine(f"{name} stopped", flow, head, _group_reach(without, group))
    return StoppedCase(pump, name, _down_to_zero(combined), CurveLine("loop", flow, needed), at_flow, at_head)


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
