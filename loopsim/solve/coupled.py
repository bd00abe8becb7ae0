"""Flow, heat and air that belong together: viscosity and weight follow temperature, temperature follows flow."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loopsim.errors import NotSolved
from loopsim.network import ThermalNetwork
from loopsim.solve.fixed_point import fixed_point
from loopsim.solve.heat import Temperatures, solve_heat
from loopsim.solve.results import FlowResult
from loopsim.solve.transport import Heating, HeatingAt, Streams, Transport

__all__ = ["Coupled", "solve_coupled"]

FloatArray = NDArray[np.float64]

TOLERANCE = 1e-6  # of the temperature of every stream from round to round [K]
MOST_ROUNDS = 200


@dataclass(frozen=True)
class Coupled:
    """Flow, heat and air at rest with each other.

    Attributes
    ----------
    thermal : ThermalNetwork
        Its networks hold the liquid and air at the temperatures found.
    transport : Transport
        Flows, and what follows from them.
    temperatures : Temperatures
        Above the room's [K].
    rounds : int
    change : float
        Of the temperature of any stream in the last round [K].
    undecided : bool
        True where warm coolant alone would drive the flow, now this way and now that: it is taken as not driving it.
    """

    thermal: ThermalNetwork
    transport: Transport
    temperatures: Temperatures
    rounds: int
    change: float
    undecided: bool = False

    @property
    def liquid(self) -> FlowResult:
        return self.transport.liquid

    @property
    def air(self) -> FlowResult:
        return self.transport.air

    @property
    def heating(self) -> Heating:
        return self.transport.heating

    @property
    def rate(self) -> FloatArray:
        """Heat capacity rate of each stream, with the sign of its flow, shape (s,) [W/K]."""
        return self.transport.rate

    @property
    def heat_in(self) -> float:
        """All heat put in [W]."""
        return self.heating.total

    @property
    def heat_out(self) -> float:
        """Heat that reaches the room [W]."""
        heat, size = self.thermal.heat, np.abs(self.rate)
        above, below = heat.ends(self.rate)
        is_room = ~np.isnan(heat.held)
        carried_out = (size * self.temperatures.outlet)[is_room[below]].sum()
        drawn_in = (size * self.temperatures.inlet)[is_room[above]].sum()
        standing = self.heating.streams[(size == 0) & is_room[below]].sum()
        return float(carried_out - drawn_in + standing + self.heating.nodes[is_room].sum())

    @property
    def imbalance(self) -> float:
        """What of the heat put in is not found again, as a share of it."""
        return abs(self.heat_in - self.heat_out) / max(abs(self.heat_in), 1e-9)


def solve_coupled(
    thermal: ThermalNetwork, heating_at: HeatingAt, start: Coupled | None = None, left: float = 0.0
) -> Coupled:
    """Liquid flow, air flow and all temperatures, each at what the others make of it.

    Parameters
    ----------
    thermal : ThermalNetwork
        What flows in its elements is replaced.
    heating_at : callable
        ``heating_at(liquid, air) -> Heating``: heat put in while this flows.
    start : Coupled, optional
        A result for the same layout from which to start; it saves rounds and changes nothing else.
    left : float
        Most that may be left to go for the temperature of any stream, as the last rounds tell it [K]; where it is 0,
        none moves any more in the last round.

    Raises
    ------
    NotSolved
        If flow, or the whole, does not settle; a defect of ours.
    """
    problem = _Problem(thermal, heating_at, start)
    _, change, rounds, is_settled = fixed_point(problem.image, problem.start, TOLERANCE, MOST_ROUNDS, left)
    if is_settled:
        return problem.told(rounds, change)
    # Without a pump the warm coolant may turn round at every round, and has no state of rest that way.
    still = _Problem(thermal, heating_at, start, warmth_drives=False)
    _, change, more, is_settled = fixed_point(still.image, still.start, TOLERANCE, MOST_ROUNDS, left)
    if is_settled:
        return replace(still.told(rounds + more, change), undecided=True)
    worst = thermal.heat.streams[int(np.abs(still.moved).argmax())]
    raise NotSolved(
        f"flow and heat do not settle after {rounds + more} rounds: the temperature of {worst!r} still moves by "
        f"{change:.2g} K, {TOLERANCE:g} K allowed; this is a defect of Loopsim, please report it",
        part=worst,
    )


class _Problem:
    """The map from the temperatures of all streams to those that follow from them."""

    transport: Transport
    temperatures: Temperatures
    moved: FloatArray

    def __init__(
        self, thermal: ThermalNetwork, heating_at: HeatingAt, start: Coupled | None, warmth_drives: bool = True
    ) -> None:
        self.thermal = thermal
        near = None if start is None else start.transport
        self.streams = Streams(thermal, heating_at, near, warmth_drives)
        guess = self.streams.stated_c if start is None else self._means(start.temperatures)
        self.start = self.streams.known(guess)

    def told(self, rounds: int, change: float) -> Coupled:
        """The solution last found."""
        return Coupled(self.thermal, self.transport, self.temperatures, rounds, change)

    def image(self, streams_c: FloatArray) -> FloatArray:
        """Temperatures of the streams that follow from these [degrees Celsius]."""
        streams_c = self.streams.known(streams_c)
        found = self.transport = self.streams.at(streams_c)
        self.temperatures = solve_heat(
            replace(self.thermal.heat, return_share=found.return_share),
            found.rate,
            found.heating.streams,
            found.heating.nodes,
            found.conductance,
        )
        there = self.streams.known(self._means(self.temperatures))
        self.moved = there - streams_c
        return there

    def _means(self, temperatures: Temperatures) -> FloatArray:
        """Mean temperature in each stream [degrees Celsius]."""
        return self.thermal.room_c + 0.5 * (temperatures.inlet + temperatures.outlet)
