"""A layout as streams that carry heat: liquid and air together, with what heats them and what lies between them."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.elements.exchange import Exchanger
from loopsim.media import air as air_at
from loopsim.network.air import ROOM, AirNetwork, assemble_air
from loopsim.network.assemble import LoopNetwork, assemble
from loopsim.network.heat_network import HeatNetwork
from loopsim.units import to_si

__all__ = ["ThermalNetwork", "assemble_thermal"]

FloatArray = NDArray[np.float64]


@dataclass
class ThermalNetwork:
    """Flow networks of liquid and air, and the heat network over both.

    Streams of the heat network are the liquid's elements, then the air's; its nodes the liquid's junctions, then the
    spaces, each in the order of its network.

    Attributes
    ----------
    loop : LoopNetwork
    air : AirNetwork
    room_c : float
        Temperature of the room [degrees Celsius]; temperatures of the heat network are above it.
    heat : HeatNetwork
    exchangers : tuple of (str, Exchanger)
        The part's id and the law of each exchanger of the heat network.
    """

    loop: LoopNetwork
    air: AirNetwork
    room_c: float
    heat: HeatNetwork
    exchangers: tuple[tuple[str, Exchanger], ...]
    number: dict[str, int] = field(default_factory=dict)

    @property
    def liquid_count(self) -> int:
        """Number of streams that are liquid."""
        return len(self.loop.network.links)

    @property
    def junction_count(self) -> int:
        """Number of nodes that are junctions of the liquid."""
        return len(self.loop.network.junctions)

    def space_of(self, part_id: str) -> str:
        """The space whose air a part stands in or draws from; the room where nothing moves that space's air."""
        placement, part = self.loop.layout.placement(part_id), self.loop.build.part(part_id)
        space, _ = placement.air_spaces(part)
        return space if space in self.air.network.junctions else ROOM

    def space_node(self, space: str) -> int:
        """Number of a space among the nodes of the heat network."""
        return self.junction_count + self.air.spaces.index(space)


def assemble_thermal(build: Build, layout: Layout, room_c: float, stopped: Collection[str] = ()) -> ThermalNetwork:
    """The heat network of a layout, with some pumps and fans stopped.

    Parameters
    ----------
    build : Build
    layout : Layout
    room_c : float
        [degrees Celsius]
    stopped : collection of str
        Ids of pumps and fans without power.
    """
    loop = assemble(build, layout, stopped)
    air = assemble_air(build, layout, air_at(room_c, build.ambient.pressure), stopped)
    liquid, gas = list(loop.network.links.values()), list(air.network.links.values())
    junctions = {name: index for index, name in enumerate(loop.network.junctions)}
    spaces = {name: len(junctions) + index for index, name in enumerate(air.network.junctions)}
    streams = [*loop.network.links, *(f"air {name}" for name in air.network.links)]
    number = {name: index for index, name in enumerate(streams)}
    held = np.full(len(junctions) + len(spaces), np.nan)
    held[spaces[ROOM]] = 0.0
    between = list(_exchangers(loop, air, number))
    returns = list(_returns(layout, air, number))
    heat = HeatNetwork(
        nodes=(*junctions, *(f"air {name}" for name in spaces)),
        streams=streams,
        start=_ints([*(junctions[link.start] for link in liquid), *(spaces[link.start] for link in gas)]),
        end=_ints([*(junctions[link.end] for link in liquid), *(spaces[link.end] for link in gas)]),
        held=held,
        exchange_a=_ints([a for _, _, a, _ in between]),
        exchange_b=_ints([b for _, _, _, b in between]),
        return_from=_ints([source for source, _, _ in returns]),
        return_to=_ints([target for _, target, _ in returns]),
        return_share=np.array([share for _, _, share in returns], dtype=float),
    )
    exchangers = tuple((part_id, law) for part_id, law, _, _ in between)
    return ThermalNetwork(loop, air, room_c, heat, exchangers, number)


def _exchangers(
    loop: LoopNetwork, air: AirNetwork, number: dict[str, int]
) -> Iterator[tuple[str, Exchanger, int, int]]:
    """Every exchanger: its part, its law, and the two streams between which it lies."""
    for part_id in loop.layout.placements:
        part = loop.build.part(part_id)
        if part.exchanger is None:
            continue
        sides = [number[name] for name in loop.elements_of[part_id]]
        sides += [number[f"air {name}"] for name in air.elements_of[part_id]]
        if len(sides) == 2:
            yield part_id, part.exchanger, sides[0], sides[1]


def _returns(layout: Layout, air: AirNetwork, number: dict[str, int]) -> Iterator[tuple[int, int, float]]:
    for each in layout.air_returns:
        for outlet in air.elements_of[each.outlet]:
            for inlet in air.elements_of[each.inlet]:
                share = to_si(each.share_percent, "percent")
                yield number[f"air {outlet}"], number[f"air {inlet}"], share


def _ints(values: list[int]) -> NDArray[np.intp]:
    return np.array(values, dtype=np.intp)
