"""What is watched while temperatures change, and what was found."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loopsim.solve.rates import Rates

__all__ = ["AirWatch", "Course", "Lines", "Piece", "Watch"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Watch:
    """A component whose limit is watched: where it stands among the lumps, and the limit above the room [K]."""

    row: int
    limit: float

    def of(self, rates: Rates) -> tuple[FloatArray, float]:
        """Row and constant that give how far it is above its limit [K]."""
        row = np.zeros(rates.lumps.count)
        row[self.row] = 1.0
        return row, -self.limit


@dataclass(frozen=True, slots=True)
class AirWatch:
    """Air around a component, `factor` times as far above the entering air as the mean of its space."""

    node: int
    factor: float
    limit: float

    def of(self, rates: Rates) -> tuple[FloatArray, float]:
        """Row and constant that give how far it is above its limit [K]."""
        lumps = rates.lumps
        space = np.zeros(lumps.count)
        space[lumps.row_of(self.node)] = 1.0
        entering, constant = rates.entering(self.node)
        share = 1.0 - self.factor
        return self.factor * space + share * entering, share * constant - self.limit


@dataclass(frozen=True)
class Course:
    """Temperatures against time, all above the room's [K]; t times.

    Attributes
    ----------
    time : ndarray, shape (t,)
        Rising from 0; the last is where boiling ended the run, or its end [s].
    lumps : ndarray, shape (t, c)
        Of every lump.
    inlet, outlet : ndarray, shape (t, s)
        Of every stream, at the ends where it enters and leaves.
    nodes : ndarray, shape (t, n)
        Of every node.
    flow : ndarray, shape (t, s)
        Volume flow of every stream [m3/s].
    watched : ndarray, shape (t, w)
        How far each watched place is above its limit [K].
    crossed : tuple of float or None, w of them
        When each watched place passed its limit for the first time [s].
    boiled : (float, int) or None
        When and in which stream the liquid came to its boiling point; the run ends there.
    settled : float or None
        When all lumps had no more than a twentieth left of the longest way that any had to go to rest [s]; None if
        the run ends before.
    first : Rates
        The equations at the start.
    heat_in, given_off, stored : float
        Heat put in, heat that reached the room, and heat that all lumps took up [J].
    solves : int
        Of the flows.
    """

    time: FloatArray
    lumps: FloatArray
    inlet: FloatArray
    outlet: FloatArray
    nodes: FloatArray
    flow: FloatArray
    watched: FloatArray
    crossed: tuple[float | None, ...]
    boiled: tuple[float, int] | None
    settled: float | None
    first: Rates
    heat_in: float
    given_off: float
    stored: float
    solves: int

    @property
    def imbalance(self) -> float:
        """What of the heat put in is neither stored nor given off, as a share of the largest of the three."""
        largest = max(abs(self.heat_in), abs(self.stored), abs(self.given_off), 1e-9)
        return abs(self.heat_in - self.given_off - self.stored) / largest


class Lines:
    """Several values that are linear in the temperatures."""

    def __init__(self, lines: Sequence[tuple[FloatArray, float]], count: int) -> None:
        self.rows = np.array([row for row, _ in lines]).reshape(len(lines), count)
        self.constants = np.array([constant for _, constant in lines], dtype=float)

    def at(self, x: FloatArray) -> FloatArray:
        """All values, shape (t, w), at temperatures of shape (t, c)."""
        return np.asarray(x @ self.rows.T + self.constants)

    def line(self, number: int) -> Callable[[FloatArray], float]:
        """One of them against temperatures."""
        row, constant = self.rows[number], float(self.constants[number])
        return lambda x: float(row @ x) + constant


@dataclass(frozen=True)
class Piece:
    """Temperatures of the lumps at some times while the flows are the same."""

    times: FloatArray
    lumps: FloatArray
    rates: Rates
    watched: Lines

    def columns(self) -> tuple[FloatArray, ...]:
        """In the order of `Course`."""
        rates, flow = self.rates, self.rates.transport.flow
        streams = [self.lumps @ rows.T + constant for rows, constant in (rates.inlet, rates.outlet, rates.nodes)]
        return self.times, self.lumps, *streams, np.tile(flow, (len(self.times), 1)), self.watched.at(self.lumps)
