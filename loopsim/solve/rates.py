"""How fast temperatures change while flows stay as they are.

All is linear then: ``capacity * dx/dt = matrix @ x + load`` with x the temperature of every lump above the room.
Streams of air store nothing, so what leaves them follows at once from what enters them. Arrays are dense: a machine
built by hand has some hundred lumps.
"""

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loopsim.solve.lumps import Lumps, Metal
from loopsim.solve.transport import Transport

__all__ = ["Rates"]

FloatArray = NDArray[np.float64]

_STANDS = 1e-9  # heat capacity rate below which a stream stands [W/K]
_LEAST_JOINT = 1e-7  # stands for a joint without resistance [K/W]
_SINGLE = 0.3  # heat capacity rate below which a part's own liquid counts for more than what enters it [W/K]


class Rates:
    """The linear equations of change at given flows, and what else is linear in the temperatures.

    Every temperature is drawn towards others and pushed from none, so nothing ever becomes warmer than what warms it.

    Parameters
    ----------
    lumps : Lumps
    transport : Transport

    Attributes
    ----------
    capacity, matrix, load : ndarray, shape (c,), (c, c), (c,)
        ``capacity * dx/dt = matrix @ x + load`` [J/K], [W/K], [W].
    inlet, outlet, mean, nodes : tuple of ndarray, shape (s, c) and (s,), or (n, c) and (n,)
        Rows and constants that give these temperatures of each stream, and that of each node, above the room [K].
    given_off : tuple of ndarray, shape (c,), and float
        The same for the heat that reaches the room [W].
    heat_in : float
        All heat put in [W].
    """

    def __init__(self, lumps: Lumps, transport: Transport) -> None:
        self.lumps, self.transport = lumps, transport
        self._size = np.abs(transport.rate)
        self._above, self._below = lumps.heat.ends(transport.rate)
        self._moves = self._size > _STANDS
        self.capacity = lumps.capacity(transport.volumetric)
        self.matrix, self.load = np.zeros((lumps.count, lumps.count)), np.zeros(lumps.count)
        forward = transport.rate[: len(lumps.cells)] >= 0
        end_cell = lumps.start_cell + lumps.cells - 1
        self._first = np.where(forward, lumps.start_cell, end_cell)
        self._last = np.where(forward, end_cell, lumps.start_cell)
        self._own_heat = transport.heating.streams.copy()
        for block in lumps.metals:
            self._own_heat[block.stream] -= sum(each.heat for each in block.components)
        self.nodes = self._nodes()
        self.inlet = self._inlets()
        self._gained = self._gains()
        self.outlet = self._outlets()
        self.mean = self._means()
        self._carry_along()
        self._stir_nodes()
        for number, block in enumerate(lumps.metals):
            self._pass_from(number, block)
        self.given_off = self._to_room()
        self.heat_in = transport.heating.total

    def change(self, x: FloatArray) -> FloatArray:
        """How fast every temperature rises [K/s]."""
        return (self.matrix @ x + self.load) / self.capacity

    @cached_property
    def jacobian(self) -> FloatArray:
        """Derivative of `change` by the temperatures [1/s]."""
        return self.matrix / self.capacity[:, None]

    def rest(self, x: FloatArray) -> FloatArray:
        """Temperatures to which these flows lead from here; millions of kelvin where heat has no way out [K].

        Liquid that stands, and that nothing warms, stays as it is.
        """
        leak = _STANDS * np.eye(self.lumps.count)
        return np.asarray(np.linalg.solve(self.matrix - leak, -self.load - _STANDS * x))

    def entering(self, node: int) -> tuple[FloatArray, float]:
        """Row and constant that give the mean temperature of what enters a node [K]; the room's where nothing does."""
        into = (self._below == node) & self._moves
        size, total = self._size[into], max(float(self._size[into].sum()), _STANDS)
        return size @ self.outlet[0][into] / total, float(size @ self.outlet[1][into]) / total

    def _nodes(self) -> tuple[FloatArray, FloatArray]:
        """Temperature of every node: its own where something stands there, else the mix of what arrives."""
        lumps = self.lumps
        rows, constant = np.zeros((len(lumps.heat.nodes), lumps.count)), np.nan_to_num(lumps.heat.held)
        moving = np.flatnonzero(self._moves[: len(lumps.cells)])
        np.add.at(rows, (self._below[moving], self._last[moving]), self._size[moving])
        arriving = rows.sum(axis=1)
        rows /= np.where(arriving > 0, arriving, 1.0)[:, None]
        rows[lumps.standing] = rows[~np.isnan(lumps.heat.held)] = 0.0
        rows[lumps.standing, lumps.first_node + np.arange(len(lumps.standing))] = 1.0
        return rows, constant

    def _inlets(self) -> tuple[FloatArray, FloatArray]:
        """What each stream takes in: what the node behind has; where liquid stands, its own."""
        nodes, held = self.nodes
        rows, constant = nodes[self._above], held[self._above]
        still = np.flatnonzero(~self._moves[: len(self.lumps.cells)])
        rows[still], constant[still] = 0.0, 0.0
        rows[still, self._first[still]] = 1.0
        return self._mixed(rows, constant) if self.transport.return_share.any() else (rows, constant)

    def _mixed(self, rows: FloatArray, constant: FloatArray) -> tuple[FloatArray, FloatArray]:
        """The same where streams of air take in again a share of what others have blown out."""
        heat, count = self.lumps.heat, len(self._size)
        share = np.zeros((count, count))
        np.add.at(share, (heat.return_to, heat.return_from), self.transport.return_share)
        fresh = 1.0 - share.sum(axis=1)
        per_rate = np.where(self._moves, 1.0 / np.where(self._moves, self._size, 1.0), 0.0)
        system = np.eye(count) - share @ (np.eye(count) + per_rate[:, None] * self._exchange())
        warmed = share @ (per_rate * self._own_heat)
        return np.linalg.solve(system, fresh[:, None] * rows), np.linalg.solve(system, fresh * constant + warmed)

    def _exchange(self) -> FloatArray:
        """Heat that each stream gains through exchangers from each stream's inlet, shape (s, s) [W/K]."""
        heat, conductance = self.lumps.heat, self.transport.conductance
        matrix = np.zeros((len(self._size), len(self._size)))
        for gains, loses in ((heat.exchange_a, heat.exchange_b), (heat.exchange_b, heat.exchange_a)):
            np.add.at(matrix, (gains, loses), conductance)
            np.add.at(matrix, (gains, gains), -conductance)
        return matrix

    def _gains(self) -> tuple[FloatArray, FloatArray]:
        """Heat into each stream, without that of components [W]."""
        exchange = self._exchange()
        return exchange @ self.inlet[0], exchange @ self.inlet[1] + self._own_heat

    def _outlets(self) -> tuple[FloatArray, FloatArray]:
        liquid = len(self.lumps.cells)
        rows, constant = self.inlet[0].copy(), self.inlet[1].copy()
        for row in (liquid + np.flatnonzero(self._moves[liquid:])).tolist():
            rows[row] += self._gained[0][row] / self._size[row]
            constant[row] += self._gained[1][row] / self._size[row]
        rows[:liquid], constant[:liquid] = 0.0, 0.0
        rows[np.arange(liquid), self._last] = 1.0
        return rows, constant

    def _means(self) -> tuple[FloatArray, FloatArray]:
        """Half of what enters and leaves; over the cells of a stream of several; its own where liquid stands."""
        lumps = self.lumps
        share = np.full(len(self._size), 0.5)
        share[: len(lumps.cells)] = np.minimum(0.5, self._size[: len(lumps.cells)] / _SINGLE)
        rows = share[:, None] * self.inlet[0] + (1 - share)[:, None] * self.outlet[0]
        constant = share * self.inlet[1] + (1 - share) * self.outlet[1]
        several = lumps.cells[lumps.cell_stream] > 1
        for stream in np.flatnonzero(lumps.cells > 1).tolist():
            rows[stream], constant[stream] = 0.0, 0.0
        cells = np.flatnonzero(several)
        rows[lumps.cell_stream[cells], cells] = 1.0 / lumps.cells[lumps.cell_stream[cells]]
        return rows, constant

    def _carry_along(self) -> None:
        """Every cell takes in what the one before it had; heat into a stream is spread over its cells."""
        lumps, stream = self.lumps, self.lumps.cell_stream
        cells, size = np.arange(lumps.first_node), self._size[stream]
        before = cells - np.where(self.transport.rate[stream] >= 0, 1, -1)
        inner = cells != self._first[stream]
        self.matrix[cells, cells] -= size
        self.matrix[cells[inner], before[inner]] += size[inner]
        liquid = np.arange(len(lumps.cells))
        self.matrix[self._first] += self._size[liquid, None] * self.inlet[0][liquid]
        self.load[self._first] += self._size[liquid] * self.inlet[1][liquid]
        self.matrix[cells] += self._gained[0][stream] / lumps.cells[stream, None]
        self.load[cells] += self._gained[1][stream] / lumps.cells[stream]

    def _arriving(self) -> tuple[FloatArray, FloatArray]:
        """Heat that each stream brings to the node where it ends; what enters air that stands is there at once."""
        rows, constant = self._size[:, None] * self.outlet[0], self._size * self.outlet[1]
        for row in np.flatnonzero(~self._moves).tolist():
            if row >= len(self.lumps.cells):
                rows[row], constant[row] = self._gained[0][row], self._gained[1][row]
        return rows, constant

    def _stir_nodes(self) -> None:
        lumps, (rows, constant) = self.lumps, self._arriving()
        leaving = np.bincount(self._below, self._size, len(lumps.heat.nodes))
        state = np.full(len(lumps.heat.nodes), -1)
        state[lumps.standing] = lumps.first_node + np.arange(len(lumps.standing))
        into = state[self._below] >= 0
        np.add.at(self.matrix, state[self._below[into]], rows[into])
        np.add.at(self.load, state[self._below[into]], constant[into])
        at = state[lumps.standing]
        self.matrix[at, at] -= leaving[lumps.standing]
        self.load[at] += self.transport.heating.nodes[lumps.standing]

    def _pass_from(self, number: int, block: Metal) -> None:
        """From components through joints and metal into the liquid: against the mean of what enters and leaves it.

        In a trickle, the liquid leaves nearly as warm as the metal: what enters counts for less then.
        """
        lumps, stream = self.lumps, block.stream
        metal, cell = lumps.first_metal + number, int(self._last[stream])
        film = float(block.cooling.film_conductance(self.transport.flow[stream]))
        share = float(block.cooling.inlet_share(self.transport.flow[stream], self._size[stream]))
        coolant, constant = share * self.inlet[0][stream], share * self.inlet[1][stream]
        coolant[cell] += 1.0 - share
        for row, sign in ((cell, 1.0), (metal, -1.0)):
            self.matrix[row, metal] += sign * film
            self.matrix[row] -= sign * film * coolant
            self.load[row] -= sign * film * constant
        self._join(block, [metal, *range(*lumps.components[number].indices(lumps.count))])

    def _join(self, block: Metal, rows: list[int]) -> None:
        """Metal and components meet at the contact face, which stores nothing and is left out of the equations."""
        resistances = [block.cooling.base, *(each.joint for each in block.components)]
        to_face = 1.0 / np.maximum(resistances, _LEAST_JOINT)
        self.matrix[np.ix_(rows, rows)] += np.outer(to_face, to_face) / to_face.sum() - np.diag(to_face)
        self.load[rows[1:]] += [each.heat for each in block.components]

    def _to_room(self) -> tuple[FloatArray, float]:
        heat = self.lumps.heat
        room = ~np.isnan(heat.held)
        (rows, constant), (inlet, inlet_constant) = self._arriving(), self.inlet
        ends, begins = room[self._below], room[self._above]
        row = rows[ends].sum(axis=0) - self._size[begins] @ inlet[begins]
        fixed = constant[ends].sum() - self._size[begins] @ inlet_constant[begins]
        return row, float(fixed + self.transport.heating.nodes[room].sum())
