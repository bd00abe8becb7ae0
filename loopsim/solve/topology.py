"""The graph of a network as arrays: a spanning tree from the datum, and the loops that its chords close.

Every fixed pressure hangs on one common ground by a link of its own, so that the difference between two fixed
pressures is one more loop, and an island's flow balance is the flow through its ground links.
"""

from collections import deque
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.errors import SketchError
from loopsim.network import Network
from loopsim.units import GRAVITY

__all__ = ["Topology", "Tree"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

_WALKED_IN_PYTHON = 400  # junctions up to which a plain walk beats the set-up of a compiled one


@dataclass(frozen=True)
class Tree:
    """A spanning tree walked from the ground outwards, level by level.

    Attributes
    ----------
    junction, link, parent : ndarray, shape (n,)
        In the order of the walk: each junction, the link to its parent, and the parent.
    sign : ndarray, shape (n, 1)
        1 where the link starts at the junction, -1 where it ends there.
    levels : list of slice
        Stretches of the order whose parents all lie in earlier ones.
    """

    junction: IntArray
    link: IntArray
    parent: IntArray
    sign: FloatArray
    levels: list[slice]


class Topology:
    """Tree and loops of a network.

    Attributes
    ----------
    names : list of str, length n
        Junctions. The ground counts as junction n.
    links : list of str, length m
        Elements; the ground links follow them as m to m + g - 1.
    start, end : ndarray, shape (m + g,)
        Junction numbers of every link; a ground link starts at the ground.
    island : ndarray, shape (n + 1,)
        Number of the connected body that each junction belongs to, without the ground links.
    ground_potential : ndarray, shape (g,)
        Total pressure of the junctions that hang on the ground, reduced to elevation 0 [Pa].
    datum : tuple of str
        Junctions that were set to pressure 0 because nothing fixes their island.
    """

    def __init__(self, network: Network) -> None:
        self.names, self.links = list(network.junctions), list(network.links)
        number = {name: index for index, name in enumerate(self.names)}
        start = [number[link.start] for link in network.links.values()]
        end = [number[link.end] for link in network.links.values()]
        self.island = _islands(len(self.names), start, end)
        grounded, self.datum = _grounded(network, self.names, self.island)
        junctions = list(network.junctions.values())
        weight = network.state.density * GRAVITY
        self.ground_potential = np.array(
            [(junctions[each].pressure or 0.0) + weight * junctions[each].elevation for each in grounded]
        )
        self.start = np.array(start + [len(self.names)] * len(grounded), dtype=np.intp)
        self.end = np.array(end + grounded, dtype=np.intp)
        self.grounded = np.array(grounded, dtype=np.intp)

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
    def tree(self) -> Tree:
        """Breadth-first tree from the ground, so that loops come out short."""
        count = len(self.names)
        walk = _walk if count <= _WALKED_IN_PYTHON else _walk_compiled
        junction, link, parent, levels = walk(count, self.start, self.end)
        sign = np.where(self.start[link] == junction, 1.0, -1.0)[:, None]
        return Tree(junction, link, parent, sign, levels)

    @cached_property
    def chords(self) -> IntArray:
        """Links that are not in the tree; each closes one loop."""
        is_chord = np.ones(len(self.start), dtype=bool)
        is_chord[self.tree.link] = False
        return np.flatnonzero(is_chord)

    @cached_property
    def loops(self) -> FloatArray:
        """Independent loops, shape (m + g, loops): 1 where a loop runs along a link, -1 where against it."""
        tree, ground = self.tree, len(self.names)
        above = {j: (k, p, s) for j, k, p, s in zip(
            tree.junction.tolist(), tree.link.tolist(), tree.parent.tolist(), tree.sign[:, 0].tolist(), strict=True
        )}  # fmt: skip
        depth = {ground: 0}
        for junction, (_, parent, _) in above.items():
            depth[junction] = depth[parent] + 1
        matrix = np.zeros((len(self.start), self.loop_count))
        ends = zip(self.chords.tolist(), self.start[self.chords].tolist(), self.end[self.chords].tolist(), strict=True)
        for column, (chord, backward, forward) in enumerate(ends):
            matrix[chord, column] = 1.0
            while forward != backward:  # from the chord's end back to its start through the tree
                if depth[forward] >= depth[backward]:
                    link, forward, sign = above[forward]
                    matrix[link, column] = sign
                else:
                    link, backward, sign = above[backward]
                    matrix[link, column] = -sign
        return matrix

    @cached_property
    def chord_islands(self) -> IntArray:
        """Island of each loop."""
        return self.island[self.end[self.chords]]

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
        if not inflow.any():
            return np.zeros((len(self.start), inflow.shape[1]))
        flow = self._carried(np.vstack((inflow, np.zeros((1, inflow.shape[1])))))
        self._check_balance(flow, inflow)
        return flow

    def loop_flow(self, chord_flow: FloatArray) -> FloatArray:
        """Flow through every link when each loop carries its chord's flow, shape (loops, v) -> (m + g, v)."""
        taken = np.zeros((len(self.names) + 1, chord_flow.shape[1]))
        np.subtract.at(taken, self.start[self.chords], chord_flow)
        np.add.at(taken, self.end[self.chords], chord_flow)
        flow = self._carried(taken)
        flow[self.chords] = chord_flow
        return flow

    def _carried(self, gathered: FloatArray) -> FloatArray:
        """Flow through the tree's links that brings what enters each junction, shape (n + 1, v), to the ground."""
        tree = self.tree
        flow = np.zeros((len(self.start), gathered.shape[1]))
        for level in reversed(tree.levels):
            through = gathered[tree.junction[level]]
            flow[tree.link[level]] = tree.sign[level] * through
            np.add.at(gathered, tree.parent[level], through)
        return flow

    def potentials(self, dp: FloatArray) -> FloatArray:
        """Total pressure of every junction reduced to elevation 0, from the drops along the tree [Pa].

        Parameters
        ----------
        dp : ndarray, shape (m + g, v)

        Returns
        -------
        ndarray, shape (n + 1, v)
            The ground, at 0, last.
        """
        tree = self.tree
        potential = np.zeros((len(self.names) + 1, dp.shape[1]))
        rise = tree.sign * dp[tree.link]
        for level in tree.levels:
            potential[tree.junction[level]] = potential[tree.parent[level]] + rise[level]
        return potential

    def net_outflow(self, flow: FloatArray) -> FloatArray:
        """Flow leaving each junction through its links, shape (n, v)."""
        count = len(self.names) + 1
        return np.column_stack(
            [
                np.bincount(self.start, column, minlength=count) - np.bincount(self.end, column, minlength=count)
                for column in flow.T
            ]
        )[:-1]

    def largest_of_island(self, values: FloatArray) -> FloatArray:
        """Largest magnitude over the elements of each island, shape (n + 1, v); an island bears a junction's number."""
        size = np.abs(values[: self.element_count])
        member = self.island[self.end[: self.element_count]]
        if len(member) and (member == member[0]).all():  # the usual case: all in one body
            largest = np.zeros((len(self.names) + 1, values.shape[1]))
            largest[member[0]] = size.max(axis=0)
            return largest
        largest = np.zeros((len(self.names) + 1, values.shape[1]))
        np.maximum.at(largest, member, size)
        return largest

    def _check_balance(self, flow: FloatArray, inflow: FloatArray) -> None:
        """The link between the ground and a floating island must carry nothing."""
        for index, junction in enumerate(self.grounded[len(self.grounded) - len(self.datum) :].tolist()):
            link = len(self.start) - len(self.datum) + index
            members = self.island[:-1] == self.island[junction]
            if np.abs(flow[link]).max() > 1e-9 * np.abs(inflow[members]).max():
                excess = inflow[members].sum(axis=0)
                name = self.names[junction]
                raise SketchError(
                    f"the junctions around {name!r} take in {excess[np.abs(excess).argmax()]:g} m3/s more than they "
                    "give off, and none has a fixed pressure to make up for it",
                    part=name,
                )


def _islands(count: int, start: list[int], end: list[int]) -> IntArray:
    """Number of the connected body that each junction belongs to; the ground last, by itself."""
    if count > _WALKED_IN_PYTHON:
        from scipy.sparse.csgraph import connected_components

        return np.asarray(connected_components(_adjacency(count + 1, start, end), directed=False)[1], dtype=np.intp)
    root = list(range(count + 1))

    def find(junction: int) -> int:
        while root[junction] != junction:
            root[junction] = junction = root[root[junction]]
        return junction

    for a, b in zip(start, end, strict=True):
        root[find(a)] = find(b)
    return np.array([find(junction) for junction in range(count + 1)], dtype=np.intp)


def _grounded(network: Network, names: list[str], island: IntArray) -> tuple[list[int], tuple[str, ...]]:
    """Junctions to hang on the ground: those of fixed pressure, and the first by name of each island without one."""
    bodies = island.tolist()
    fixed = [index for index, junction in enumerate(network.junctions.values()) if junction.pressure is not None]
    held = {bodies[index] for index in fixed}
    if len(held) == len(set(bodies[:-1])):
        return fixed, ()
    floating: dict[int, int] = {}
    for index, name in enumerate(names):
        if bodies[index] not in held:
            first = floating.setdefault(bodies[index], index)
            if name < names[first]:
                floating[bodies[index]] = index
    datum = list(floating.values())
    return fixed + datum, tuple(names[index] for index in datum)


Walk = tuple[IntArray, IntArray, IntArray, list[slice]]


def _walk(count: int, start: IntArray, end: IntArray) -> Walk:
    """Breadth-first from the ground in plain Python."""
    around: list[list[tuple[int, int]]] = [[] for _ in range(count + 1)]
    for link, (a, b) in enumerate(zip(start.tolist(), end.tolist(), strict=True)):
        around[a].append((link, b))
        around[b].append((link, a))
    level_of = [-1] * (count + 1)
    level_of[count], queue = 0, deque([count])
    order: list[tuple[int, int, int]] = []
    while queue:
        here = queue.popleft()
        for link, beyond in around[here]:
            if level_of[beyond] < 0:
                level_of[beyond] = level_of[here] + 1
                order.append((beyond, link, here))
                queue.append(beyond)
    table = np.array(order, dtype=np.intp).reshape(-1, 3)
    return table[:, 0], table[:, 1], table[:, 2], _levels(np.array([level_of[junction] for junction, _, _ in order]))


def _walk_compiled(count: int, start: IntArray, end: IntArray) -> Walk:
    """The same walk by scipy."""
    from scipy.sparse.csgraph import breadth_first_order

    adjacency = _adjacency(count + 1, start, end)
    order, parents = breadth_first_order(adjacency, count, directed=False)
    junction = order[1:].astype(np.intp)
    parent = parents[junction].astype(np.intp)
    low, high = np.minimum(start, end), np.maximum(start, end)
    key = low * (count + 1) + high
    sorter = np.argsort(key, kind="stable")
    wanted = np.minimum(junction, parent) * (count + 1) + np.maximum(junction, parent)
    link = sorter[np.searchsorted(key, wanted, sorter=sorter)]
    place = np.empty(count + 1, dtype=np.intp)
    place[order] = np.arange(count + 1)
    parent_place = place[parent]  # rises along the walk, so a level ends where parents of its own level begin
    bounds = [0]
    while bounds[-1] < count:
        bounds.append(int(np.searchsorted(parent_place, bounds[-1] + 1)))
    return junction, link.astype(np.intp), parent, [slice(a, b) for a, b in pairwise(bounds)]


def _levels(level_of: IntArray) -> list[slice]:
    bounds = np.flatnonzero(np.diff(level_of, prepend=-1)) if len(level_of) else np.zeros(0, dtype=int)
    return [slice(int(a), int(b)) for a, b in pairwise([*bounds.tolist(), len(level_of)])]


def _adjacency(count: int, start: ArrayLike, end: ArrayLike) -> Any:
    from scipy.sparse import csr_matrix

    a, b = np.asarray(start), np.asarray(end)
    return csr_matrix((np.ones(len(a)), (a, b)), shape=(count, count))
