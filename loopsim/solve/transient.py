"""The course of all temperatures in time, liquid and air flow following them."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.solve.cells import Lumps, Rates
from loopsim.solve.results import FlowResult
from loopsim.solve.transport import Streams

__all__ = ["AirWatch", "Course", "Watch", "solve_transient"]

FloatArray = NDArray[np.float64]

RELATIVE, ABSOLUTE = 1e-6, 1e-5  # error that the integrator allows itself: share of a rise, and [K]
SETTLED = 0.05  # share of the largest way that is left where a course counts as settled
MOST_MOVE = 1.0  # of the mean temperature of any stream between two solves of the flows [K]
_LEAST_MOVE = 1e-4  # below which flows are as good as settled [K]
_OF_THE_WAY = 0.5  # and no more than this share of what these flows still have to move
_FLOW_CHANGE = 0.02  # relative change of a flow from one solve to the next that is aimed at
_FIRST_SHARE, _LEAST_SHARE = 0.2, 0.02  # of the most that streams may move: at first, where flows follow closely
_NO_RATE = 1e-3  # heat capacity rate whose changes do not count [W/K]
_FIRST_SOLVES = 3
_NO_WAY = 0.01  # way to go that counts as none [K]
_ENERGY = 1.0  # error that the integrator allows itself in the heat given off [J]


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


def solve_transient(
    streams: Streams,
    lumps: Lumps,
    start: FloatArray,
    times: ArrayLike,
    watches: Sequence[Watch | AirWatch] = (),
    boils_at: Callable[[FlowResult], FloatArray] | None = None,
    most_move: float = MOST_MOVE,
) -> Course:
    """Integrate from a start, the flows solved again whenever they would change.

    Parameters
    ----------
    streams : Streams
    lumps : Lumps
    start : ndarray, shape (c,)
        Temperatures above the room [K].
    times : array_like, shape (t,)
        At which the course is told, rising from 0 [s].
    watches : sequence of Watch or AirWatch
        Limits whose crossing is looked for.
    boils_at : callable, optional
        ``boils_at(liquid) -> ndarray``: temperature above the room at which the liquid in each stream boils while
        this flows, shape (l,) [K].
    most_move : float
        Most by which any stream's mean temperature moves before the flows are solved again [K]. They are solved
        sooner where flows follow temperatures closely, as in natural circulation.

    Raises
    ------
    NotSolved
        As `solve_flow`.

    References
    ----------
    Backward differentiation formulas of variable order as in `scipy.integrate.solve_ivp`. Checked against closed
    forms, conservation and the steady solution in tests/solve/test_transient.py.
    """
    run = _Run(streams, lumps, start, np.asarray(times, dtype=float), watches, boils_at, most_move)
    run.to_the_end()
    return run.course()


class _Run:
    """One integration, stretch by stretch of constant flows."""

    def __init__(
        self,
        streams: Streams,
        lumps: Lumps,
        start: FloatArray,
        times: FloatArray,
        watches: Sequence[Watch | AirWatch],
        boils_at: Callable[[FlowResult], FloatArray] | None,
        most_move: float,
    ) -> None:
        self.streams, self.lumps, self.times, self.watches = streams, lumps, times, watches
        self.boils_at, self.most_move = boils_at, most_move
        self.x, self.time, self.allowed = start.astype(float), 0.0, _FIRST_SHARE * most_move
        self.crossed: list[float | None] = [None] * len(watches)
        self.boiled: tuple[float, int] | None = None
        self.heat_in = self.given_off = self.stored = 0.0
        self.solves = self.told_to = 0
        self.pieces: list[_Piece] = []
        self.rates = self._solved(np.zeros(len(streams.stated_c)))
        for _ in range(_FIRST_SOLVES):  # which end of a stream is which depends on the flow
            self.rates = self.first = self._solved(self._means(self.x))

    def to_the_end(self) -> None:
        """Stretch after stretch."""
        self._look()
        while self.boiled is None and self.time < self.times[-1]:
            self._stretch()
            self._look()
            if self.boiled is None:
                self._follow()
                self._look()

    def _solved(self, means: FloatArray) -> Rates:
        self.solves += 1
        return Rates(self.lumps, self.streams.at(self.streams.thermal.room_c + means))

    def _means(self, x: FloatArray) -> FloatArray:
        """Mean temperatures of the streams above the room, at which properties are taken."""
        rows, constant = self.rates.mean
        room = self.streams.thermal.room_c
        return self.streams.known(room + rows @ x + constant) - room

    def _follow(self) -> None:
        """Flows at the present temperatures; less may change until the next time where much has changed."""
        before = self.rates.transport.rate
        self.rates = self._solved(self._means(self.x))
        after = self.rates.transport.rate
        largest = np.maximum(np.maximum(np.abs(after), np.abs(before)), _NO_RATE)
        change = float((np.abs(after - before) / largest).max(initial=0.0))
        allowed = self.allowed * min(2.0, max(0.5, _FLOW_CHANGE / max(change, 1e-9)))
        self.allowed = min(max(allowed, _LEAST_SHARE * self.most_move), self.most_move)

    def _stretch(self) -> None:
        """Integrate until the streams have moved, something boils, or the time is over."""
        from scipy.integrate import solve_ivp

        rates, watched, end = self.rates, self._watched(), float(self.times[-1])
        out, out_constant = rates.given_off
        found = solve_ivp(
            lambda _, y: np.append(rates.change(y[:-1]), out @ y[:-1] + out_constant),
            (self.time, end),
            np.append(self.x, 0.0),
            method="BDF",
            jac=_with_heat(rates),
            events=self._events(rates, watched),
            dense_output=True,
            rtol=RELATIVE,
            atol=np.append(np.full(self.lumps.count, ABSOLUTE), _ENERGY),
        )
        for number, times in enumerate(found.t_events[2:]):
            if len(times):
                self._cross(number, float(times[0]))
        stop, last = float(found.t[-1]), found.y[:, -1]
        self._tell(found.sol, stop, watched)
        self.heat_in += rates.heat_in * (stop - self.time)
        self.stored += float(rates.capacity @ (last[:-1] - self.x))
        self.given_off += float(last[-1])
        self.x, self.time = last[:-1], stop

    def _watched(self) -> "_Lines":
        return _Lines([each.of(self.rates) for each in self.watches], self.lumps.count)

    def _events(self, rates: Rates, watched: "_Lines") -> list[Any]:
        """Streams moved, liquid boils, then every limit; the first two end the stretch."""
        reference = self._means(self.x)
        to_go = float(np.abs(self._means(rates.rest(self.x)) - reference).max(initial=0.0))
        move = max(min(self.allowed, _OF_THE_WAY * to_go), _LEAST_MOVE)
        boils = self._boiling(rates)

        def moved(x: FloatArray) -> float:
            return float(np.abs(self._means(x) - reference).max(initial=0.0)) - move

        def boiling(x: FloatArray) -> float:
            return float((x[: len(boils)] - boils).max(initial=-np.inf))

        limits = [_event(watched.line(number), 1.0) for number in range(len(self.watches))]
        return [_event(moved, 1.0, True), _event(boiling, 1.0, True), *limits]

    def _boiling(self, rates: Rates) -> FloatArray:
        """Boiling point of each cell above the room."""
        if self.boils_at is None:
            return np.full(self.lumps.first_node, 1e9)
        return self.boils_at(rates.transport.liquid)[self.lumps.cell_stream]

    def _look(self) -> None:
        """What is above its limit or boils, be it that another flow has lifted it there; boiling ends the run."""
        watched = self._watched()
        for number in np.flatnonzero(watched.at(self.x[None])[0] >= 0).tolist():
            self._cross(number, self.time)
        above = self.x[: self.lumps.first_node] - self._boiling(self.rates)
        if above.max(initial=-np.inf) >= -ABSOLUTE:
            self.boiled = self.time, int(self.lumps.cell_stream[int(above.argmax())])
            self.pieces.append(_Piece(np.array([self.time]), self.x[None], self.rates, watched))

    def _cross(self, number: int, time: float) -> None:
        if self.crossed[number] is None:
            self.crossed[number] = time

    def _tell(self, at: Callable[[FloatArray], FloatArray], stop: float, watched: "_Lines") -> None:
        """The course at the times asked for within this stretch."""
        last = int(np.searchsorted(self.times, stop, side="right"))
        times = self.times[self.told_to : last]
        self.told_to = last
        if len(times):
            self.pieces.append(_Piece(times, at(times)[:-1].T, self.rates, watched))

    def course(self) -> Course:
        """What was found."""
        time, lumps, inlet, outlet, nodes, flow, watched = (
            np.concatenate(each) for each in zip(*(piece.columns() for piece in self.pieces), strict=True)
        )
        return Course(
            time=time,
            lumps=lumps,
            inlet=inlet,
            outlet=outlet,
            nodes=nodes,
            flow=flow,
            watched=watched,
            first=self.first,
            crossed=tuple(self.crossed),
            boiled=self.boiled,
            settled=None if self.boiled is not None else _settled(time, lumps, self.rates.rest(self.x)),
            heat_in=self.heat_in,
            given_off=self.given_off,
            stored=self.stored,
            solves=self.solves,
        )


def _settled(time: FloatArray, lumps: FloatArray, rest: FloatArray) -> float | None:
    """When the last has come near to where all go, see `Course.settled`."""
    left = np.abs(lumps - rest).max(axis=1)
    allowed = max(SETTLED * float(left[0]), _NO_WAY)
    late = np.flatnonzero(left > allowed)
    if not len(late):
        return 0.0
    if late[-1] == len(time) - 1:
        return None
    pair = slice(late[-1], late[-1] + 2)
    return float(np.interp(-allowed, -left[pair], time[pair]))


class _Lines:
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
class _Piece:
    """Temperatures of the lumps at some times while the flows are the same."""

    times: FloatArray
    lumps: FloatArray
    rates: Rates
    watched: _Lines

    def columns(self) -> tuple[FloatArray, ...]:
        """In the order of `Course`."""
        rates, flow = self.rates, self.rates.transport.flow
        streams = [self.lumps @ rows.T + constant for rows, constant in (rates.inlet, rates.outlet, rates.nodes)]
        return self.times, self.lumps, *streams, np.tile(flow, (len(self.times), 1)), self.watched.at(self.lumps)


def _event(value: Callable[[FloatArray], float], direction: float, stops: bool = False) -> Any:
    """A zero that the integrator looks for, in its own form."""

    def event(_: float, y: FloatArray) -> float:
        return value(y[:-1])

    event.direction, event.terminal = direction, stops  # type: ignore[attr-defined]
    return event


def _with_heat(rates: Rates) -> FloatArray:
    """The derivative with a row for the heat given off, on which nothing depends."""
    whole = np.zeros((rates.lumps.count + 1, rates.lumps.count + 1))
    whole[:-1, :-1], whole[-1, :-1] = rates.jacobian, rates.given_off[0]
    return whole
