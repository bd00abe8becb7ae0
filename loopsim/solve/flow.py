"""The flow problem from network to result."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.elements import Bank, Element, Legs
from loopsim.errors import NotSolved, SketchError, did_you_mean
from loopsim.network import Network
from loopsim.solve.forms import form_for
from loopsim.solve.meetings import SETTLED, Meetings
from loopsim.solve.newton import Form, Iterate, close_loops
from loopsim.solve.topology import Topology
from loopsim.units import GRAVITY

__all__ = ["FlowResult", "FlowVariants", "solve_flow", "solve_variants"]

FloatArray = NDArray[np.float64]

MOST_ROUNDS = 60  # of moving the tees' coefficients
_TYPICAL_FLOW = 5e-5  # where nothing else tells the size of the flows: 180 L/h [m3/s]
_LEAST_FLOW, _LEAST_DROP = 1e-9, 1.0  # imbalances are relative to no less than these, or rest would seem unbalanced


@dataclass(frozen=True)
class FlowVariants:
    """A network solved for several sets of inflows at once.

    Attributes
    ----------
    network : Network
    flows : ndarray, shape (elements, v)
        Volume flow, positive from start to end [m3/s].
    drops : ndarray, shape (elements, v)
        Total pressure at start minus at end, without the weight of the column [Pa].
    potentials : ndarray, shape (junctions, v)
        Pressure reduced to elevation 0 [Pa].
    iterations : int
        Newton steps.
    mass_residual : float
        Largest sum of flows at a junction [m3/s].
    mass_imbalance : float
        The same relative to the largest flow of the island.
    pressure_residual : float
        Largest sum of drops round a loop [Pa].
    pressure_imbalance : float
        The same relative to the largest drop of the island.
    datum : tuple of str
        Junctions set to pressure 0 because nothing fixes their island.
    tee_residual : float
        By how much the loss of a tee's leg differs from the one that belongs to the flows, relative to the largest
        drop.
    tee_band : ndarray, shape (2, elements, v), or None
        Where the tees' losses do not settle: flows at both ends of the range in which they wander.
    """

    network: Network
    flows: FloatArray
    drops: FloatArray
    potentials: FloatArray
    iterations: int
    mass_residual: float
    mass_imbalance: float
    pressure_residual: float
    pressure_imbalance: float
    datum: tuple[str, ...]
    tee_residual: float = 0.0
    tee_band: FloatArray | None = None

    def head(self, junction: str) -> FloatArray:
        """Piezometric head at a junction in every variant, shape (v,) [m]."""
        row = list(self.network.junctions).index(junction)
        return np.asarray(self.potentials[row] / (self.network.state.density * GRAVITY))


@dataclass(frozen=True)
class FlowResult:
    """A network solved.

    Attributes
    ----------
    flow : dict of str to float
        Volume flow through each element, positive from start to end [m3/s].
    dp : dict of str to float
        Total pressure at start minus at end, without the weight of the column [Pa].
    pressure : dict of str to float
        Static gauge pressure at each junction, at its elevation [Pa].
    iterations, mass_imbalance, pressure_imbalance, mass_residual, pressure_residual, datum
        As in `FlowVariants`.
    """

    variants: FlowVariants

    @cached_property
    def flow(self) -> dict[str, float]:
        return dict(zip(self.variants.network.links, self.variants.flows[:, 0].tolist(), strict=True))

    @cached_property
    def dp(self) -> dict[str, float]:
        return dict(zip(self.variants.network.links, self.variants.drops[:, 0].tolist(), strict=True))

    @cached_property
    def pressure(self) -> dict[str, float]:
        weight = self.variants.network.state.density * GRAVITY
        return {
            junction.name: float(potential - weight * junction.elevation)
            for junction, potential in zip(
                self.variants.network.junctions.values(), self.variants.potentials[:, 0], strict=True
            )
        }

    def head(self, junction: str) -> float:
        """Piezometric head at a junction [m]."""
        if junction not in self.variants.network.junctions:
            near = did_you_mean(junction, self.variants.network.junctions)
            raise SketchError(f"there is no junction {junction!r}{near}", part=junction)
        return float(self.variants.head(junction)[0])

    @property
    def iterations(self) -> int:
        return self.variants.iterations

    @property
    def mass_imbalance(self) -> float:
        return self.variants.mass_imbalance

    @property
    def pressure_imbalance(self) -> float:
        return self.variants.pressure_imbalance

    @property
    def mass_residual(self) -> float:
        return self.variants.mass_residual

    @property
    def pressure_residual(self) -> float:
        return self.variants.pressure_residual

    @property
    def datum(self) -> tuple[str, ...]:
        return self.variants.datum


def solve_flow(network: Network) -> FlowResult:
    """The steady flow through a network: one exists, and it is found from any start.

    Raises
    ------
    SketchError
        If an island without a fixed pressure takes in another flow than it gives off.
    NotSolved
        If the loops do not close; a defect of ours, never a property of the network. Names the element and states
        its residual.

    References
    ----------
    Existence, uniqueness and the line search: content and co-content, Cherry (1951), Millar (1951). Checked on
    published networks in tests/reference/test_networks.py.
    """
    return FlowResult(solve_variants(network, {}))


def solve_variants(network: Network, inflow: Mapping[str, ArrayLike]) -> FlowVariants:
    """The same network for several inflows at once.

    Parameters
    ----------
    network : Network
    inflow : mapping of str to array_like, shape (v,)
        Flow into the network at some of its junctions, in place of those written in the network [m3/s].

    Raises
    ------
    SketchError, NotSolved
        As `solve_flow`.
    """
    topology = Topology(network)
    supplied = _inflows(network, inflow)
    form = form_for(topology, supplied.shape[1])
    problem = _Problem(network, topology)
    solved = _closed(problem, problem.start(supplied, form), form)
    unsettled, band = 0.0, None
    if problem.meetings is not None:
        solved, unsettled = _with_tees(problem, problem.meetings, solved, form)
        if unsettled > SETTLED:
            band = _ends_of_range(problem, problem.meetings, solved, form)
    return _variants(network, topology, solved, supplied, unsettled, band)


def _closed(problem: "_Problem", start: FloatArray, form: Form) -> Iterate:
    """Flows that close all loops with every leg's coefficient as it is held, or an error."""
    solved = close_loops(problem.drops, start, form)
    if not solved.converged:
        raise _not_solved(problem.topology, solved, form)
    return solved


def _with_tees(problem: "_Problem", tees: Meetings, solved: Iterate, form: Form) -> tuple[Iterate, float]:
    """Move the tees' coefficients until they belong to the flows; also what is left of the last change."""
    change = np.inf
    for _ in range(MOST_ROUNDS):
        change = tees.update(solved.flow, solved.dp)
        if change <= SETTLED:
            break
        again = _closed(problem, solved.flow, form)
        solved = replace(again, steps=solved.steps + again.steps)
    return solved, change


def _ends_of_range(problem: "_Problem", tees: Meetings, solved: Iterate, form: Form) -> FloatArray:
    """Flows with all coefficients at the lower and at the upper end of where they wander, shape (2, elements, v)."""
    flows = []
    for upper in (False, True):
        tees.hold_end_of_range(upper)
        flows.append(_closed(problem, solved.flow, form).flow[: problem.topology.element_count])
    return np.sort(flows, axis=0)


class _Problem:
    """Drops of all links, from the elements' banks and the ground's fixed pressures."""

    meetings: Meetings | None = None

    def __init__(self, network: Network, topology: Topology) -> None:
        by_class: dict[type[Element], list[int]] = defaultdict(list)
        found = [link.element for link in network.links.values()]
        for row, element in enumerate(found):
            by_class[type(element)].append(row)
        self.topology = topology
        self.banks: list[tuple[NDArray[np.intp], Bank]] = [
            (np.array(rows, dtype=np.intp), kind.bank([found[row] for row in rows])) for kind, rows in by_class.items()
        ]
        if network.meetings:
            self.meetings = next(Meetings(network, rows, bank) for rows, bank in self.banks if isinstance(bank, Legs))
        self.density = np.full((1, 1), network.state.density)
        self.viscosity = np.full((1, 1), network.state.viscosity)

    def drops(self, flow: FloatArray) -> tuple[FloatArray, FloatArray]:
        dp, slope = np.zeros_like(flow), np.zeros_like(flow)
        dp[self.topology.element_count :] = -self.topology.ground_potential[:, None]
        for rows, bank in self.banks:
            dp[rows], slope[rows] = bank.evaluate(flow[rows], self.density, self.viscosity)
        return dp, slope

    def start(self, inflow: FloatArray, form: Form) -> FloatArray:
        """Flows of the network with every element replaced by its secant at the size of flow to be expected."""
        flow = self.topology.tree_flow(inflow)
        if not self.topology.loop_count:
            return flow
        size = max(float(np.abs(flow).max(initial=0.0)), _TYPICAL_FLOW)
        ahead, back = self.drops(np.full_like(flow[:, :1], size))[0], self.drops(np.full_like(flow[:, :1], -size))[0]
        secant = (ahead - back) / (2 * size) + np.zeros_like(flow)
        straight = 0.5 * (ahead + back) + secant * flow
        return flow + form.direction(straight, secant, form.residual(straight))


def _inflows(network: Network, inflow: Mapping[str, ArrayLike]) -> FloatArray:
    for name in inflow:
        if name not in network.junctions:
            raise SketchError(f"there is no junction {name!r}{did_you_mean(name, network.junctions)}", part=name)
    columns = {name: np.atleast_1d(np.asarray(values, dtype=float)) for name, values in inflow.items()}
    count = max((len(values) for values in columns.values()), default=1)
    rows = [
        np.broadcast_to(columns.get(junction.name, np.array([junction.inflow])), (count,))
        for junction in network.junctions.values()
    ]
    return np.array(rows).reshape(len(rows), count)


def _variants(
    network: Network,
    topology: Topology,
    solved: Iterate,
    inflow: FloatArray,
    tee_residual: float,
    tee_band: FloatArray | None,
) -> FlowVariants:
    count = topology.element_count
    mass = np.abs(topology.net_outflow(solved.flow) - inflow)
    pressure = np.abs(solved.residual)
    return FlowVariants(
        network,
        solved.flow[:count],
        solved.dp[:count],
        topology.potentials(solved.dp)[:-1],
        solved.steps,
        float(mass.max(initial=0.0)),
        _relative(mass, np.maximum(topology.largest_of_island(solved.flow)[topology.island[:-1]], _LEAST_FLOW)),
        float(pressure.max(initial=0.0)),
        _relative(pressure, np.maximum(topology.largest_of_island(solved.dp)[topology.chord_islands], _LEAST_DROP)),
        topology.datum,
        tee_residual,
        tee_band,
    )


def _relative(residual: FloatArray, size: FloatArray) -> float:
    return float((residual / size).max(initial=0.0))


def _not_solved(topology: Topology, solved: Iterate, form: Form) -> NotSolved:
    """The error that names the loop furthest from closing, by the element that closes it."""
    allowed = form.tolerance(solved.dp)
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
