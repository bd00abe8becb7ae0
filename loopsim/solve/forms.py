"""Two ways to the same Newton step: by loops for small networks, by nodes for large ones."""

from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loopsim.solve.topology import Topology

__all__ = ["LoopForm", "NodalForm", "form_for"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

TOLERANCE = 1e-11  # of a loop's imbalance, relative to the largest drop of its island
MOST_LOOPS = 120  # beyond, the dense system of the loops costs more than the sparse one of the nodes
_FLOOR = 1e-10  # imbalance that counts as none where nothing flows [Pa]


def form_for(topology: Topology, variants: int) -> "LoopForm | NodalForm":
    """The form that is quicker for a network of this size."""
    if topology.loop_count <= MOST_LOOPS or variants > 1:
        return LoopForm(topology)
    return NodalForm(topology)


class _Form:
    """What both forms share."""

    def __init__(self, topology: Topology) -> None:
        self.topology = topology
        self._floor = _FLOOR + 1e-14 * float(np.abs(topology.ground_potential).max(initial=0.0))

    def tolerance(self, dp: FloatArray) -> FloatArray:
        """Imbalance allowed in each loop, from the largest drop of its island, shape (loops, v) [Pa]."""
        largest = self.topology.largest_of_island(dp)[self.topology.chord_islands]
        return np.asarray(TOLERANCE * largest + self._floor)


class LoopForm(_Form):
    """Unknowns are the flows round the independent loops; the system is dense and small."""

    def residual(self, dp: FloatArray) -> FloatArray:
        """Sum of drops round each loop."""
        return np.asarray(self.topology.loops.T @ dp)

    def direction(self, dp: FloatArray, slope: FloatArray, residual: FloatArray) -> FloatArray:  # noqa: ARG002
        """Solve ``(L^T S L) x = -residual`` for the loop flows, L the loops and S the slopes."""
        loops = self.topology.loops
        if slope.shape[1] == 1:
            return np.asarray(-(loops @ np.linalg.solve((loops.T * slope[:, 0]) @ loops, residual)))
        jacobian = (loops.T * slope.T[:, None, :]) @ loops
        return np.asarray(-(loops @ np.linalg.solve(jacobian, residual.T[:, :, None])[:, :, 0].T))


class NodalForm(_Form):
    """Unknowns are corrections to the potentials of the junctions; the system is sparse.

    Potentials along the tree satisfy every link of it; what a chord lacks is its loop's residual. With conductances
    ``g = 1 / slope`` the step of Todini and Pilati is ``g (P_start - P_end - lack)``, where the corrections P solve
    ``(A g A^T) P = A g lack``: one sparse factorisation per step. Everything is of the size of what still lacks, so
    rounding does too, and only the chords' steps are taken from it; the tree follows by continuity. One variant at a
    time.

    References
    ----------
    Todini and Pilati (1987), A gradient algorithm for the analysis of pipe networks.
    """

    def residual(self, dp: FloatArray) -> FloatArray:
        """Drop of each chord less the difference of its ends' potentials along the tree."""
        topology = self.topology
        potential = topology.potentials(dp)
        chords = topology.chords
        return np.asarray(dp[chords] - potential[topology.start[chords]] + potential[topology.end[chords]])

    def direction(self, dp: FloatArray, slope: FloatArray, residual: FloatArray) -> FloatArray:  # noqa: ARG002
        """The step from the corrections to the potentials."""
        topology, count = self.topology, self.topology.element_count
        start, end = topology.start[:count], topology.end[:count]
        conductance = 1.0 / np.maximum(slope[:count, 0], 1e-12 * float(slope[:count].max()))
        lack = np.zeros(len(topology.start))
        lack[topology.chords] = residual[:, 0]
        potential = np.zeros(topology.junction_count + 1)
        potential[topology.grounded] = -lack[count:]
        held = conductance * (lack[:count] - potential[start] + potential[end])
        potential[self._free] = self._solve(conductance, self._net(held)[self._free])
        step = np.zeros_like(lack)
        step[:count] = conductance * (potential[start] - potential[end] - lack[:count])
        step[count:] = self._net(step[:count])[topology.grounded]
        return topology.loop_flow(step[topology.chords, None])

    def _net(self, flow: FloatArray) -> FloatArray:
        """Flow leaving each junction through the elements, shape (n + 1,)."""
        topology, count = self.topology, self.topology.element_count
        size = topology.junction_count + 1
        out = np.bincount(topology.start[:count], flow, minlength=size)
        return np.asarray(out - np.bincount(topology.end[:count], flow, minlength=size))

    @cached_property
    def _free(self) -> IntArray:
        """Junctions whose potential is not fixed."""
        free = np.ones(self.topology.junction_count, dtype=bool)
        free[self.topology.grounded] = False
        return np.flatnonzero(free)

    @cached_property
    def _pattern(self) -> tuple[IntArray, IntArray, Any]:
        """Index arrays of the upper triangle, and the matrix that turns conductances into its entries."""
        from scipy.sparse import coo_matrix, csr_matrix

        topology, count, free = self.topology, self.topology.element_count, self._free
        size = len(free)
        row_of = np.full(topology.junction_count + 1, -1, dtype=np.intp)
        row_of[free] = np.arange(size)
        a, b = row_of[topology.start[:count]], row_of[topology.end[:count]]
        elements = np.arange(count)
        both = (a >= 0) & (b >= 0)
        rows = np.concatenate((a[a >= 0], b[b >= 0], np.minimum(a, b)[both]))
        columns = np.concatenate((a[a >= 0], b[b >= 0], np.maximum(a, b)[both]))
        source = np.concatenate((elements[a >= 0], elements[b >= 0], elements[both]))
        sign = np.concatenate((np.ones((a >= 0).sum() + (b >= 0).sum()), -np.ones(both.sum())))
        entry, place = np.unique(columns * size + rows, return_inverse=True)
        gather = csr_matrix(coo_matrix((sign, (place, source)), shape=(len(entry), count)))
        starts = np.searchsorted(entry // size, np.arange(size + 1))
        return entry % size, starts, gather

    def _solve(self, conductance: FloatArray, right: FloatArray) -> FloatArray:
        import qdldl
        from scipy.sparse import csc_matrix

        rows, starts, gather = self._pattern
        matrix = csc_matrix((gather @ conductance, rows, starts), shape=(len(right), len(right)))
        if self._factor is None:
            self._factor = qdldl.Solver(matrix, upper=True)
        else:
            self._factor.update(matrix, upper=True)
        return np.asarray(self._factor.solve(right))

    _factor: Any = None
