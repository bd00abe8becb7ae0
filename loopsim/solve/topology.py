"""The graph of a network as arrays: what hangs together, a spanning tree, and the loops that its chords close.

Every fixed pressure hangs on one common ground by a link of its own, so that the difference between two fixed
pressures is one more loop, and an island's flow balance is the flow through its ground links.
"""

from collections.abc import Sequence
from functools import cached_property
from operator import attrgetter
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loopsim.errors import SketchError
from loopsim.network import Junction, Link
from loopsim.solve.tree import WALKED_IN_PYTHON, SpanningTree, adjacency

__all__ = ["Topology"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]


class Topology:
    """Tree and loops of a network.

    Parameters
    ----------
    junctions : sequence of Junction, length n
        The ground counts as junction n.
    links : sequence of Link, length m
        The elements; g ground links follow them.
    weight : float
        Density times gravity [Pa/m].

    Attributes
    ----------
    names, links : list of str
        Of the junctions, shape (n,), and of the elements, shape (m,).
    start, end : ndarray, shape (m + g,)
        Junction numbers of every link; a ground link starts at the ground.
    island : ndarray, shape (n,)
        Number of the connected body that each junction belongs to, without the ground links.
    grounded : ndarray, shape (g,)
        Junctions that hang on the ground.
    ground_potential : ndarray, shape (g,)
        Their total pressure, reduced to elevation 0 [Pa].
    datum : tuple of str
        Junctions that were set to pressure 0 because nothing fixes their island; the last of those grounded.
    """

    def __init__(self, junctions: Sequence[Junction], links: Sequence[Link], weight: float) -> None:
        self.names, self.links = [junction.name for junction in junctions], [link.name for link in links]
        number = {name: index for index, name in enumerate(self.names)}
        start, end = (_numbers(number, links, field) for field in ("start", "end"))
        self.island = _islands(start, end, len(junctions))
        pressure = np.array([junction.pressure for junction in junctions], dtype=float)  # not a number where free
        fixed = np.flatnonzero(~np.isnan(pressure))
        floating = _floating(self.names, self.island, fixed)
        self.datum = tuple(self.names[index] for index in floating)
        self.grounded = np.concatenate((fixed, np.array(floating, dtype=np.intp)))
        elevation = np.array([junctions[index].elevation for index in self.grounded.tolist()])
        self.ground_potential = np.nan_to_num(pressure[self.grounded]) + weight * elevation
        self.start = np.concatenate((start, np.full(len(self.grounded), len(junctions), dtype=np.intp)))
        self.end = np.concatenate((end, self.grounded))

    @property
    def element_count(self) -> int:
        """Number of elements, without ground links."""
        return len(self.links)

    @property
    def junction_count(self) -> int:
        """Number of junctions, without the ground."""
        return len(self.names)

    @property
    def loop_count(self) -> int:
        """Number of independent loops."""
        return len(self.start) - len(self.names)

    @cached_property
    def tree(self) -> SpanningTree:
        """Spanning tree from the ground."""
        return SpanningTree(self.start, self.end, self.junction_count)

    @cached_property
    def chords(self) -> IntArray:
        """Links that are not in the tree; each closes one loop."""
        is_chord = np.ones(len(self.start), dtype=bool)
        is_chord[self.tree.link] = False
        return np.flatnonzero(is_chord)

    @cached_property
    def loops(self) -> FloatArray:
        """Independent loops, shape (m + g, loops): 1 where a loop runs along a link, -1 where against it."""
        return self.tree.loops(self.chords, self.start, self.end)

    def tree_flow(self, inflow: FloatArray) -> FloatArray:
        """Flow through every link that carries the inflows through the tree alone.

        Parameters
        ----------
        inflow : ndarray, shape (n, v)
            [m3/s]

        Returns
        -------
        ndarray, shape (m + g, v)

        Raises
        ------
        SketchError
            If an island without a fixed pressure takes in another flow than it gives off.
        """
        flow = np.zeros((len(self.start), inflow.shape[1]))
        if inflow.any():
            flow[self.tree.link] = self.tree.carried(inflow)
            self._check_balance(flow, inflow)
        return flow

    def loop_flow(self, chord_flow: FloatArray) -> FloatArray:
        """Flow through every link when each loop carries its chord's flow, shape (loops,) -> (m + g,)."""
        size = self.junction_count + 1
        gathered = np.bincount(self.end[self.chords], chord_flow, size).astype(float, copy=False)
        gathered -= np.bincount(self.start[self.chords], chord_flow, size)
        flow = np.empty(len(self.start))
        flow[self.tree.link] = self.tree.carried(gathered[:-1])
        flow[self.chords] = chord_flow
        return flow

    def potentials(self, dp: FloatArray) -> FloatArray:
        """Total pressure of every junction reduced to elevation 0, from the drops along the tree [Pa].

        Parameters
        ----------
        dp : ndarray, shape (m + g,) or (m + g, v)

        Returns
        -------
        ndarray, shape (n,) or (n, v)
            Above the ground, which is at 0.
        """
        return self.tree.potentials(dp.take(self.tree.link, axis=0))

    def net_outflow(self, flow: FloatArray) -> FloatArray:
        """Flow leaving each junction through its links, shape (n, v)."""
        return np.asarray(self._incidence @ flow)

    def largest_on_islands(self, values: FloatArray) -> FloatArray:
        """Largest magnitude over the elements of each island, shape (islands, v)."""
        size = np.abs(values[: self.element_count])
        if self._is_whole:  # the usual case
            return np.asarray(size.max(axis=0, keepdims=True))
        order, starts, present = self._by_island
        largest = np.zeros((int(self.island.max(initial=-1)) + 1, values.shape[1]))
        if len(present):
            largest[present] = np.maximum.reduceat(size[order], starts, axis=0)
        return largest

    def of_junctions(self, on_islands: FloatArray) -> FloatArray:
        """From a value for each island to one for each junction, shape (n, v) or what spreads to it."""
        return on_islands if self._is_whole else on_islands[self.island]

    def of_loops(self, on_islands: FloatArray) -> FloatArray:
        """From a value for each island to one for each loop, shape (loops, v) or what spreads to it."""
        return on_islands if self._is_whole else on_islands[self._chord_islands]

    @cached_property
    def _is_whole(self) -> bool:
        return bool(self.links) and not self.island.any()

    @cached_property
    def _chord_islands(self) -> IntArray:
        return self.island[self.end[self.chords]]

    @cached_property
    def _by_island(self) -> tuple[IntArray, IntArray, IntArray]:
        """Elements in the order of their islands, where each island begins, and the islands that have elements."""
        member = self.island[self.end[: self.element_count]]
        order = np.argsort(member, kind="stable")
        starts = np.flatnonzero(np.diff(member[order], prepend=-1))
        return order, starts, member[order[starts]]

    @cached_property
    def _incidence(self) -> Any:
        """1 where a link starts at a junction, -1 where it ends there, (n, m + g); sparse where that is smaller."""
        links = np.arange(len(self.start))
        rows, columns = np.concatenate((self.start, self.end)), np.concatenate((links, links))
        values = np.repeat([1.0, -1.0], len(links))
        if self.junction_count > WALKED_IN_PYTHON:
            from scipy.sparse import csr_matrix

            return csr_matrix((values, (rows, columns)), shape=(self.junction_count + 1, len(links)))[:-1]
        matrix = np.zeros((self.junction_count + 1, len(links)))
        np.add.at(matrix, (rows, columns), values)  # both ends of a link may be one junction
        return matrix[:-1]

    def _check_balance(self, flow: FloatArray, inflow: FloatArray) -> None:
        """The link between the ground and a floating island must carry nothing."""
        first = len(self.start) - len(self.datum)
        for link, name in enumerate(self.datum, start=first):
            members = self.island == self.island[self.end[link]]
            if np.abs(flow[link]).max() > 1e-9 * np.abs(inflow[members]).max():
                excess = inflow[members].sum(axis=0)
                raise SketchError(
                    f"the junctions around {name!r} take in {excess[np.abs(excess).argmax()]:g} m3/s more than they "
                    "give off, and none has a fixed pressure to make up for it",
                    part=name,
                )


def _numbers(number: dict[str, int], links: Sequence[Link], field: str) -> IntArray:
    ends = map(number.__getitem__, map(attrgetter(field), links))
    return np.fromiter(ends, dtype=np.intp, count=len(links))


def _islands(start: IntArray, end: IntArray, count: int) -> IntArray:
    """Number of the connected body that each junction belongs to, from 0."""
    if count > WALKED_IN_PYTHON:
        from scipy.sparse.csgraph import connected_components

        return np.asarray(connected_components(adjacency(start, end, count), directed=False)[1], dtype=np.intp)
    root = list(range(count))

    def find(junction: int) -> int:
        while root[junction] != junction:
            root[junction] = junction = root[root[junction]]
        return junction

    for a, b in zip(start.tolist(), end.tolist(), strict=True):
        root[find(a)] = find(b)
    number: dict[int, int] = {}
    return np.array([number.setdefault(find(junction), len(number)) for junction in range(count)], dtype=np.intp)


def _floating(names: Sequence[str], island: IntArray, fixed: IntArray) -> list[int]:
    """The first junction by name of each island in which none is fixed."""
    held = np.zeros(int(island.max(initial=-1)) + 1, dtype=bool)
    held[island[fixed]] = True
    if held.all():
        return []
    first: dict[int, int] = {}
    for index in np.flatnonzero(~held[island]).tolist():
        body = int(island[index])
        if body not in first or names[index] < names[first[body]]:
            first[body] = index
    return list(first.values())
