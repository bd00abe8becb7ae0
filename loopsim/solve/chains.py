"""Elements one after the other, with nothing else between them, taken together: they carry one flow."""

import numpy as np
from numpy.typing import NDArray

from loopsim.solve.topology import Topology
from loopsim.solve.tree import adjacency

__all__ = ["Chains"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]


class Chains:
    """A network's elements grouped into chains; what flows into a chain's start leaves at its end.

    Parameters
    ----------
    topology : Topology

    Attributes
    ----------
    of_element : ndarray, shape (elements,)
        Number of the chain that each element belongs to.
    sign : ndarray, shape (elements,)
        1 where the element runs along its chain, -1 where against it.
    start, end : ndarray, shape (chains,)
        Numbers of the knots at both ends, equal where a chain closes on itself.
    knots : ndarray, shape (k,)
        Junctions where chains end: those that hang on the ground last, before them all where other than two elements
        meet.
    free_count : int
        Number of knots that do not hang on the ground.
    """

    def __init__(self, topology: Topology) -> None:
        count = topology.element_count
        starts, ends = topology.start[:count], topology.end[:count]
        degree = np.bincount(np.concatenate((starts, ends)), minlength=topology.junction_count)
        is_knot = degree != 2
        is_knot[topology.grounded] = False
        free = np.flatnonzero(is_knot)
        self.knots, self.free_count = np.concatenate((free, topology.grounded)), len(free)
        is_knot[topology.grounded] = True
        self.of_element, self.sign = _chains(starts, ends, ~is_knot)
        forward = self.sign > 0
        first, last = np.where(forward, starts, ends), np.where(forward, ends, starts)
        number = np.empty(topology.junction_count, dtype=np.intp)
        number[self.knots] = np.arange(len(self.knots))
        self.start, self.end = (np.empty(self.of_element.max(initial=-1) + 1, dtype=np.intp) for _ in range(2))
        for ends_of_chains, tips in ((self.start, first), (self.end, last)):
            at_knot = is_knot[tips]
            ends_of_chains[self.of_element[at_knot]] = number[tips[at_knot]]

    def total(self, values: FloatArray) -> FloatArray:
        """Sum of a quantity of the elements over each chain, shape (elements,) -> (chains,)."""
        return np.bincount(self.of_element, values, len(self.start)).astype(float, copy=False)

    def net(self, flow: FloatArray) -> FloatArray:
        """Flow leaving each knot through the chains, shape (chains,) -> (k,)."""
        size = len(self.knots)
        return np.asarray(np.bincount(self.start, flow, size) - np.bincount(self.end, flow, size))


def _chains(starts: IntArray, ends: IntArray, inner: NDArray[np.bool_]) -> tuple[IntArray, FloatArray]:
    """Number of each element's chain, and 1 or -1 for its direction in it; `inner` junctions lie inside a chain.

    Every element counts twice, as passed forward and backward. Those that follow each other are connected, so each
    chain is found once in each direction; the one found first is kept.
    """
    from scipy.sparse.csgraph import connected_components

    count = len(starts)
    tips = np.concatenate((starts, ends))
    order = np.argsort(tips, kind="stable")
    met = order[inner[tips[order]]].reshape(-1, 2)  # both tips at each inner junction; tips of ends from `count` on
    element, at_end = met % count if count else met, met >= count
    # Passed forward, an element leads to its end; the next is then passed forward where its start lies there.
    ahead = element[:, 0] + count * ~at_end[:, 0]
    after = element[:, 1] + count * at_end[:, 1]
    behind = element[:, 0] + count * at_end[:, 0]
    before = element[:, 1] + count * ~at_end[:, 1]
    graph = adjacency(np.concatenate((ahead, behind)), np.concatenate((after, before)), 2 * count)
    label = connected_components(graph, directed=False)[1].reshape(2, -1)
    _, chain = np.unique(label.min(axis=0), return_inverse=True)
    return chain.astype(np.intp), np.where(label[0] < label[1], 1.0, -1.0)
