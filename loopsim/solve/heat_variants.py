"""Temperatures in a network of streams for many variants of flows and heats at once."""

import numpy as np
from numpy.typing import NDArray

from loopsim.network import HeatNetwork
from loopsim.solve.heat import LEAK, Temperatures

__all__ = ["solve_heat_variants"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]


def solve_heat_variants(
    network: HeatNetwork,
    rate: FloatArray,
    stream_heat: FloatArray,
    node_heat: FloatArray,
    conductance: FloatArray,
) -> Temperatures:
    """The same as `solve_heat` for v variants; each array has one more axis of that length.

    Parameters
    ----------
    network : HeatNetwork
    rate, stream_heat : ndarray, shape (s, v)
        Of each stream [W/K], [W].
    node_heat : ndarray, shape (n, v)
        [W].
    conductance : ndarray, shape (x, v)
        Of each exchanger [W/K].

    Returns
    -------
    Temperatures
        With arrays of shape (n, v), (s, v), (x, v).

    References
    ----------
    Checked variant by variant against `solve_heat` in tests/solve/test_heat_variants.py.
    """
    system = _System(network, rate, stream_heat, node_heat, conductance)
    unknown = system.solved()
    inlet = system.inlets(unknown)
    exchanged = conductance * (inlet[network.exchange_a] - inlet[network.exchange_b])
    gained = stream_heat.copy()
    np.add.at(gained, network.exchange_b, exchanged)
    np.subtract.at(gained, network.exchange_a, exchanged)
    outlet = inlet + gained / np.maximum(np.abs(rate), LEAK)
    return Temperatures(unknown[: len(network.nodes)], inlet, outlet, exchanged)


class _System:
    """One system of equations for each variant, as in `solve_heat`; matrices have shape (v, unknowns, unknowns)."""

    def __init__(
        self,
        network: HeatNetwork,
        rate: FloatArray,
        stream_heat: FloatArray,
        node_heat: FloatArray,
        conductance: FloatArray,
    ) -> None:
        self.network, self.size, self.stream_heat, self.conductance = network, np.abs(rate), stream_heat, conductance
        forward = rate >= 0
        start, end = network.start[:, None], network.end[:, None]
        self.above, self.below = np.where(forward, start, end), np.where(forward, end, start)
        count, self.mixed = len(network.nodes), np.unique(network.return_to)
        self.inlet = self.above.copy()
        self.inlet[self.mixed] = count + np.arange(len(self.mixed))[:, None]
        self.count = count + len(self.mixed)
        variants = rate.shape[1]
        self.every = np.arange(variants)
        self.matrix = np.zeros((variants, self.count, self.count))
        self.right = np.zeros((variants, self.count))
        self.right[:, :count] = node_heat.T
        self._balance_nodes(count)
        self._mix_inlets()

    def _add(self, row: IntArray, column: IntArray, value: FloatArray) -> None:
        """To one place of each variant's matrix."""
        self.matrix[self.every, row, column] += value

    def _balance_nodes(self, count: int) -> None:
        nodes = np.arange(count)
        self.matrix[:, nodes, nodes] += LEAK
        for above, below, size, heat in zip(self.inlet, self.below, self.size, self.stream_heat, strict=True):
            self._add(below, below, size)
            self._add(below, above, -size)
            self.right[self.every, below] += heat
        network = self.network
        for one, other, k in zip(network.exchange_a, network.exchange_b, self.conductance, strict=True):
            for gains, loses in ((one, other), (other, one)):
                self._add(self.below[gains], self.inlet[loses], -k)
                self._add(self.below[gains], self.inlet[gains], k)
        held = np.flatnonzero(~np.isnan(network.held))
        self.matrix[:, held] = 0.0
        self.matrix[:, held, held] = 1.0
        self.right[:, held] = network.held[held]

    def _mix_inlets(self) -> None:
        network = self.network
        for stream in self.mixed:
            row = self.inlet[stream]
            share = network.return_share[network.return_to == stream].sum()
            self._add(row, row, np.ones(len(self.every)))
            self._add(row, self.above[stream], np.full(len(self.every), share - 1.0))
        for source, target, share in zip(network.return_from, network.return_to, network.return_share, strict=True):
            self._add_outlet(self.inlet[target], source, share)

    def _add_outlet(self, row: IntArray, stream: np.intp, share: float) -> None:
        """Take a share of a stream's outlet temperature, from its inlet and what it gains on its way."""
        network, flows = self.network, self.size[stream] > LEAK
        per_size = np.where(flows, share / np.maximum(self.size[stream], LEAK), 0.0)
        self._add(row, self.inlet[stream], np.full(len(self.every), -share))
        self.right[self.every, row] += per_size * self.stream_heat[stream]
        for gains, loses in ((network.exchange_b, network.exchange_a), (network.exchange_a, network.exchange_b)):
            for index in np.flatnonzero(gains == stream):
                k = per_size * self.conductance[index]
                self._add(row, self.inlet[loses[index]], -k)
                self._add(row, self.inlet[stream], k)

    def solved(self) -> FloatArray:
        """All unknowns, shape (unknowns, v)."""
        return np.asarray(np.linalg.solve(self.matrix, self.right[..., None])[..., 0].T)

    def inlets(self, unknown: FloatArray) -> FloatArray:
        """Inlet temperature of each stream, shape (s, v)."""
        return np.asarray(np.take_along_axis(unknown, self.inlet, axis=0))
