"""Temperatures in a network of streams, from the flows: the enthalpy of all that enters a place leaves it mixed.

Liquid and air are solved together: a stream is what flows through one element of either, a node a junction or a
space. All is linear once the flows are known, so there is one system of equations and no iteration.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loopsim.network import HeatNetwork

__all__ = ["Temperatures", "solve_heat"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

# Conductance from every place to the room [W/K]. It gives a place that nothing reaches the room's temperature, and
# takes a millionth of a millionth of any heat that matters. Where heat has no other way out, the temperature that it
# leads to is so high that it says what it means: no steady state.
LEAK = 1e-9
_SPARSE_FROM = 300  # places from which a sparse solve is quicker


@dataclass(frozen=True)
class Temperatures:
    """What `solve_heat` finds, all above ambient [K]; for v variants each array has one more axis of that length.

    Attributes
    ----------
    node : ndarray, shape (n,)
    inlet, outlet : ndarray, shape (s,)
        Of each stream, at the end where it enters and where it leaves, whichever way it flows. Where nothing
        flows both are what the node behind has, unless heat enters.
    exchanged : ndarray, shape (x,)
        Heat from stream a to stream b [W].
    """

    node: FloatArray
    inlet: FloatArray
    outlet: FloatArray
    exchanged: FloatArray


def solve_heat(
    network: HeatNetwork,
    rate: FloatArray,
    stream_heat: FloatArray,
    node_heat: FloatArray,
    conductance: FloatArray,
) -> Temperatures:
    """Steady temperatures at given flows, for one or for many variants of flows and heats at once.

    Parameters
    ----------
    network : HeatNetwork
    rate : ndarray, shape (s,) or (s, v)
        Heat capacity rate of each stream, negative where it flows from end to start [W/K].
    stream_heat, node_heat : ndarray, shape (s,), (n,), or with one more axis of length v
        Heat put into each stream and into each node [W].
    conductance : ndarray, shape (x,) or (x, v)
        Heat of each exchanger over the difference of its inlet temperatures, from stream a to stream b [W/K].

    Returns
    -------
    Temperatures
        Finite always. A place whose heat has no way out is at millions of kelvin.

    References
    ----------
    Enthalpy balance with everything carried along by the flow and nothing against it. Checked against closed forms
    in tests/solve/test_heat.py.
    """
    if rate.ndim == 1:
        one = solve_heat(network, *(each[:, None] for each in (rate, stream_heat, node_heat, conductance)))
        return Temperatures(one.node[:, 0], one.inlet[:, 0], one.outlet[:, 0], one.exchanged[:, 0])
    system = _System(network, rate, stream_heat, node_heat, conductance)
    unknown = system.solved()
    inlet = np.take_along_axis(unknown, system.inlet, axis=0)
    exchanged = conductance * (inlet[network.exchange_a] - inlet[network.exchange_b])
    gained = stream_heat.copy()
    np.add.at(gained, network.exchange_b, exchanged)
    np.subtract.at(gained, network.exchange_a, exchanged)
    outlet = inlet + gained / np.maximum(np.abs(rate), LEAK)  # heated where nothing flows, it is beyond all sense
    return Temperatures(unknown[: len(network.nodes)], inlet, outlet, exchanged)


class _System:
    """The equations of each variant: one for each node, and one for each inlet that takes in another's air again.

    Rows, columns and values of what is added up have shape (k, v).
    """

    def __init__(
        self,
        network: HeatNetwork,
        rate: FloatArray,
        stream_heat: FloatArray,
        node_heat: FloatArray,
        conductance: FloatArray,
    ) -> None:
        self.network, self.conductance, self.stream_heat = network, conductance, stream_heat
        self.size, self.variants = np.abs(rate), rate.shape[1]
        self.above, self.below = network.ends(rate)
        count = len(network.nodes)
        self.mixed = np.unique(network.return_to)
        self.inlet = self.above.copy()
        self.inlet[self.mixed] = count + np.arange(len(self.mixed))[:, None]
        self.count = count + len(self.mixed)
        self.entries: list[tuple[IntArray, IntArray, FloatArray]] = []
        self.right = np.zeros((self.count, self.variants))
        self._balance_nodes(node_heat)
        self._mix_inlets()

    def _add(self, rows: IntArray, columns: IntArray, values: FloatArray) -> None:
        self.entries.append((rows, columns, np.broadcast_to(values, rows.shape)))

    def _add_right(self, rows: IntArray, values: FloatArray) -> None:
        np.add.at(self.right, (rows, np.arange(self.variants)), values)

    @property
    def _both_ways(self) -> tuple[tuple[IntArray, IntArray], tuple[IntArray, IntArray]]:
        """Streams that gain from each exchanger, and those that lose as much: each of the two in turn."""
        a, b = self.network.exchange_a, self.network.exchange_b
        return (b, a), (a, b)

    def _balance_nodes(self, node_heat: FloatArray) -> None:
        """What streams bring in, less what the node gives to what leaves it, and its own heat, is nothing."""
        held, below = self.network.held[:, None], self.below
        is_free = np.isnan(held)
        nodes = np.repeat(np.arange(len(held))[:, None], self.variants, axis=1)
        self._add(nodes, nodes, np.where(is_free, LEAK, 1.0))
        self.right[: len(held)] = np.where(is_free, node_heat, held)
        counts = is_free[below, 0]  # a node that is held takes what comes
        self._add(below, below, self.size * counts)
        self._add(below, self.inlet, -self.size * counts)
        self._add_right(below, self.stream_heat * counts)
        for gains, loses in self._both_ways:
            k = self.conductance * counts[gains]
            self._add(below[gains], self.inlet[loses], -k)
            self._add(below[gains], self.inlet[gains], k)

    def _mix_inlets(self) -> None:
        """The inlet of a stream that draws in again what others blew out: their outlets, and the node behind."""
        network = self.network
        if not len(self.mixed):
            return
        own = self.inlet[self.mixed]
        drawn_in = np.bincount(network.return_to, network.return_share, len(self.size))[self.mixed]
        self._add(own, own, np.ones(own.shape))
        self._add(own, self.above[self.mixed], np.asarray(drawn_in[:, None] - 1.0, dtype=float))
        self._take_in_outlets()

    def _take_in_outlets(self) -> None:
        """Shares of the outlets drawn in, each from its stream's inlet and what that gains on its way."""
        source, rows = self.network.return_from, self.inlet[self.network.return_to]
        share, size = self.network.return_share[:, None], self.size[source]
        per_size = np.where(size > LEAK, share / np.maximum(size, LEAK), 0.0)
        self._add(rows, self.inlet[source], -share)
        self._add_right(rows, per_size * self.stream_heat[source])
        for gains, loses in self._both_ways:
            which, exchanger = np.nonzero(source[:, None] == gains)
            k = per_size[which] * self.conductance[exchanger]
            self._add(rows[which], self.inlet[loses[exchanger]], -k)
            self._add(rows[which], self.inlet[source[which]], k)

    def solved(self) -> FloatArray:
        """All unknowns, shape (unknowns, v)."""
        rows, columns, values = (np.concatenate(each) for each in zip(*self.entries, strict=True))
        if self.count >= _SPARSE_FROM:
            each = range(self.variants)
            return np.stack([self._sparse(rows[:, v], columns[:, v], values[:, v], self.right[:, v]) for v in each], 1)
        place = (np.arange(self.variants) * self.count + rows) * self.count + columns
        flat = np.bincount(place.ravel(), values.ravel(), self.variants * self.count**2)
        matrices = flat.reshape(self.variants, self.count, self.count)
        return np.asarray(np.linalg.solve(matrices, self.right.T[:, :, None])[:, :, 0].T)

    def _sparse(self, rows: IntArray, columns: IntArray, values: FloatArray, right: FloatArray) -> FloatArray:
        """The unknowns of one variant of a large network."""
        from scipy.sparse import coo_matrix
        from scipy.sparse.linalg import spsolve

        matrix = coo_matrix((values, (rows, columns)), shape=(self.count, self.count)).tocsc()
        return np.asarray(spsolve(matrix, right))
