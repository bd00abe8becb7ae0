"""From a layout to its flow network."""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass, field, replace

from loopsim.build import Build, Layout, Placement
from loopsim.geometry import Path
from loopsim.network.flow_network import Network
from loopsim.parts import Part, Port, Pump
from loopsim.units import to_si

__all__ = ["LoopNetwork", "assemble"]


@dataclass
class LoopNetwork:
    """A layout as a network, and how to find its parts in there.

    Attributes
    ----------
    build, layout
        What it was made from.
    network : Network
        Elements bear the ids of the tube runs, and of the parts with a slash and the inner name where a part has
        several.
    stopped : frozenset of str
        Ids of the pumps without power.
    paths : dict
        Centre line of each tube run by id.
    elements_of : dict
        Names of the elements inside each part, and of each run, by id.
    """

    build: Build
    layout: Layout
    network: Network
    stopped: frozenset[str]
    paths: dict[str, Path] = field(default_factory=dict)
    elements_of: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def junction_of(self, reference: str) -> str:
        """Name of the junction behind a port ``"part.port"``: its own, or that of the body of liquid it opens into."""
        part_id = reference.partition(".")[0]
        return part_id if self.build.part(part_id).merges_ports else reference

    def inside(self, part: Part, name: str) -> str:
        """Name of the junction behind a port or an inner node of a part."""
        return f"{part.id}/{name}" if name in part.inner_nodes else self.junction_of(f"{part.id}.{name}")

    def running_pumps(self) -> list[str]:
        """Ids of the pumps with power."""
        return [
            part_id
            for part_id in self.layout.placements
            if isinstance(self.build.part(part_id), Pump) and part_id not in self.stopped
        ]


def assemble(build: Build, layout: Layout, stopped: Collection[str] = ()) -> LoopNetwork:
    """The flow network of a layout, with some pumps stopped.

    A vented surface holds its junction at ambient pressure, at the height of the surface. Ports of a part that opens
    into one body of liquid share one junction. A gas cushion holds its junction where no surface does.
    """
    loop = LoopNetwork(build, layout, Network(build.coolant.state), frozenset(stopped))
    for placement in layout.placed:
        part = build.part(placement.part)
        _add_junctions(loop.network, part, placement)
        _add_inside(loop, part, placement)
    for run in layout.runs:
        path = build.run_path(layout, run)
        (_, start), (_, end) = build.port(run.start), build.port(run.end)
        loop.paths[run.id] = path
        loop.elements_of[run.id] = (run.id,)
        element = run.element(build.tube(run.tube), path, start, end)
        loop.network.add_element(run.id, loop.junction_of(run.start), loop.junction_of(run.end), element)
    for part_id in layout.placements:
        _hold_by_cushion(loop.network, build.part(part_id))
    return loop


def _add_junctions(network: Network, part: Part, placement: Placement) -> None:
    place = placement.place
    for name, spot in part.inner_nodes.items():
        network.add_junction(f"{part.id}/{name}", _elevation(place.spot(spot).height_mm))
    if not part.merges_ports:
        for port in part.ports.values():
            network.add_junction(f"{part.id}.{port.name}", _elevation(place.spot(port.spot).height_mm))
        return
    if part.surface_mm is not None:
        network.add_junction(part.id, _elevation(placement.height_mm + part.surface_mm), pressure=0.0)
        return
    first: Port = next(iter(part.ports.values()))
    network.add_junction(part.id, _elevation(place.spot(first.spot).height_mm))


def _add_inside(loop: LoopNetwork, part: Part, placement: Placement) -> None:
    names = []
    for path in part.paths_as_set(placement.setting(stopped=part.id in loop.stopped)):
        name = f"{part.id}/{path.name}" if path.name else part.id
        loop.network.add_element(name, loop.inside(part, path.start), loop.inside(part, path.end), path.element)
        names.append(name)
    loop.elements_of[part.id] = tuple(names)


def _hold_by_cushion(network: Network, part: Part) -> None:
    """Fix the pressure of a part with a gas cushion, unless something else in its body of liquid is fixed already."""
    if part.held_pressure_pa is None:
        return
    if all(network.junctions[name].pressure is None for name in _body_of(network, part.id)):
        network.junctions[part.id] = replace(network.junctions[part.id], pressure=part.held_pressure_pa)


def _body_of(network: Network, junction: str) -> set[str]:
    """All junctions that elements join to this one, itself included."""
    neighbours: defaultdict[str, list[str]] = defaultdict(list)
    for link in network.links.values():
        neighbours[link.start].append(link.end)
        neighbours[link.end].append(link.start)
    body, edge = {junction}, [junction]
    while edge:
        new = [name for name in neighbours[edge.pop()] if name not in body]
        body.update(new)
        edge.extend(new)
    return body


def _elevation(height_mm: float) -> float:
    return to_si(height_mm, "mm")
