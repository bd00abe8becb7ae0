"""Flow, heat and air that belong together: viscosity and weight follow temperature, temperature follows flow."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loopsim.errors import NotSolved
from loopsim.media import State, air
from loopsim.network import ROOM, ThermalNetwork
from loopsim.solve.fixed_point import fixed_point
from loopsim.solve.flow import solve_flow
from loopsim.solve.heat import Temperatures, solve_heat
from loopsim.solve.results import FlowResult

__all__ = ["Coupled", "Heating", "solve_coupled"]

FloatArray = NDArray[np.float64]

TOLERANCE = 1e-6  # of the temperature of every stream from round to round [K]
MOST_ROUNDS = 200
AIR_RANGE_C = (-40.0, 120.0)  # in which properties of air are known


@dataclass(frozen=True)
class Heating:
    """Heat put into a thermal network at some flow.

    Attributes
    ----------
    streams, nodes : ndarray, shape (s,), (n,)
        Into each stream and node of the heat network [W].
    """

    streams: FloatArray
    nodes: FloatArray


HeatingAt = Callable[[FlowResult, FlowResult], Heating]


@dataclass(frozen=True)
class Coupled:
    """Flow, heat and air at rest with each other.

    Attributes
    ----------
    thermal : ThermalNetwork
        Its networks hold the liquid and air at the temperatures found.
    liquid, air : FlowResult
    temperatures : Temperatures
        Above the room's [K].
    heating : Heating
    rate : ndarray, shape (s,)
        Heat capacity rate of each stream, with the sign of its flow [W/K].
    rounds : int
    change : float
        Of the temperature of any stream in the last round [K].
    """

    thermal: ThermalNetwork
    liquid: FlowResult
    air: FlowResult
    temperatures: Temperatures
    heating: Heating
    rate: FloatArray
    rounds: int
    change: float

    @property
    def heat_in(self) -> float:
        """All heat put in [W]."""
        return float(self.heating.streams.sum() + self.heating.nodes.sum())

    @property
    def heat_out(self) -> float:
        """Heat that reaches the room [W]."""
        heat, size = self.thermal.heat, np.abs(self.rate)
        above = np.where(self.rate >= 0, heat.start, heat.end)
        below = np.where(self.rate >= 0, heat.end, heat.start)
        is_room = ~np.isnan(heat.held)
        carried_out = (size * self.temperatures.outlet)[is_room[below]].sum()
        drawn_in = (size * self.temperatures.inlet)[is_room[above]].sum()
        standing = self.heating.streams[(size == 0) & is_room[below]].sum()
        return float(carried_out - drawn_in + standing + self.heating.nodes[is_room].sum())

    @property
    def imbalance(self) -> float:
        """What of the heat put in is not found again, as a share of it."""
        return abs(self.heat_in - self.heat_out) / max(abs(self.heat_in), 1e-9)


def solve_coupled(thermal: ThermalNetwork, heating_at: HeatingAt, start: Coupled | None = None) -> Coupled:
    """Liquid flow, air flow and all temperatures, each at what the others make of it.

    Parameters
    ----------
    thermal : ThermalNetwork
        What flows in its elements is replaced.
    heating_at : callable
        ``heating_at(liquid, air) -> Heating``: heat put in while this flows.
    start : Coupled, optional
        A result for the same layout from which to start; it saves rounds and changes nothing else.

    Raises
    ------
    NotSolved
        If flow, or the whole, does not settle; a defect of ours.
    """
    problem = _Problem(thermal, heating_at, start)
    _, change, rounds = fixed_point(problem.image, problem.start, TOLERANCE, MOST_ROUNDS)
    if change > TOLERANCE:
        worst = thermal.heat.streams[int(np.abs(problem.moved).argmax())]
        raise NotSolved(
            f"flow and heat do not settle after {rounds} rounds: the temperature of {worst!r} still moves by "
            f"{change:.2g} K, {TOLERANCE:g} K allowed; this is a defect of Loopsim, please report it",
            part=worst,
        )
    return Coupled(
        thermal, problem.liquid, problem.gas, problem.temperatures, problem.heating, problem.rate, rounds, change
    )


class _Problem:
    """The map from the temperatures of all streams to those that follow from them."""

    liquid: FlowResult
    gas: FlowResult
    temperatures: Temperatures
    heating: Heating
    rate: FloatArray
    moved: FloatArray

    def __init__(self, thermal: ThermalNetwork, heating_at: HeatingAt, start: Coupled | None) -> None:
        self.thermal, self.heating_at = thermal, heating_at
        self.count = thermal.liquid_count
        circuits = {name: index for index, each in enumerate(thermal.loop.circuits) for name in each.body.links}
        air_count = len(thermal.heat.streams) - self.count
        liquid = [circuits[name] for name in thermal.loop.network.links]
        self.body = np.array([*liquid, *[len(thermal.loop.circuits)] * air_count], dtype=np.intp)
        self.lowest, self.highest = self._ranges()
        guess = self._stated()
        if start is not None:
            self.liquid, self.gas = start.liquid, start.air
            guess = self._means(start.temperatures)
        self.start = np.clip(guess, self.lowest, self.highest)

    def _stated(self) -> FloatArray:
        """The coolants' stated temperatures, and the room's for the air [degrees Celsius]."""
        loop = self.thermal.loop
        stated = [loop.circuit_of[name].coolant.temperature_c for name in loop.network.links]
        return np.array([*stated, *[self.thermal.room_c] * (len(self.thermal.heat.streams) - self.count)])

    def _ranges(self) -> tuple[FloatArray, FloatArray]:
        """Lowest and highest temperature of each stream at which its properties are known."""
        loop = self.thermal.loop
        media = [loop.circuit_of[name].coolant.medium for name in loop.network.links]
        air_count = len(self.thermal.heat.streams) - self.count
        lowest = [medium.lowest_temperature_c for medium in media] + [AIR_RANGE_C[0]] * air_count
        highest = [medium.highest_temperature_c for medium in media] + [AIR_RANGE_C[1]] * air_count
        return np.array(lowest), np.array(highest)

    def image(self, streams_c: FloatArray) -> FloatArray:
        """Temperatures of the streams that follow from these [degrees Celsius]."""
        streams_c = np.clip(streams_c, self.lowest, self.highest)
        self._fill(streams_c)
        network = self.thermal.loop.network
        self.liquid = solve_flow(network, start=getattr(self, "liquid", None))
        self.gas = solve_flow(self.thermal.air.network, start=getattr(self, "gas", None))
        flow = np.concatenate((self.liquid.variants.flows[:, 0], self.gas.variants.flows[:, 0]))
        self.rate = flow * self.volumetric
        self.heating = self.heating_at(self.liquid, self.gas)
        heat = self.thermal.heat
        conductance = np.array(
            [
                float(law.conductance(flow[a], self.rate[a], flow[b], self.rate[b]))
                for (_, law), a, b in zip(self.thermal.exchangers, heat.exchange_a, heat.exchange_b, strict=True)
            ]
        )
        self.temperatures = solve_heat(
            replace(heat, return_share=self._returned()),
            self.rate,
            self.heating.streams,
            self.heating.nodes,
            conductance,
        )
        there = np.clip(self._means(self.temperatures), self.lowest, self.highest)
        self.moved = there - streams_c
        return there

    def _fill(self, streams_c: FloatArray) -> None:
        """Put liquid and air of these temperatures into the elements."""
        loop, air_network = self.thermal.loop, self.thermal.air.network
        names = list(loop.network.links)
        states: dict[str, State] = {}
        row = {name: index for index, name in enumerate(names)}
        for circuit in loop.circuits:
            rows = [row[name] for name in circuit.body.links]
            states.update(zip(circuit.body.links, circuit.coolant.medium.states(streams_c[rows]), strict=True))
        loop.network.states = {name: states[name] for name in names}
        pressure = loop.build.ambient.pressure
        air_network.states = {
            name: air(temperature, pressure)
            for name, temperature in zip(air_network.links, streams_c[self.count :].tolist(), strict=True)
        }
        filled = [*loop.network.states.values(), *air_network.states.values()]
        density = np.array([state.density for state in filled])
        self.volumetric = density * self._shared(np.array([state.heat_capacity for state in filled]))

    def _shared(self, heat_capacity: FloatArray) -> FloatArray:
        """One heat capacity for all streams of a circuit, its mean: then what leaves a place carries what enters it.

        It changes by a few tenths of a per cent over a loop; taken stream by stream, as much heat would be lost.
        """
        sums = np.bincount(self.body, heat_capacity)
        return np.asarray((sums / np.bincount(self.body))[self.body])

    def _returned(self) -> FloatArray:
        """Share of blown-out air in what is drawn in, where the one blows out and the other draws in from the room."""
        heat = self.thermal.heat
        if not len(heat.return_share):
            return heat.return_share
        room = self.thermal.space_node(ROOM)
        into = np.where(self.rate >= 0, heat.end, heat.start)[heat.return_from] == room
        out_of = np.where(self.rate >= 0, heat.start, heat.end)[heat.return_to] == room
        flowing = (self.rate[heat.return_from] != 0) & (self.rate[heat.return_to] != 0)
        return np.where(into & out_of & flowing, heat.return_share, 0.0)

    def _means(self, temperatures: Temperatures) -> FloatArray:
        """Mean temperature in each stream [degrees Celsius]."""
        return self.thermal.room_c + 0.5 * (temperatures.inlet + temperatures.outlet)
