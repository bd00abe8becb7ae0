"""The course of all temperatures in time, liquid and air flow following them."""

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.errors import NotSolved
from loopsim.solve.course import AirWatch, Course, Lines, Piece, Watch
from loopsim.solve.lumps import Lumps
from loopsim.solve.rates import Rates
from loopsim.solve.results import FlowResult
from loopsim.solve.transport import Streams

__all__ = ["solve_transient"]

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


def solve_transient(
    streams: Streams,
    lumps: Lumps,
    start: FloatArray,
    times: ArrayLike,
    watches: Sequence[Watch | AirWatch] = (),
    boils_at: Callable[[FlowResult], FloatArray] | None = None,
    most_move: float = MOST_MOVE,
    until_limit: bool = False,
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
    until_limit : bool
        End the course where the first limit is crossed.

    Raises
    ------
    NotSolved
        As `solve_flow`; or if the integrator gives up, a defect of ours.

    References
    ----------
    Backward differentiation formulas of variable order as in `scipy.integrate.solve_ivp`. Checked against closed
    forms, conservation and the steady solution in tests/solve/test_transient.py.
    """
    run = _Run(streams, lumps, start, np.asarray(times, dtype=float), watches, boils_at, most_move, until_limit)
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
        until_limit: bool,
    ) -> None:
        self.streams, self.lumps, self.times, self.watches = streams, lumps, times, watches
        self.boils_at, self.most_move, self.until_limit = boils_at, most_move, until_limit
        self.x, self.time, self.allowed = start.astype(float), 0.0, _FIRST_SHARE * most_move
        self.move = 0.0
        self.crossed: list[float | None] = [None] * len(watches)
        self.boiled: tuple[float, int] | None = None
        self.heat_in = self.given_off = self.stored = 0.0
        self.solves = self.told_to = 0
        self.pieces: list[Piece] = []
        self.rates = self._solved(np.zeros(len(streams.stated_c)))
        for _ in range(_FIRST_SOLVES):  # which end of a stream is which depends on the flow
            self.rates = self.first = self._solved(self._means(self.x))

    def to_the_end(self) -> None:
        """Stretch after stretch."""
        self._look()
        while not self._is_over():
            self._stretch()
            self._look()
            if not self._is_over():
                self._follow()
                self._look()

    def _is_over(self) -> bool:
        met = self.boiled is not None or (self.until_limit and any(each is not None for each in self.crossed))
        return met or self.time >= self.times[-1]

    def _solved(self, means: FloatArray) -> Rates:
        self.solves += 1
        return Rates(self.lumps, self.streams.at(self.streams.thermal.room_c + means))

    def _means(self, x: FloatArray) -> FloatArray:
        """Mean temperatures of the streams above the room, at which properties are taken."""
        rows, constant = self.rates.mean
        room = self.streams.thermal.room_c
        return self.streams.known(room + rows @ x + constant) - room

    def _follow(self) -> None:
        """Flows for the next stretch, at temperatures half of it ahead; it is shorter where the flows change more."""
        before = self.rates.transport.rate
        self.rates = self._solved(self._means(self.x) + self._ahead())
        after = self.rates.transport.rate
        largest = np.maximum(np.maximum(np.abs(after), np.abs(before)), _NO_RATE)
        change = float((np.abs(after - before) / largest).max(initial=0.0))
        allowed = self.allowed * min(2.0, max(0.5, _FLOW_CHANGE / max(change, 1e-9)))
        self.allowed = min(max(allowed, _LEAST_SHARE * self.most_move), self.most_move)

    def _ahead(self) -> FloatArray:
        """How far the streams' temperatures will move in half of a stretch as long as the last one."""
        pace = self.rates.mean[0] @ self.rates.change(self.x)
        return np.asarray(0.5 * self.move * pace / max(float(np.abs(pace).max(initial=0.0)), 1e-300))

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
        if not found.success:
            raise NotSolved(
                f"the course in time ends after {self.time:.3g} s: {found.message}; this is a defect of Loopsim, "
                "please report it"
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

    def _watched(self) -> Lines:
        return Lines([each.of(self.rates) for each in self.watches], self.lumps.count)

    def _events(self, rates: Rates, watched: Lines) -> list[Any]:
        """Streams moved, liquid boils, then every limit; the first two end the stretch, a limit ends the last."""
        reference = self._means(self.x)
        to_go = float(np.abs(self._means(rates.rest(self.x)) - reference).max(initial=0.0))
        self.move = move = max(min(self.allowed, _OF_THE_WAY * to_go), _LEAST_MOVE)
        boils = self._boiling(rates)

        def moved(x: FloatArray) -> float:
            return float(np.abs(self._means(x) - reference).max(initial=0.0)) - move

        def boiling(x: FloatArray) -> float:
            return float((x[: len(boils)] - boils).max(initial=-np.inf))

        limits = [_event(watched.line(number), 1.0, self.until_limit) for number in range(len(self.watches))]
        return [_event(moved, 1.0, True), _event(boiling, 1.0, True), *limits]

    def _boiling(self, rates: Rates) -> FloatArray:
        """Boiling point of each cell above the room."""
        if self.boils_at is None:
            return np.full(self.lumps.first_node, 1e9)
        return self.boils_at(rates.transport.liquid)[self.lumps.cell_stream]

    def _look(self) -> None:
        """What is above its limit or boils, be it that another flow has lifted it there; boiling ends the run."""
        watched = self._watched()
        above_limit = np.flatnonzero(watched.at(self.x[None])[0] >= 0).tolist()
        for number in above_limit:
            self._cross(number, self.time)
        above = self.x[: self.lumps.first_node] - self._boiling(self.rates)
        if above.max(initial=-np.inf) >= -ABSOLUTE:
            self.boiled = self.time, int(self.lumps.cell_stream[int(above.argmax())])
        ends = self.boiled is not None or (self.until_limit and above_limit)
        if ends and (not self.pieces or self.pieces[-1].times[-1] < self.time):
            self.pieces.append(Piece(np.array([self.time]), self.x[None], self.rates, watched))

    def _cross(self, number: int, time: float) -> None:
        if self.crossed[number] is None:
            self.crossed[number] = time

    def _tell(self, at: Callable[[FloatArray], FloatArray], stop: float, watched: Lines) -> None:
        """The course at the times asked for within this stretch."""
        last = int(np.searchsorted(self.times, stop, side="right"))
        times = self.times[self.told_to : last]
        self.told_to = last
        if len(times):
            self.pieces.append(Piece(times, at(times)[:-1].T, self.rates, watched))

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
