"""Thermal networks of constant properties, written down by hand, for tests of the course in time."""

from types import SimpleNamespace

import numpy as np

from loopsim.elements import BlockCooling
from loopsim.elements.exchange import Film
from loopsim.network import HeatNetwork
from loopsim.solve import Component, Course, Heating, Lumps, Metal, Transport, solve_transient

VOLUMETRIC = 4e6  # of the liquid [J/(m3 K)]


def network(nodes, streams, held=(), exchange=()):
    """`streams` as (name, start, end), liquid first; `exchange` as pairs of names."""
    number = {name: index for index, name in enumerate(nodes)}
    row = {name: index for index, (name, _, _) in enumerate(streams)}
    return HeatNetwork(
        nodes=nodes,
        streams=list(row),
        start=_ints(number[start] for _, start, _ in streams),
        end=_ints(number[end] for _, _, end in streams),
        held=np.array([0.0 if name in held else np.nan for name in nodes]),
        exchange_a=_ints(row[a] for a, _ in exchange),
        exchange_b=_ints(row[b] for _, b in exchange),
        return_from=_ints([]),
        return_to=_ints([]),
        return_share=np.zeros(0),
    )


def lumps(heat, capacity, cells=None, nodes=None, metals=()):
    """Lumps of these heat capacities [J/K]: one value for each stream of liquid, by name for each node."""
    volume = np.array(capacity, dtype=float) / VOLUMETRIC
    at_nodes = np.array([(nodes or {}).get(name, 0.0) for name in heat.nodes]) / VOLUMETRIC
    cells = np.ones(len(capacity), dtype=np.intp) if cells is None else np.array(cells)
    return Lumps(heat, cells, volume, np.zeros(len(capacity)), at_nodes, tuple(metals))


def metal(stream, capacity, film, components, base=0.0):
    """A block whose film does not follow the flow; `components` as (heat, capacity, joint)."""
    cooling = BlockCooling(base, film / 2, Film(film / 2, 1e-3, 0.0))
    return Metal(stream, capacity, cooling, tuple(Component(*each) for each in components))


class Constant:
    """Streams whose flows follow nothing, in place of `loopsim.solve.Streams`."""

    def __init__(self, heat, rate, stream_heat, conductance=(), node_heat=None) -> None:
        rate = np.array(rate, dtype=float)
        nodes = np.zeros(len(heat.nodes)) if node_heat is None else np.array(node_heat, dtype=float)
        self.thermal = SimpleNamespace(room_c=0.0)
        self.stated_c = np.zeros(len(rate))
        self.transport = Transport(
            liquid=None,
            air=None,
            flow=rate / VOLUMETRIC,
            volumetric=np.full(len(rate), VOLUMETRIC),
            rate=rate,
            heating=Heating(np.array(stream_heat, dtype=float), nodes),
            conductance=np.array(conductance, dtype=float),
            return_share=np.zeros(0),
        )

    def known(self, streams_c):
        return streams_c

    def at(self, streams_c):  # noqa: ARG002
        return self.transport


def course(streams, of, end, start=None, **values) -> Course:
    """From the room's temperature, told at 101 times."""
    start = np.zeros(of.count) if start is None else start
    return solve_transient(streams, of, start, np.linspace(0.0, end, 101), **values)


def _ints(values):
    return np.array(list(values), dtype=np.intp)
