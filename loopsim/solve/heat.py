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
    """What `solve_heat` finds, all above ambient [K].

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
    """Steady temperatures at given flows.

    Parameters
    ----------
    network : HeatNetwork
    rate : ndarray, shape (s,)
        Heat capacity rate of each stream, negative where it flows from end to start [W/K].
    stream_heat, node_heat : ndarray, shape (s,), (n,)
        Heat put into each stream and into each node [W].
    conductance : ndarray, shape (x,)
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
    system = _System(network, rate, stream_heat, node_heat, conductance)
    unknown = system.solved()
    inlet = unknown[system.inlet]
    exchanged = conductance * (inlet[network.exchange_a] - inlet[network.exchange_b])
    gained = stream_heat + system.net_exchange(exchanged)
    size = np.abs(rate)
    outlet = inlet + gained / np.maximum(size, LEAK)  # heated where nothing flows, it is beyond all sense
    return Temperatures(unknown[: len(network.nodes)], inlet, outlet, exchanged)


class _System:
    """The equations: one for each node, and one for the inlet of each stream that takes in another's air again."""

    def __init__(
        self,
        network: HeatNetwork,
        rate: FloatArray,
        stream_heat: FloatArray,
        node_heat: FloatArray,
        conductance: FloatArray,
    ) -> None:
        self.network, self.conductance, self.stream_heat = network, conductance, stream_heat
        self.size = np.abs(rate)
        self.above, self.below = network.ends(rate)
        count = len(network.nodes)
        self.mixed = np.unique(network.return_to)
        self.inlet = self.above.copy()
        self.inlet[self.mixed] = count + np.arange(len(self.mixed))
        self.count = count + len(self.mixed)
        self.rows: list[NDArray[np.intp]] = []
        self.columns: list[NDArray[np.intp]] = []
        self.values: list[FloatArray] = []
        self.right = np.zeros(self.count)
        self._balance_nodes(node_heat)
        self._mix_inlets()

    def net_exchange(self, exchanged: FloatArray) -> FloatArray:
        """Heat that each stream gains from its exchangers [W]."""
        gained = np.bincount(self.network.exchange_b, exchanged, len(self.size)).astype(float)
        gained -= np.bincount(self.network.exchange_a, exchanged, len(self.size))
        return gained

    def _add(self, rows: IntArray, columns: IntArray, values: FloatArray) -> None:
        self.rows.append(np.asarray(rows))
        self.columns.append(np.asarray(columns))
        self.values.append(np.asarray(values, dtype=float))

    def _balance_nodes(self, node_heat: FloatArray) -> None:
        """What streams bring in, less what the node gives to what leaves it, and its own heat, is nothing."""
        network, below = self.network, self.below
        nodes = np.arange(len(network.nodes))
        free = np.isnan(network.held)
        arriving = np.bincount(below, self.size, len(nodes)).astype(float)
        self._add(nodes, nodes, np.where(free, arriving + LEAK, 1.0))
        self.right[: len(nodes)] = np.where(
            free, node_heat + np.bincount(below, self.stream_heat, len(nodes)), np.nan_to_num(network.held)
        )
        into = free[below]
        self._add(below[into], self.inlet[into], -self.size[into])
        for gains, loses in ((network.exchange_b, network.exchange_a), (network.exchange_a, network.exchange_b)):
            at = free[below[gains]]
            rows, k = below[gains][at], self.conductance[at]
            self._add(rows, self.inlet[loses][at], -k)
            self._add(rows, self.inlet[gains][at], k)

    def _mix_inlets(self) -> None:
        """The inlet of a stream that draws in again what others blew out: their outlets, and the node behind."""
        network = self.network
        if not len(self.mixed):
            return
        own = self.inlet[self.mixed]
        share = np.bincount(network.return_to, network.return_share, len(self.size))[self.mixed]
        self._add(own, own, np.ones(len(own)))
        self._add(own, self.above[self.mixed], np.asarray(share - 1.0, dtype=float))
        for source, target, part in zip(
            network.return_from.tolist(), network.return_to.tolist(), network.return_share.tolist(), strict=True
        ):
            self._add_outlet(int(self.inlet[target]), source, part)

    def _add_outlet(self, row: int, stream: int, share: float) -> None:
        """Take a share of a stream's outlet temperature, from its inlet and what it gains on its way."""
        network, size = self.network, float(self.size[stream])
        here = np.array([row])
        self._add(here, self.inlet[[stream]], np.array([-share]))
        if size <= LEAK:
            return
        self.right[row] += share * self.stream_heat[stream] / size
        for gains, loses in ((network.exchange_b, network.exchange_a), (network.exchange_a, network.exchange_b)):
            for index in np.flatnonzero(gains == stream).tolist():
                k = np.array([share * self.conductance[index] / size])
                self._add(here, self.inlet[[loses[index]]], -k)
                self._add(here, self.inlet[[stream]], k)

    def solved(self) -> FloatArray:
        rows, columns, values = (np.concatenate(each) for each in (self.rows, self.columns, self.values))
        if self.count >= _SPARSE_FROM:
            from scipy.sparse import coo_matrix
            from scipy.sparse.linalg import spsolve

            matrix = coo_matrix((values, (rows, columns)), shape=(self.count, self.count)).tocsc()
            return np.asarray(spsolve(matrix, self.right))
        dense = np.bincount(rows * self.count + columns, values, self.count**2).reshape(self.count, self.count)
        return np.asarray(np.linalg.solve(dense, self.right))
