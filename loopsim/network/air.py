"""From a layout to its air circuit: spaces joined by fans, filters, fins, holes."""

from collections.abc import Collection
from dataclasses import dataclass, field

from loopsim.build import Build, Layout
from loopsim.media import State
from loopsim.network.flow_network import Network

__all__ = ["ROOM", "AirNetwork", "assemble_air"]

ROOM = "room"  # the space at ambient pressure; all others are named by those who use them


@dataclass
class AirNetwork:
    """The air of a layout as a network: spaces are junctions, what air passes through are elements.

    Attributes
    ----------
    network : Network
        Pressures are gauge. Elements bear the ids of their parts, with a slash and the inner name where a part has
        several. Heights do not count: the draught of warm air in a low machine is small beside its fans.
    elements_of : dict
        Names of the elements of each part by its id.
    stopped : frozenset of str
        Ids of the fans without power.
    """

    network: Network
    stopped: frozenset[str]
    elements_of: dict[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def spaces(self) -> tuple[str, ...]:
        """Names of all spaces, the room first."""
        return tuple(self.network.junctions)


def assemble_air(build: Build, layout: Layout, outside: State, stopped: Collection[str] = ()) -> AirNetwork:
    """The air circuit of a layout.

    Parameters
    ----------
    build : Build
    layout : Layout
    outside : State
        The air of the room.
    stopped : collection of str
        Ids of fans without power.
    """
    air = AirNetwork(Network(outside), frozenset(stopped))
    air.network.add_junction(ROOM, pressure=0.0)
    for placement in layout.placed:
        part = build.part(placement.part)
        names = []
        start, end = placement.air_spaces(part)
        for path in part.air_paths_as_set(placement.setting(stopped=part.id in air.stopped)):
            if start == end:  # it stirs the air of one space
                continue
            for space in (start, end):
                if space not in air.network.junctions:
                    air.network.add_junction(space)
            name = f"{part.id}/{path.name}" if path.name else part.id
            air.network.add_element(name, start, end, path.element)
            names.append(name)
        air.elements_of[part.id] = tuple(names)
    return air
