"""The graph of a network as arrays: a spanning tree from the datum, and the loops that its chords close.

Every fixed pressure hangs on one common ground by a link of its own, so that the difference between two fixed
pressures is one more loop, and an island's flow balance is the flow through its ground links.
"""

from collections import deque
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loopsim.errors import SketchError
from loopsim.network import Network
from loopsim.units import GRAVITY

__all__ = ["Topology"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

GROUND = -1


@dataclass
class Topology:
    """Tree and loops of a network.

    Attributes
    ----------
    names : list of str, length n
        Junctions.
    links : list of str, length m
        Elements; the ground links follow them as m to m + g - 1.
    start, end : ndarray, shape (m + g,)
        Junction numbers of every link, -1 for the ground.
    ground_potential : ndarray, shape (g,)
        Total pressure of the junctions that hang on the ground, reduced to elevation 0 [Pa].
    datum : tuple of str
        Junctions that were set to pressure 0 because nothing fixes their island.
    order : list of (junction, link, parent)
        The spanning tree from the ground, in the order in which it was walked.
    """

    network: Network
    names: list[str]
    links: list[str]
    start: IntArray
    end: IntArray
    ground_potential: FloatArray
    datum: tuple[str, ...]
    order: list[tuple[int, int, int]]
    island: IntArray  # of each junction

    @classmethod
    def of(cls, network: Network) -> "Topology":
        """Build tree and loops.

        Raises
        ------
        SketchError
            If an island without a fixed pressure takes in another flow than it gives off.
        """
        names, links = list(network.junctions), list(network.links.values())
        number = {name: index for index, name in enumerate(names)}
        start, end = [number[link.start] for link in links], [number[link.end] for link in links]
        island = _islands(len(names), start, end)
        grounded, datum = _grounded(network, names, island)
        weight = network.state.density * GRAVITY
        potential = [
            (network.junctions[names[each]].pressure or 0.0) + weight * network.junctions[names[each]].elevation
            for each in grounded
        ]
        start, end = start + [GROUND] * len(grounded), end + grounded
        return cls(
            network,
            names,
            [link.name for link in links],
            np.array(start, dtype=np.intp),
            np.array(end, dtype=np.intp),
            np.array(potential),
            datum,
            _tree(len(names), start, end),
            np.array(island, dtype=np.intp),
        )

    @property
    def element_count(self) -> int:
        """Number of elements, without ground links."""
        return len(self.links)

    @cached_property
    def loops(self) -> FloatArray:
        """Independent loops, shape (m + g, loops): 1 where a loop runs along a link, -1 where against it."""
        parents = {junction: (link, parent) for junction, link, parent in self.order}
        depth = {GROUND: 0}
        for junction, _, parent in self.order:
            depth[junction] = depth[parent] + 1
        matrix = np.zeros((len(self.start), len(self.chords)))
        for column, chord in enumerate(self.chords):
            matrix[chord, column] = 1.0
            # From the chord's end back to its start through the tree.
            forward, backward = int(self.end[chord]), int(self.start[chord])
            while forward != backward:
                if depth[forward] >= depth[backward]:
                    link, parent = parents[forward]
                    matrix[link, column] = 1.0 if self.start[link] == forward else -1.0
                    forward = parent
                else:
                    link, parent = parents[backward]
                    matrix[link, column] = 1.0 if self.end[link] == backward else -1.0
                    backward = parent
        return matrix

    @cached_property
    def chords(self) -> list[int]:
        """Links that are not in the tree; each closes one loop."""
        in_tree = {link for _, link, _ in self.order}
        return [link for link in range(len(self.start)) if link not in in_tree]

    @cached_property
    def loop_islands(self) -> IntArray:
        """Island of each loop."""
        ends = self.end[self.chords]
        return self.island[ends] if len(ends) else np.zeros(0, dtype=np.intp)

    @cached_property
    def link_islands(self) -> IntArray:
        """Island of each link, ground links included."""
        return self.island[self.end]

    def tree_flow(self, inflow: FloatArray) -> FloatArray:
        """Flow through every link that carries the inflows through the tree alone.

        Parameters
        ----------
        inflow : ndarray, shape (n, v)
            [m3/s]

        Returns
        -------
        ndarray, shape (m + g, v)
        """
        gathered = np.vstack((inflow, np.zeros((1, inflow.shape[1]))))  # the last row is the ground
        flow = np.zeros((len(self.start), inflow.shape[1]))
        for junction, link, parent in reversed(self.order):
            flow[link] = gathered[junction] if self.start[link] == junction else -gathered[junction]
            gathered[parent] += gathered[junction]
        self._check_balance(flow, inflow)
        return flow

    def potentials(self, dp: FloatArray) -> FloatArray:
        """Total pressure of every junction reduced to elevation 0, from the drops along the tree [Pa].

        Parameters
        ----------
        dp : ndarray, shape (m + g, v)

        Returns
        -------
        ndarray, shape (n, v)
        """
        potential = np.zeros((len(self.names) + 1, dp.shape[1]))
        for junction, link, parent in self.order:
            drop = dp[link] if self.start[link] == parent else -dp[link]
            potential[junction] = potential[parent] - drop
        return potential[:-1]

    def net_outflow(self, flow: FloatArray) -> FloatArray:
        """Flow leaving each junction through its links, shape (n, v)."""
        total = np.zeros((len(self.names) + 1, flow.shape[1]))
        np.add.at(total, self.start, flow)
        np.subtract.at(total, self.end, flow)
        return total[:-1]

    def _check_balance(self, flow: FloatArray, inflow: FloatArray) -> None:
        floating = [
            link for link in range(self.element_count, len(self.start)) if self.names[self.end[link]] in self.datum
        ]
        for link in floating:
            members = self.island == self.island[self.end[link]]
            if np.abs(flow[link]).max(initial=0.0) > 1e-9 * np.abs(inflow[members]).max(initial=0.0):
                name = self.names[self.end[link]]
                raise SketchError(
                    f"the junctions around {name!r} take in {inflow[members].sum(axis=0).max():g} m3/s more than they "
                    "give off, and none has a fixed pressure to make up for it",
                    part=name,
                )


def _neighbours(count: int, start: list[int], end: list[int]) -> list[list[tuple[int, int]]]:
    """For each junction (the ground last) the pairs of link and junction beyond it."""
    around: list[list[tuple[int, int]]] = [[] for _ in range(count + 1)]
    for link, (a, b) in enumerate(zip(start, end, strict=True)):
        around[a].append((link, b))
        around[b].append((link, a))
    return around


def _islands(count: int, start: list[int], end: list[int]) -> list[int]:
    """Number of the connected body that each junction belongs to."""
    around, island = _neighbours(count, start, end), [-1] * count
    for first in range(count):
        if island[first] >= 0:
            continue
        island[first], queue = first, deque([first])
        while queue:
            for _, beyond in around[queue.popleft()]:
                if island[beyond] < 0:
                    island[beyond] = first
                    queue.append(beyond)
    return island


def _grounded(network: Network, names: list[str], island: list[int]) -> tuple[list[int], tuple[str, ...]]:
    """Junctions to hang on the ground: those of fixed pressure, and the first by name of each island without one."""
    fixed = [index for index, name in enumerate(names) if network.junctions[name].pressure is not None]
    held = {island[index] for index in fixed}
    floating: dict[int, int] = {}
    for index, name in enumerate(names):
        if island[index] not in held:
            first = floating.setdefault(island[index], index)
            if name < names[first]:
                floating[island[index]] = index
    datum = list(floating.values())
    return fixed + datum, tuple(names[index] for index in datum)


def _tree(count: int, start: list[int], end: list[int]) -> list[tuple[int, int, int]]:
    """Breadth-first tree from the ground, so that loops come out short."""
    around = _neighbours(count, start, end)
    seen, order, queue = [False] * (count + 1), [], deque([GROUND])
    seen[GROUND] = True
    while queue:
        here = queue.popleft()
        for link, beyond in around[here]:
            if not seen[beyond]:
                seen[beyond] = True
                order.append((beyond, link, here))
                queue.append(beyond)
    return order
