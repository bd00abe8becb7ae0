"""The flow problem from network to result."""

from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.cancelling import check_cancelled
from loopsim.elements import Legs
from loopsim.errors import NotSolved, SketchError, did_you_mean
from loopsim.network import Network
from loopsim.solve.compiled import Compiled, compiled
from loopsim.solve.forms import LoopForm
from loopsim.solve.meetings import SETTLED, Meetings
from loopsim.solve.newton import Iterate, close_loops
from loopsim.solve.results import FlowResult, FlowVariants
from loopsim.solve.start import flow_near, linear_flow

__all__ = ["solve_flow", "solve_variants"]

FloatArray = NDArray[np.float64]

MOST_ROUNDS = 60  # of moving the tees' coefficients between solves
_MOST_TOGETHER = 12  # steps in which they move along: from near, four or five are enough
VALUES_AT_ONCE = 32_768  # elements times variants that are solved together: what stays in a core's cache
_LEAST_FLOW, _LEAST_DROP = 1e-9, 1.0  # imbalances are relative to no less than these, or rest would seem unbalanced


def solve_flow(network: Network, start: FlowResult | Mapping[str, float] | None = None) -> FlowResult:
    """The steady flow through a network: one exists, and it is found from any start.

    Parameters
    ----------
    network : Network
    start : FlowResult or mapping of str to float, optional
        Flows through elements by name from which to start, such as those before a small change [m3/s]. They need
        not keep continuity; those of elements that do not exist are passed over. They save time and change nothing
        else.

    Raises
    ------
    SketchError
        If an island without a fixed pressure takes in another flow than it gives off.
    NotSolved
        If the loops do not close; a defect of ours, never a property of the network. Names the element and states
        its residual.

    Notes
    -----
    The network's graph and arrays are kept with it, so that solving it again costs only the Newton steps.

    References
    ----------
    Existence, uniqueness and the line search: content and co-content, Cherry (1951), Millar (1951). Checked on
    published networks in tests/reference/test_networks.py.
    """
    flows = start.flow if isinstance(start, FlowResult) else start
    with compiled(network) as made:
        near = None if flows is None else flow_near(made, flows)
        return FlowResult(_told(network, made, [_solved(_Problem(network, made), made.inflow, near)]))


def solve_variants(
    network: Network, inflow: Mapping[str, ArrayLike], drop_factors: Mapping[str, ArrayLike] | None = None
) -> FlowVariants:
    """The same network for several inflows, or with several sets of elements, at once.

    Parameters
    ----------
    network : Network
    inflow : mapping of str to array_like, shape (v,)
        Flow into the network at some of its junctions, in place of those written in the network [m3/s].
    drop_factors : mapping of str to array_like, shape (v,), optional
        What the pressure drop of some elements is multiplied by at every flow, above 0: a block 10 % worse than its
        data has 1.1, a pump with 5 % less head 0.95.

    Raises
    ------
    SketchError
        As `solve_flow`; for a name that the network does not have; for a factor that is not above 0.
    NotSolved
        As `solve_flow`.
    """
    drop_factors = drop_factors or {}
    count = _count({**inflow, **drop_factors})
    supplied, factors = _inflows(network, inflow, count), _factors(network, drop_factors, count)
    with compiled(network) as made:
        near = None if inflow or count == 1 else _middle(network, made)
        pieces = []
        for few in _few_at_once(made, count):
            problem = _Problem(network, made, factors[made.order, few] if drop_factors else None)
            pieces.append(_solved(problem, supplied[:, few], near))
        return _told(network, made, pieces)


def _middle(network: Network, made: Compiled) -> FloatArray:
    """Flows through the network as it is; kept with it, as variants are often asked for in portions."""
    if made.middle is None:
        made.middle = _solved(_Problem(network, made), made.inflow, None).flow
    return made.middle


def _few_at_once(made: Compiled, count: int) -> Iterator[slice]:
    """Variants to solve together."""
    width = max(1, VALUES_AT_ONCE // max(1, len(made.order))) if isinstance(made.form, LoopForm) else 1
    return (slice(first, first + width) for first in range(0, count, width))


@dataclass(frozen=True)
class _Solved:
    """Some variants solved; links in the solver's order. Imbalances relative first, then absolute."""

    flow: FloatArray
    dp: FloatArray
    steps: int
    mass: tuple[float, float]
    pressure: tuple[float, float]
    tee_residual: float = 0.0
    tee_band: FloatArray | None = None


def _solved(problem: "_Problem", inflow: FloatArray, near: FloatArray | None) -> _Solved:
    """Solve from flows that keep continuity, or from those of the network with straight lines for drops."""
    start = linear_flow(problem.made, inflow) if near is None else near
    if problem.meetings is None:
        return _balanced(problem, _closed(problem, start), inflow)
    solved, unsettled = _with_tees(problem, problem.meetings, start, near is not None, inflow.shape[1])
    band = _ends_of_range(problem, problem.meetings, solved) if unsettled > SETTLED else None
    return replace(_balanced(problem, solved, inflow), tee_residual=unsettled, tee_band=band)


class _Problem:
    """One solve of a network: the drops of its links, with factors and tees' losses of its own."""

    meetings: Meetings | None = None

    def __init__(self, network: Network, made: Compiled, scale: FloatArray | None = None) -> None:
        self.network, self.made, self.topology, self.form = network, made, made.topology, made.form
        self._banks, self._scale = made.banks, None
        if scale is not None:
            self._scale = np.concatenate((scale, np.ones((len(self.topology.grounded), scale.shape[1]))))
        if network.meetings:
            self._banks = [(rows, copy(bank) if isinstance(bank, Legs) else bank) for rows, bank in made.banks]
            legs = next((rows, bank) for rows, bank in self._banks if isinstance(bank, Legs))
            self.meetings = Meetings(network, self.topology.links, *legs)

    def drops(self, flow: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Drops of all links and their slopes."""
        dp, slope = self.made.drops(flow, self._banks)
        if self._scale is None:
            return dp, slope
        if self.made.swelling is not None:  # a factor on an element's drop leaves what its column weighs
            weight = self.made.weight
            return (dp - weight) * self._scale + weight, slope * self._scale
        if dp.shape != self._scale.shape:  # one start for all variants
            return dp * self._scale, slope * self._scale
        dp *= self._scale
        slope *= self._scale
        return dp, slope


def _closed(problem: _Problem, start: FloatArray) -> Iterate:
    """Flows that close all loops with every leg's coefficient as it is held, or an error."""
    solved = close_loops(problem.drops, start, problem.form)
    if not solved.converged:
        raise _not_solved(problem, solved)
    return solved


def _with_tees(
    problem: _Problem, tees: Meetings, start: FloatArray, is_near: bool, count: int
) -> tuple[Iterate, float]:
    """Flows of all variants to which the tees' coefficients belong; also what is left of their last change."""
    steps = 0
    if not is_near:
        tees.follow(start)
        held = _closed(problem, start)
        start, steps = held.flow, held.steps
    solved = _together(problem, tees, start)
    if solved is not None:
        return replace(solved, steps=steps + solved.steps), 0.0
    return _in_rounds(problem, tees, np.repeat(start, count // start.shape[1], axis=1))


def _together(problem: _Problem, tees: Meetings, start: FloatArray) -> Iterate | None:
    """Newton's method with coefficients that move along with every step, from flows that are near.

    How they move is taken at the mean of the variants, by their size, which costs little and leads as far. Nothing
    guides the step where losses change by leaps, so there, and in large networks, none is found.
    """
    if not isinstance(problem.form, LoopForm):
        return None
    flow, before = start, np.inf
    legs = problem.topology.loops[tees.rows]
    for step in range(_MOST_TOGETHER):
        check_cancelled()
        tees.follow(flow)
        dp, slope = problem.drops(flow)
        residual = problem.form.residual(dp)
        lack = (np.abs(residual) / problem.form.tolerance(dp)).max(axis=0, initial=0.0)
        worst = float(lack.max(initial=0.0))
        if worst <= 1:
            return Iterate(np.broadcast_to(flow, dp.shape), dp, residual, step, converged=True)
        if not worst < before:
            return None
        before = worst
        coupling = (legs.T @ tees.drift(flow.mean(axis=1, keepdims=True)) @ legs)[:, :, None]
        flow = flow + problem.form.direction(slope, residual, coupling * tees.size(flow)) * (lack > 1)
    return None


def _in_rounds(problem: _Problem, tees: Meetings, start: FloatArray) -> tuple[Iterate, float]:
    """Move the tees' coefficients between solves; also what is left of their last change."""
    tees.update(start, problem.drops(start)[0])
    solved, change = _closed(problem, start), np.inf
    for _ in range(MOST_ROUNDS):
        change = tees.update(solved.flow, solved.dp)
        if change <= SETTLED:
            break
        again = _closed(problem, solved.flow)
        solved = replace(again, steps=solved.steps + again.steps)
    return solved, change


def _ends_of_range(problem: _Problem, tees: Meetings, solved: Iterate) -> FloatArray:
    """Flows with all coefficients at the lower and at the upper end of where they wander, shape (2, links, v)."""
    flows = []
    for upper in (False, True):
        tees.hold_end_of_range(upper)
        flows.append(_closed(problem, solved.flow).flow)
    return np.sort(flows, axis=0)


def _count(given: Mapping[str, ArrayLike]) -> int:
    """How many variants there are."""
    lengths = {name: np.size(values) for name, values in given.items()}
    count = max(lengths.values(), default=1)
    for name, length in lengths.items():
        if length not in (1, count):
            raise SketchError(f"{name!r} has {length} values, others have {count}; give one or as many", part=name)
    return count


def _inflows(network: Network, inflow: Mapping[str, ArrayLike], count: int) -> FloatArray:
    """Flow into each junction, shape (n, v)."""
    for name in inflow:
        if name not in network.junctions:
            raise SketchError(f"there is no junction {name!r}{did_you_mean(name, network.junctions)}", part=name)
    return _rows({name: junction.inflow for name, junction in network.junctions.items()}, inflow, count)


def _factors(network: Network, factors: Mapping[str, ArrayLike], count: int) -> FloatArray:
    """Factor on each element's drop, shape (m, v)."""
    for name, values in factors.items():
        if name not in network.links:
            raise SketchError(f"there is no element {name!r}{did_you_mean(name, network.links)}", part=name)
        wrong = np.extract(~(np.isfinite(values) & (np.asarray(values) > 0)), values)
        if len(wrong):
            raise SketchError(f"element {name!r}: a factor on its drop must be above 0, got {wrong[0]:g}", part=name)
    return _rows(dict.fromkeys(network.links, 1.0), factors, count)


def _rows(usual: Mapping[str, float], given: Mapping[str, ArrayLike], count: int) -> FloatArray:
    """One row for each name: the given values, or the usual one."""
    if not given:
        return np.broadcast_to(np.array(list(usual.values()), dtype=float).reshape(-1, 1), (len(usual), count))
    rows = np.empty((len(usual), count))
    for row, (name, value) in enumerate(usual.items()):
        rows[row] = given.get(name, value)
    return rows


def _balanced(problem: _Problem, solved: Iterate, inflow: FloatArray) -> _Solved:
    """With what is left of the balances, told again from the flows found."""
    topology = problem.topology
    mass, pressure = np.abs(topology.net_outflow(solved.flow) - inflow), np.abs(solved.residual)
    most_flow = topology.of_junctions(np.maximum(topology.largest_on_islands(solved.flow), _LEAST_FLOW))
    most_drop = topology.of_loops(np.maximum(topology.largest_on_islands(solved.dp), _LEAST_DROP))
    return _Solved(
        solved.flow,
        solved.dp,
        solved.steps,
        (float((mass / most_flow).max(initial=0.0)), float(mass.max(initial=0.0))),
        (float((pressure / most_drop).max(initial=0.0)), float(pressure.max(initial=0.0))),
    )


def _told(network: Network, made: Compiled, pieces: Sequence[_Solved]) -> FlowVariants:
    """All variants together, elements as written in the network."""
    band = None
    if any(piece.tee_band is not None for piece in pieces):  # without width where the losses settled
        ends = [(piece.flow, piece.flow) if piece.tee_band is None else piece.tee_band for piece in pieces]
        band = np.stack([made.flows_in_elements(made.as_written(end)) for end in zip(*ends, strict=True)])
    return FlowVariants(
        network,
        made.flows_in_elements(made.as_written([piece.flow for piece in pieces])),
        made.as_written([piece.dp for piece in pieces]),
        made,
        max(piece.steps for piece in pieces),
        max(piece.mass[1] for piece in pieces),
        max(piece.mass[0] for piece in pieces),
        max(piece.pressure[1] for piece in pieces),
        max(piece.pressure[0] for piece in pieces),
        made.topology.datum,
        max(piece.tee_residual for piece in pieces),
        band,
    )


def _not_solved(problem: _Problem, solved: Iterate) -> NotSolved:
    """The error that names the loop furthest from closing, by the element that closes it."""
    topology = problem.topology
    allowed = np.broadcast_to(problem.form.tolerance(solved.dp), solved.residual.shape)
    excess = np.nan_to_num(np.abs(solved.residual) / allowed, nan=np.inf)
    loop, variant = np.unravel_index(int(excess.argmax()), excess.shape)
    chord = int(topology.chords[int(loop)])
    name = topology.links[chord] if chord < topology.element_count else topology.names[topology.end[chord]]
    return NotSolved(
        f"the loop through {name!r} does not close after {solved.steps} steps: "
        f"{solved.residual[loop, variant]:.3g} Pa left, {allowed[loop, variant]:.1g} Pa allowed; "
        "this is a defect of Loopsim, please report it",
        part=name,
    )
