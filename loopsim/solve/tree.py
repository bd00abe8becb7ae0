"""A spanning tree of a graph, and sums along it at one pass, however deep it is."""

from collections import deque
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["WALKED_IN_PYTHON", "SpanningTree", "adjacency"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

WALKED_IN_PYTHON = 400  # junctions up to which a plain walk beats the set-up of a compiled one


class SpanningTree:
    """Breadth-first tree from the ground, so that loops come out short.

    Sums over branches and along paths are differences of running sums over a tour round the tree that enters and
    leaves every junction once. Arrays are given and returned by junction, of shape (n,) or (n, v).

    Parameters
    ----------
    start, end : ndarray, shape (m,)
        Junctions of every link; all are connected with the ground.
    count : int
        Number of junctions, n; the ground comes after them.

    Attributes
    ----------
    link : ndarray, shape (n,)
        The link from each junction towards the ground.
    sign : ndarray, shape (n,)
        1 where that link starts at the junction, -1 where it ends there.
    """

    def __init__(self, start: IntArray, end: IntArray, count: int) -> None:
        walk = _walk if count <= WALKED_IN_PYTHON else _walk_compiled
        self._junction, link, parent = walk(start, end, count)
        self._place = np.empty(count + 1, dtype=np.intp)
        self._place[self._junction], self._place[count] = np.arange(count), -1
        self._up = self._place[parent]  # place in the walk of each one's parent
        places = self._place[:-1]
        self.link = link[places]
        self.sign = np.where(start[self.link] == np.arange(count), 1.0, -1.0)
        enter, leave = _tour(self._up)
        self._enter, self._leave = enter[places], leave[places]

    def carried(self, gathered: FloatArray) -> FloatArray:
        """Flow along each junction's link that brings what enters at the junctions to the ground."""
        tour = np.zeros((2 * len(gathered), *gathered.shape[1:]))
        tour[self._enter] = gathered
        sums = np.cumsum(tour, axis=0)
        towards = sums.take(self._leave, axis=0) - sums.take(self._enter, axis=0) + gathered
        return np.asarray((towards.T * self.sign).T)

    def potentials(self, drop: FloatArray) -> FloatArray:
        """Potential of each junction above the ground's, from the drops along the junctions' links."""
        rise = (drop.T * self.sign).T
        tour = np.empty((2 * len(rise), *rise.shape[1:]))
        tour[self._enter], tour[self._leave] = rise, -rise
        return np.asarray(np.cumsum(tour, axis=0).take(self._enter, axis=0))

    def loops(self, chords: IntArray, start: IntArray, end: IntArray) -> FloatArray:
        """Loops that chords close, shape (m, loops): 1 where a loop runs along a link, -1 where against it."""
        up, junction = self._up.tolist(), self._junction
        links, signs = self.link[junction].tolist(), self.sign[junction].tolist()
        matrix = np.zeros((len(start), len(chords)))
        matrix[chords, np.arange(len(chords))] = 1.0
        ends = zip(self._place[start[chords]].tolist(), self._place[end[chords]].tolist(), strict=True)
        for column, (backward, forward) in enumerate(ends):
            while forward != backward:  # whichever was reached later is no ancestor of the other
                if forward > backward:
                    matrix[links[forward], column] = signs[forward]
                    forward = up[forward]
                else:
                    matrix[links[backward], column] = -signs[backward]
                    backward = up[backward]
        return matrix


def adjacency(start: IntArray, end: IntArray, count: int) -> Any:
    """The graph as a sparse matrix of scipy."""
    from scipy.sparse import csr_matrix

    return csr_matrix((np.ones(len(start)), (start, end)), shape=(count, count))


def _walk(start: IntArray, end: IntArray, count: int) -> tuple[IntArray, IntArray, IntArray]:
    """Junctions in breadth-first order from the ground, their links to their parents, and the parents."""
    around: list[list[tuple[int, int]]] = [[] for _ in range(count + 1)]
    for link, (a, b) in enumerate(zip(start.tolist(), end.tolist(), strict=True)):
        around[a].append((link, b))
        around[b].append((link, a))
    seen = [False] * count + [True]
    found: list[tuple[int, int, int]] = []
    queue = deque([count])
    while queue:
        here = queue.popleft()
        for link, beyond in around[here]:
            if not seen[beyond]:
                seen[beyond] = True
                found.append((beyond, link, here))
                queue.append(beyond)
    junction, link_up, parent = np.array(found, dtype=np.intp).reshape(-1, 3).T
    return junction, link_up, parent


def _walk_compiled(start: IntArray, end: IntArray, count: int) -> tuple[IntArray, IntArray, IntArray]:
    """The same walk by scipy."""
    from scipy.sparse.csgraph import breadth_first_order

    order, parents = breadth_first_order(adjacency(start, end, count + 1), count, directed=False)
    junction = order[1:].astype(np.intp)
    parent = parents[junction].astype(np.intp)
    key = np.minimum(start, end) * (count + 1) + np.maximum(start, end)
    sorter = np.argsort(key, kind="stable")
    wanted = np.minimum(junction, parent) * (count + 1) + np.maximum(junction, parent)
    return junction, sorter[np.searchsorted(key, wanted, sorter=sorter)], parent


def _tour(up: IntArray) -> tuple[IntArray, IntArray]:
    """When a tour round the tree enters and leaves each junction; `up` is the parent's place, -1 for the ground."""
    parents = up.tolist()
    size = [1] * (len(parents) + 1)  # junctions on each branch; the ground last, where -1 finds it
    for place in range(len(parents) - 1, -1, -1):
        size[parents[place]] += size[place]
    enter = [0] * len(parents)
    free = [0] * len(size)  # first moment not yet taken on each branch
    for place, parent in enumerate(parents):
        enter[place] = moment = free[parent]
        free[parent] = moment + 2 * size[place]
        free[place] = moment + 1
    entered = np.array(enter, dtype=np.intp)
    return entered, entered + 2 * np.array(size[:-1], dtype=np.intp) - 1
