"""Curves of a group of pumps or fans against what the rest of their network asks for, as arrays for plotting.

A fan is a pump and air a medium, so both kinds of machine stand on the same few functions.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loopsim import elements
from loopsim.errors import SketchError
from loopsim.network import Branch, Network, PumpGroup, pump_group, single_pump
from loopsim.solve import FlowResult, solve_flow, solve_variants
from loopsim.studies.results import CurveLine, PumpPlot, StoppedCase
from loopsim.studies.uncertain import Uncertain

__all__ = ["Machines", "combined_curve", "machine_plots", "struck_case", "system_curve"]

FloatArray = NDArray[np.float64]

POINTS = 41
_BAND_EVERY = 4  # points; the last is among them


@dataclass(frozen=True)
class Machines:
    """The pumps or the fans of one network.

    Attributes
    ----------
    network : Network
        Heads are those of its medium.
    names : mapping of str to str
        Of the machines as the builder calls them, by the name of their element.
    without : callable, str -> Network
        The same network with one of them stopped.
    noun : str
        What several of them are called: ``"pumps"``.
    system : str
        What their curves are held against: ``"loop"``.
    uncertain : sequence of Uncertain
        What of the drops in the network is known within a band.
    """

    network: Network
    names: dict[str, str]
    without: Callable[[str], Network]
    noun: str
    system: str
    uncertain: Sequence[Uncertain] = ()

    @property
    def why_not_one_group(self) -> str:
        """Said where they form no group."""
        return f"the {self.noun} do not act between two common points, so each is shown against what it sees by itself"

    @property
    def all_of_them(self) -> str:
        """What a curve of all of them is called."""
        if len(self.names) == 1:
            return next(iter(self.names.values()))
        return f"both {self.noun}" if len(self.names) == 2 else f"all {len(self.names)} {self.noun}"


def machine_plots(machines: Machines) -> Iterator[PumpPlot]:
    """One plot for the group that the machines form, or one for each through which something flows, saying why."""
    group = pump_group(machines.network, machines.names)
    if group is not None:
        yield _plot(machines, group, "")
        return
    result = solve_flow(machines.network)
    flowing = [name for name in machines.names if abs(result.flow[name]) > 0]
    why = machines.why_not_one_group if len(flowing) > 1 else ""
    for name in flowing:
        alone = replace(machines, names={name: machines.names[name]})
        yield _plot(alone, single_pump(machines.network, name), why)


def combined_curve(network: Network, group: PumpGroup, flow: FloatArray) -> FloatArray:
    """Head that a group of machines gives at flows imposed on it, shape of `flow` [m3/s] -> [m]."""
    head = np.zeros_like(flow)
    for gap in group.gaps:
        alone = _piece(network, network.part_of(gap.branch.names(), holds_pressure=False))
        solved = solve_variants(alone, {gap.start: flow, gap.end: -flow})
        head += solved.head(gap.end) - solved.head(gap.start)
    return head


def system_curve(
    network: Network, group: PumpGroup, flow: FloatArray, drop_factors: Mapping[str, FloatArray] | None = None
) -> FloatArray:
    """Head that the rest of the network needs at flows imposed on it in place of the group, shape of `flow` [m].

    With factors on the drops of some of its elements, as in `solve_variants`.

    References
    ----------
    The flow is imposed where the group sits, with everything else at its state, so it holds for any topology
    (design 4.2); where pieces of the group lie apart, the rest between them passes the same flow.
    """
    inside = set(group.names())
    ends = [end for gap in group.gaps for end in (gap.start, gap.end)]
    rest = _piece(network, network.part_of((name for name in network.links if name not in inside), junctions=ends))
    inflow = {end: np.zeros_like(flow) for end in ends}
    for gap in group.gaps:
        inflow[gap.end] = inflow[gap.end] + flow
        inflow[gap.start] = inflow[gap.start] - flow
    solved = solve_variants(rest, inflow, drop_factors)
    return np.asarray(sum(solved.head(gap.end) - solved.head(gap.start) for gap in group.gaps))


def _piece(network: Network, piece: Network) -> Network:
    """A part of a network with the whole's medium as its reference, so that heads and flows of all parts agree."""
    piece.states = {name: state for name in piece.links if (state := network.state_in(name)) is not network.state}
    piece.state = network.state
    return piece


def _plot(machines: Machines, group: PumpGroup, why_single: str) -> PumpPlot:
    network = machines.network
    reach = _group_reach(network, group)
    flow = np.linspace(0.0, reach, POINTS)
    result = solve_flow(network)
    held = _with_cut_tees_held(network, result, group)
    operating = _crossing(group, result)
    names = machines.names
    return PumpPlot(
        pumps=tuple(names),
        combined=_down_to_zero(CurveLine(machines.all_of_them, flow, combined_curve(held, group, flow), reach)),
        system=_system_line(machines, held, group, flow),
        each=tuple(_own_curve(machines, name) for name in names) if len(names) > 1 else (),
        flow=operating[0],
        head=operating[1],
        stopped=tuple(_stopped(machines, group, name, flow) for name in names),
        why_single=why_single,
    )


def _system_line(machines: Machines, network: Network, group: PumpGroup, flow: FloatArray) -> CurveLine:
    """The system curve, with how far it may lie off.

    To first order: each thing known within a band is off alone, by all of its tolerance, and what that does adds up by
    its squares. Where everything stands in one row this is exact, for heads go with the factors. The band is smooth, so
    every fourth point tells it.
    """
    rest = network.links.keys() - set(group.names())
    alone = [(names, each.tolerance) for each in machines.uncertain if (names := rest & set(each.targets))]
    at, count = flow[::_BAND_EVERY], len(flow)
    factors: dict[str, FloatArray] = {}
    for row, (names, tolerance) in enumerate(alone):
        off = slice(count + row * len(at), count + (row + 1) * len(at))
        for name in names:
            factors.setdefault(name, np.ones(count + len(alone) * len(at)))[off] = 1 + tolerance
    heads = system_curve(network, group, np.concatenate([flow, *[at] * len(alone)]), factors)
    head = heads[:count]
    if not alone:
        return CurveLine(machines.system, flow, head)
    width = np.sqrt(((heads[count:].reshape(len(alone), -1) - head[::_BAND_EVERY]) ** 2).sum(axis=0))
    return CurveLine(machines.system, flow, head, band=np.interp(flow, at, width))


def _stopped(machines: Machines, group: PumpGroup, stopped: str, flow: FloatArray) -> StoppedCase:
    case = _case(machines.without(stopped), group, f"{machines.names[stopped]} stopped", machines.system, flow)
    return replace(case, stopped=stopped, name=machines.names[stopped])


def struck_case(plot: PumpPlot, struck: Network, title: str) -> StoppedCase | None:
    """The lines of a plot after something else than one machine of it has failed.

    Parameters
    ----------
    plot : PumpPlot
        With everything in order.
    struck : Network
        The same network after the failure.
    title : str
        What has failed.

    Returns
    -------
    StoppedCase or None
        `name` is the title; None where the machines form no group any more, or nothing can pass them.
    """
    group = single_pump(struck, plot.pumps[0]) if len(plot.pumps) == 1 else pump_group(struck, plot.pumps)
    if group is None:
        return None
    try:
        return _case(struck, group, title, plot.system.label, plot.system.flow)
    except SketchError:  # no way round is left, so there is no head at which a flow would pass
        return None


def _case(struck: Network, group: PumpGroup, title: str, system: str, flow: FloatArray) -> StoppedCase:
    result = solve_flow(struck)
    held = _with_cut_tees_held(struck, result, group)
    head, needed = combined_curve(held, group, flow), system_curve(held, group, flow)
    at_flow, at_head = _crossing(group, result)
    combined = CurveLine(title, flow, head, _group_reach(struck, group))
    return StoppedCase("", title, _down_to_zero(combined), CurveLine(system, flow, needed), at_flow, at_head)


def _with_cut_tees_held(network: Network, result: FlowResult, group: PumpGroup) -> Network:
    """The same with the losses of tees that lie partly in the group held as they are at the operating point.

    A tee's losses depend on all its legs, so those of one that is cut can only be taken as they are. They depend on
    how the flow divides alone, so for like pumps side by side nothing is lost by that.
    """
    inside = set(group.names())
    held = _piece(network, network.part_of(network.links))
    for name, meeting in list(held.meetings.items()):
        if inside.isdisjoint(meeting.legs) or inside.issuperset(meeting.legs):
            continue
        del held.meetings[name]
        coefficients = meeting.law.coefficients(np.array([[result.flow[leg]] for leg in meeting.legs]))[0][:, 0]
        for leg, loss in zip(meeting.legs, coefficients.tolist(), strict=True):
            link = held.links[leg]
            assert isinstance(link.element, elements.Leg)
            held.links[leg] = replace(link, element=elements.Leg(link.element.bore, loss, loss))
    return held


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


def _group_reach(network: Network, group: PumpGroup) -> float:
    """Largest flow of the group that the machines' data cover [m3/s]."""
    return max(_reach(network, gap.branch) for gap in group.gaps)


def _reach(network: Network, branch: Branch) -> float:
    if branch.kind == "element":
        element = network.links[branch.name].element
        return element.last_flow if isinstance(element, elements.Pump) else 0.0
    reaches = [_reach(network, child) for child in branch.children]
    return sum(reaches) if branch.kind == "parallel" else max(reaches)


def _down_to_zero(line: CurveLine) -> CurveLine:
    """The line without what lies below zero head, except for the first point there."""
    below = np.flatnonzero(line.head < 0)
    if not len(below):
        return line
    end = int(below[0]) + 1
    return CurveLine(line.label, line.flow[:end], line.head[:end], line.sure_up_to)


def _own_curve(machines: Machines, name: str) -> CurveLine:
    element = machines.network.links[name].element
    assert isinstance(element, elements.Pump)
    flow = np.linspace(0.0, element.last_flow, POINTS)
    return CurveLine(f"{machines.names[name]} alone", flow, element.curve(flow)[0], element.last_flow)
