"""What flows at given temperatures, and the heat that it takes up and carries."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loopsim.media import STANDARD_AIR_DENSITY, State, air
from loopsim.network import ROOM, ThermalNetwork
from loopsim.solve.flow import solve_flow
from loopsim.solve.heat import LEAK
from loopsim.solve.results import FlowResult

__all__ = ["Heating", "HeatingAt", "Streams", "Transport", "film_flow"]

FloatArray = NDArray[np.float64]

_ROUNDING = 1e-9  # of the largest heat capacity rate: to this a solution is exact
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

    @property
    def total(self) -> float:
        """All of it [W]."""
        return float(self.streams.sum() + self.nodes.sum())


HeatingAt = Callable[[FlowResult, FlowResult], Heating]


@dataclass(frozen=True)
class Transport:
    """Flow of liquid and air at some temperature of every stream, and what follows for heat.

    Attributes
    ----------
    liquid, air : FlowResult
    flow : ndarray, shape (s,)
        Volume flow of each stream [m3/s].
    volumetric : ndarray, shape (s,)
        Heat capacity of what fills each stream, per volume [J/(m3 K)].
    rate : ndarray, shape (s,)
        Heat capacity rate of each stream, with the sign of its flow [W/K].
    heating : Heating
    conductance : ndarray, shape (x,)
        Heat of each exchanger over the difference of its inlet temperatures [W/K].
    return_share : ndarray, shape (r,)
        Share of blown-out air in what is drawn in, as the air flows now.
    """

    liquid: FlowResult
    air: FlowResult
    flow: FloatArray
    volumetric: FloatArray
    rate: FloatArray
    heating: Heating
    conductance: FloatArray
    return_share: FloatArray


class Streams:
    """The streams of a thermal network: which temperatures they may have, and what flows in them then.

    Parameters
    ----------
    thermal : ThermalNetwork
        What flows in its elements is replaced at every call of `at`.
    heating_at : callable
        ``heating_at(liquid, air) -> Heating``: heat put in while this flows.
    near : Transport, optional
        Flows from which to start; they save steps and change nothing else.
    warmth_drives : bool
        False to give all coolant of a circuit one density, so that no warm column lifts the flow.
    """

    def __init__(
        self,
        thermal: ThermalNetwork,
        heating_at: HeatingAt,
        near: Transport | None = None,
        warmth_drives: bool = True,
    ) -> None:
        self.thermal, self._heating_at, self._near, self._warmth_drives = thermal, heating_at, near, warmth_drives
        loop, self.count = thermal.loop, thermal.liquid_count
        air_count = len(thermal.heat.streams) - self.count
        media = [loop.circuit_of[name].coolant for name in loop.network.links]
        self.stated_c = np.array([*(each.temperature_c for each in media), *[thermal.room_c] * air_count])
        self._lowest = np.array([*(each.medium.lowest_temperature_c for each in media), *[AIR_RANGE_C[0]] * air_count])
        self._highest = np.array(
            [*(each.medium.highest_temperature_c for each in media), *[AIR_RANGE_C[1]] * air_count]
        )
        row = {name: index for index, name in enumerate(loop.network.links)}
        self._circuits = [(each, np.array([row[name] for name in each.body.links])) for each in loop.circuits]
        self._body = np.full(len(thermal.heat.streams), len(loop.circuits), dtype=np.intp)
        for number, (_, rows) in enumerate(self._circuits):
            self._body[rows] = number

    def known(self, streams_c: FloatArray) -> FloatArray:
        """The nearest temperatures at which the streams' properties are known [degrees Celsius]."""
        return np.clip(streams_c, self._lowest, self._highest)

    def at(self, streams_c: FloatArray) -> Transport:
        """Flows at these mean temperatures of the streams [degrees Celsius]; raises `NotSolved` as `solve_flow`."""
        volumetric = self._fill(self.known(streams_c))
        near = self._near
        liquid = solve_flow(self.thermal.loop.network, start=None if near is None else near.liquid)
        gas = solve_flow(self.thermal.air.network, start=None if near is None else near.air)
        flow = np.concatenate((liquid.variants.flows[:, 0], gas.variants.flows[:, 0]))
        rate = _without_rounding(flow * volumetric, self._warmth_drives)
        self._near = Transport(
            liquid=liquid,
            air=gas,
            flow=flow,
            volumetric=volumetric,
            rate=rate,
            heating=self._heating_at(liquid, gas),
            conductance=self._conductance(film_flow(self.thermal, volumetric, flow), rate),
            return_share=self._returned(rate),
        )
        return self._near

    def _fill(self, streams_c: FloatArray) -> FloatArray:
        """Put liquid and air of these temperatures into the elements; their heat capacity per volume."""
        loop, air_network = self.thermal.loop, self.thermal.air.network
        states: dict[str, State] = {}
        for circuit, rows in self._circuits:
            filled = circuit.coolant.medium.states(streams_c[rows])
            if not self._warmth_drives:
                mean = sum(state.density for state in filled) / len(filled)
                filled = [replace(state, density=mean) for state in filled]
            states.update(zip(circuit.body.links, filled, strict=True))
        loop.network.states = {name: states[name] for name in loop.network.links}
        pressure = loop.build.ambient.pressure
        air_network.states = {
            name: air(temperature, pressure)
            for name, temperature in zip(air_network.links, streams_c[self.count :].tolist(), strict=True)
        }
        everything = [*loop.network.states.values(), *air_network.states.values()]
        density = np.array([state.density for state in everything])
        return density * self._shared(np.array([state.heat_capacity for state in everything]))

    def _shared(self, heat_capacity: FloatArray) -> FloatArray:
        """One heat capacity for all streams of a circuit, its mean: then what leaves a place carries what enters it.

        It changes by a few tenths of a per cent over a loop; taken stream by stream, as much heat would be lost.
        """
        sums = np.bincount(self._body, heat_capacity)
        return np.asarray((sums / np.bincount(self._body))[self._body])

    def _conductance(self, flow: FloatArray, rate: FloatArray) -> FloatArray:
        heat = self.thermal.heat
        return np.array(
            [
                float(law.conductance(flow[a], rate[a], flow[b], rate[b]))
                for (_, law), a, b in zip(self.thermal.exchangers, heat.exchange_a, heat.exchange_b, strict=True)
            ]
        )

    def _returned(self, rate: FloatArray) -> FloatArray:
        """Share of blown-out air in what is drawn in, where the one blows out and the other draws in from the room."""
        heat = self.thermal.heat
        if not len(heat.return_share):
            return heat.return_share
        room = self.thermal.space_node(ROOM)
        above, below = heat.ends(rate)
        into, out_of = below[heat.return_from] == room, above[heat.return_to] == room
        flowing = (rate[heat.return_from] != 0) & (rate[heat.return_to] != 0)
        return np.where(into & out_of & flowing, heat.return_share, 0.0)


def film_flow(thermal: ThermalNetwork, volumetric: FloatArray, flow: FloatArray) -> FloatArray:
    """The flows that films of exchangers ask for: of air the standard air of the same mass, of liquid as it flows.

    Films are fitted to data on standard air, and follow the Reynolds number: mass flow, not volume, in thin or warm
    air.

    Parameters
    ----------
    thermal : ThermalNetwork
    volumetric : ndarray, shape (s,)
        Heat capacity of what fills each stream, per volume [J/(m3 K)].
    flow : ndarray, shape (s,) or (s, v)
        Volume flow of each stream [m3/s].
    """
    share = np.ones(len(volumetric))
    standard = STANDARD_AIR_DENSITY * air(20.0).heat_capacity
    share[thermal.liquid_count :] = volumetric[thermal.liquid_count :] / standard
    return np.asarray((flow.T * share).T)


def _without_rounding(rate: FloatArray, warmth_drives: bool) -> FloatArray:
    """The rates, with 0 where they are what solving left over: its sign would say anew each time where heat goes.

    Warmth alone may drive flows far smaller than a pump's.
    """
    size = np.abs(rate)
    least = LEAK if warmth_drives else max(LEAK, _ROUNDING * float(size.max(initial=0.0)))
    return np.where(size < least, 0.0, rate)
