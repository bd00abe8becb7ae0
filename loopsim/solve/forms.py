"""Two ways to the same Newton step: by loops for small networks, by nodes for large ones."""

from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loopsim.solve.chains import Chains
from loopsim.solve.topology import Topology

__all__ = ["LoopForm", "NodalForm", "form_for"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

TOLERANCE = 1e-11  # of a loop's imbalance, relative to the largest drop of its island
MOST_LOOPS = 60  # beyond, the dense system of the loops costs more than the sparse one of the nodes
_ELIMINATED_AT_ONCE = 24  # loops up to which many small systems are solved side by side
_LEAST_SLOPE = 1e-13  # of the steepest element's: some curves are flat at rest, and no system may be singular
_FLOOR = 1e-10  # imbalance that counts as none where nothing flows [Pa]


def form_for(topology: Topology) -> "LoopForm | NodalForm":
    """The form that is quicker for a network of this size."""
    return LoopForm(topology) if topology.loop_count <= MOST_LOOPS else NodalForm(topology)


class _Form:
    """What both forms share."""

    def __init__(self, topology: Topology) -> None:
        self.topology = topology
        self._floor = _FLOOR + 1e-14 * float(np.abs(topology.ground_potential).max(initial=0.0))

    def tolerance(self, dp: FloatArray) -> FloatArray:
        """Imbalance allowed in each loop, from the largest drop of its island, spreads to (loops, v) [Pa]."""
        return self.topology.of_loops(TOLERANCE * self.topology.largest_on_islands(dp) + self._floor)


class LoopForm(_Form):
    """Unknowns are the flows round the independent loops; the system is dense and small. Any number of variants."""

    def residual(self, dp: FloatArray) -> FloatArray:
        """Sum of drops round each loop."""
        return np.asarray(self.topology.loops.T @ dp)

    def direction(self, slope: FloatArray, residual: FloatArray, coupling: FloatArray | None = None) -> FloatArray:
        """Solve ``(L^T S L + C) x = -residual`` for the loop flows, L the loops and S the slopes.

        C, shape (loops, loops, v), is what else couples the loops; nothing if not given.
        """
        loops = self.topology.loops
        count, variants = residual.shape
        slope = np.maximum(slope, _LEAST_SLOPE * slope.max(axis=0))
        more = np.zeros((count, count, variants)) if coupling is None else coupling
        if variants == 1:
            return np.asarray(-(loops @ np.linalg.solve((loops.T * slope[:, 0]) @ loops + more[:, :, 0], residual)))
        if count <= _ELIMINATED_AT_ONCE:
            jacobian = (self._pairs @ slope).reshape(count, count, variants) + more
            return np.asarray(-(loops @ _eliminated(jacobian, residual.copy())))
        jacobian = (loops.T * slope.T[:, None, :]) @ loops + np.moveaxis(more, 2, 0)
        return np.asarray(-(loops @ np.linalg.solve(jacobian, residual.T[:, :, None])[:, :, 0].T))

    @cached_property
    def _pairs(self) -> FloatArray:
        """Products of all pairs of loops, which turn slopes into the entries of the system, (loops^2, m + g)."""
        loops = self.topology.loops
        return np.asarray((loops.T[:, None, :] * loops.T).reshape(-1, len(loops)))


def _eliminated(matrix: FloatArray, right: FloatArray) -> FloatArray:
    """Solve many small symmetric positive systems, (k, k, v) against (k, v), side by side; both are overwritten.

    Elimination needs no exchange of rows in such systems. It beats the batched library call, which pays its overhead
    once for each system.
    """
    count = len(matrix)
    for pivot in range(count - 1):
        ratio = matrix[pivot + 1 :, pivot] / matrix[pivot, pivot]
        matrix[pivot + 1 :, pivot + 1 :] -= ratio[:, None] * matrix[pivot, pivot + 1 :]
        right[pivot + 1 :] -= ratio * right[pivot]
    for row in range(count - 1, -1, -1):
        right[row] -= np.einsum("kv,kv->v", matrix[row, row + 1 :], right[row + 1 :])
        right[row] /= matrix[row, row]
    return right


class NodalForm(_Form):
    """Unknowns are corrections to the potentials of the junctions; the system is sparse. One variant at a time.

    Potentials along the tree satisfy every link of it; what a chord lacks is its loop's residual. With conductances
    ``g = 1 / slope`` the step of Todini and Pilati is ``g (P_start - P_end - lack)``, where the corrections P solve
    ``(A g A^T) P = A g lack``: one sparse factorisation per step. Everything is of the size of what still lacks, so
    rounding does too, and only the chords' steps are taken from it; the tree follows by continuity. Elements in a row
    count as one.

    References
    ----------
    Todini and Pilati (1987), A gradient algorithm for the analysis of pipe networks.
    """

    _factor: Any = None

    def residual(self, dp: FloatArray) -> FloatArray:
        """Drop of each chord less the difference of its ends' potentials along the tree."""
        topology, chords = self.topology, self.topology.chords
        potential = np.append(topology.potentials(dp[:, 0]), 0.0)
        across = potential[topology.start[chords]] - potential[topology.end[chords]]
        return np.asarray(dp[chords] - across[:, None])

    def direction(self, slope: FloatArray, residual: FloatArray) -> FloatArray:
        """The step from the corrections to the potentials."""
        chains, chords, grounds = self._chains, self._chords, self._ground_chords
        chain, sign = chains.of_element[chords], chains.sign[chords]
        resistance = chains.total(slope[: self.topology.element_count, 0])
        conductance = 1.0 / np.maximum(resistance, _LEAST_SLOPE * float(resistance.max()))
        potential = np.zeros(len(chains.knots))
        potential[chains.free_count + grounds] = -residual[len(chords) :, 0]
        lack = np.bincount(chain, sign * residual[: len(chords), 0], len(conductance))
        held = conductance * (lack - potential[chains.start] + potential[chains.end])
        potential[: chains.free_count] = self._solve(conductance, chains.net(held)[: chains.free_count])
        step = conductance * (potential[chains.start] - potential[chains.end] - lack)
        through_grounds = chains.net(step)[chains.free_count + grounds]
        return self.topology.loop_flow(np.concatenate((sign * step[chain], through_grounds)))[:, None]

    @cached_property
    def _chains(self) -> Chains:
        return Chains(self.topology)

    @cached_property
    def _chords(self) -> IntArray:
        """Chords that are elements; they come first."""
        return self.topology.chords[self.topology.chords < self.topology.element_count]

    @cached_property
    def _ground_chords(self) -> IntArray:
        """Chords that are ground links, numbered among these."""
        return self.topology.chords[len(self._chords) :] - self.topology.element_count

    def _solve(self, conductance: FloatArray, right: FloatArray) -> FloatArray:
        import qdldl

        if not len(right):
            return right
        matrix, gather = self._system
        matrix.data = gather @ conductance
        if self._factor is None:
            self._factor = qdldl.Solver(matrix, upper=True)
        else:
            self._factor.update(matrix, upper=True)
        return np.asarray(self._factor.solve(right))

    @cached_property
    def _system(self) -> tuple[Any, Any]:
        """Upper triangle of the system, and the matrix that turns conductances into its entries."""
        from scipy.sparse import coo_matrix, csc_matrix, csr_matrix

        start, end, size = self._chains.start, self._chains.end, self._chains.free_count
        open_chain = start != end
        free_start, free_end = open_chain & (start < size), open_chain & (end < size)
        at_start, at_end, both = map(np.flatnonzero, (free_start, free_end, free_start & free_end))
        rows = np.concatenate((start[at_start], end[at_end], np.minimum(start, end)[both]))
        columns = np.concatenate((start[at_start], end[at_end], np.maximum(start, end)[both]))
        sign = np.concatenate((np.ones(len(at_start) + len(at_end)), np.full(len(both), -1.0)))
        entry, place = np.unique(columns * size + rows, return_inverse=True)
        source = np.concatenate((at_start, at_end, both))
        gather = csr_matrix(coo_matrix((sign, (place, source)), shape=(len(entry), len(start))))
        begins = np.searchsorted(entry // max(size, 1), np.arange(size + 1))
        return csc_matrix((np.ones(len(entry)), entry % max(size, 1), begins), shape=(size, size)), gather
