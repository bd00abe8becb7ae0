"""From a layout to its flow network."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property

from loopsim.build import Build, BuildCoolant, Layout, Placement
from loopsim.geometry import Path
from loopsim.media import State
from loopsim.network.bodies import Body, bodies
from loopsim.network.flow_network import Network
from loopsim.parts import Part, Pump, TubeRun
from loopsim.units import to_si

__all__ = ["Circuit", "LoopNetwork", "assemble"]

_HIGHEST = 1e7  # gauge pressure of a cushion that is used up, so that it is still a number; all bursts long before [Pa]
_SAME_PRESSURE = 1.0  # of a cushion [Pa]


@dataclass(frozen=True, eq=False)  # told apart by what they are: they stand for much in many dictionaries
class Circuit:
    """One connected body of liquid.

    Attributes
    ----------
    coolant : BuildCoolant
        What fills it: the coolant that the first of its vessels to name one names, else the build's first.
    body : Body
        Its junctions and elements.
    surfaces : tuple of str
        Ids of its vessels with a surface open to the air, in the order of the layout. The first holds the pressure;
        the levels of the others follow.
    other_coolants : tuple of str
        Ids of vessels that name another coolant than the one taken.
    cushion : str or None
        Id of the vessel whose gas holds the pressure, where no surface is open to the air.
    """

    coolant: BuildCoolant
    body: Body
    surfaces: tuple[str, ...]
    other_coolants: tuple[str, ...] = ()
    cushion: str | None = None


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
    circuits : tuple of Circuit
        The bodies of liquid in which something can flow.
    """

    build: Build
    layout: Layout
    network: Network
    stopped: frozenset[str]
    paths: dict[str, Path] = field(default_factory=dict)
    elements_of: dict[str, tuple[str, ...]] = field(default_factory=dict)
    circuits: tuple[Circuit, ...] = ()

    @cached_property
    def circuit_of(self) -> dict[str, Circuit]:
        """The circuit of each element by its name."""
        return {name: circuit for circuit in self.circuits for name in circuit.body.links}

    @cached_property
    def circuit_at(self) -> dict[str, Circuit]:
        """The circuit of each junction by its name."""
        return {name: circuit for circuit in self.circuits for name in circuit.body.junctions}

    def state_of(self, item_id: str) -> State:
        """What flows in a part or tube run; in a part without elements, what its circuit holds."""
        names = self.elements_of[item_id]
        if names:
            return self.network.state_in(names[0])
        circuit = self.circuit_at.get(item_id)
        return self.network.state if circuit is None else self.network.state_in(circuit.body.links[0])

    def junction_of(self, reference: str) -> str:
        """Name of the junction behind a port ``"part.port"``: its own, or that of the body of liquid it opens into."""
        if reference in self.network.junctions:
            return reference
        part_id, _, port = reference.partition(".")
        main = self.build.part(part_id).twins.get(port)
        return part_id if main is None else f"{part_id}.{main}"

    def items_in(self, body: Body) -> list[str]:
        """Ids of the parts and runs in a body of liquid."""
        links = set(body.links)
        found = self.elements_of.items()
        return [item for item, names in found if item in body.junctions or not links.isdisjoint(names)]

    def coolant_ml(self, item: str) -> float:
        """What a part or run holds as drawn [mL]."""
        if item not in self.paths:
            return self.build.part(item).coolant_ml
        return TubeRun.coolant_ml(self.build.tube(self.layout.run(item).tube), self.paths[item])

    def volume_of(self, circuit: Circuit) -> float:
        """Coolant in a circuit as drawn [m3]."""
        return to_si(sum(map(self.coolant_ml, self.items_in(circuit.body))), "ml")

    def cold_of(self, circuit: Circuit) -> float:
        """Temperature at which a circuit is filled: the room's, or the lowest at which its coolant is liquid [°C]."""
        return max(self.build.ambient.temperature_c, circuit.coolant.medium.lowest_temperature_c)

    def hold_cushion(self, circuit: Circuit, temperature_c: float) -> bool:
        """Hold a circuit's gas at the pressure at which it stands once its coolant has warmed from the room's.

        A coolant that would be frozen in the room counts from where it is liquid. True if that is another pressure.
        """
        assert circuit.cushion is not None
        pressure = min(self._cushion_pressure(circuit, circuit.cushion, temperature_c), _HIGHEST)
        before = self.network.junctions[circuit.cushion].pressure
        if before is not None and abs(pressure - before) <= _SAME_PRESSURE:
            return False
        self.hold(circuit.cushion, pressure)
        return True

    def is_used_up(self, circuit: Circuit) -> bool:
        """True where the swell takes up all of a circuit's gas."""
        return circuit.cushion is not None and self.network.junctions[circuit.cushion].pressure == _HIGHEST

    def _cushion_pressure(self, circuit: Circuit, vessel: str, temperature_c: float) -> float:
        """Gauge, inf where no gas is left [Pa]."""
        cushion = self.build.part(vessel).cushion
        assert cushion is not None
        medium, cold = circuit.coolant.medium, self.cold_of(circuit)
        return cushion.pressure(self.volume_of(circuit), medium, cold, temperature_c, self.build.ambient.pressure)

    def hold(self, junction: str, pressure: float) -> None:
        """Fix the static gauge pressure of a junction [Pa]."""
        self.network.junctions[junction] = replace(self.network.junctions[junction], pressure=pressure)

    def running_pumps(self) -> list[str]:
        """Ids of the pumps with power."""
        return [
            part_id
            for part_id in self.layout.placements
            if isinstance(self.build.part(part_id), Pump) and part_id not in self.stopped
        ]


def assemble(build: Build, layout: Layout, stopped: Collection[str] = ()) -> LoopNetwork:
    """The flow network of a layout, with some pumps stopped.

    In each circuit the first surface open to the air holds its junction at ambient pressure, at the height of the
    surface; where there is none, the first gas cushion holds its own at the coolant's stated temperature. Every other
    vessel takes in as much as it gives off. Ports of a part that opens into one body of liquid share one junction.
    """
    loop = LoopNetwork(build, layout, Network(build.coolant.state), frozenset(stopped))
    for placement in layout.placed:
        part = build.part(placement.part)
        _add_junctions(loop.network, part, placement)
        _add_inside(loop, part, placement)
    for run in layout.runs:
        (start_part, start), (end_part, end) = build.port(run.start), build.port(run.end)
        path = run.path(
            layout.placement(start_part.id).port_spots(start_part)[start.name],
            layout.placement(end_part.id).port_spots(end_part)[end.name],
        )
        loop.paths[run.id] = path
        loop.elements_of[run.id] = (run.id,)
        element = run.element(build.tube(run.tube), path, start, end)
        loop.network.add_element(run.id, loop.junction_of(run.start), loop.junction_of(run.end), element)
    loop.circuits = tuple(_circuits(loop))
    for circuit in loop.circuits:
        _fill(loop, circuit)
    _hold_lone_vessels(loop)
    return loop


def _add_junctions(network: Network, part: Part, placement: Placement) -> None:
    for name, spot in part.inner_nodes.items():
        network.add_junction(f"{part.id}/{name}", _elevation(placement.place_of(part).spot(spot).height_mm))
    spots = placement.port_spots(part)
    if not part.merges_ports:
        for name, spot in ((name, spot) for name, spot in spots.items() if name not in part.twins):
            network.add_junction(f"{part.id}.{name}", _elevation(spot.height_mm))
        return
    if part.surface_mm is not None:
        network.add_junction(part.id, _elevation(placement.height_mm + part.surface_mm))
        return
    first = next(iter(spots.values()))
    network.add_junction(part.id, _elevation(first.height_mm))


def _add_inside(loop: LoopNetwork, part: Part, placement: Placement) -> None:
    names = []
    behind = {name: f"{part.id}/{name}" for name in part.inner_nodes}
    for path in part.paths_as_set(placement.setting(stopped=part.id in loop.stopped)):
        name = f"{part.id}/{path.name}" if path.name else part.id
        start, end = (behind.get(end) or loop.junction_of(f"{part.id}.{end}") for end in (path.start, path.end))
        loop.network.add_element(name, start, end, path.element)
        names.append(name)
    loop.elements_of[part.id] = tuple(names)
    if part.meeting_law is not None:
        loop.network.add_meeting(part.id, tuple(names), part.meeting_law)


def _circuits(loop: LoopNetwork) -> Iterable[Circuit]:
    """Every body of liquid with elements, and what fills it."""
    vessels = [part for part_id in loop.layout.placements if (part := loop.build.part(part_id)).merges_ports]
    for body in bodies(loop.network):
        here = [part for part in vessels if part.id in body.junctions]
        named = [(part.id, part.circuit_coolant) for part in here if part.circuit_coolant is not None]
        coolant = loop.build.coolants_by_id[named[0][1]] if named else loop.build.coolant
        surfaces = tuple(part.id for part in here if part.is_vented)
        cushion = None if surfaces else next((part.id for part in here if part.cushion is not None), None)
        others = tuple(vessel for vessel, name in named if name != coolant.id)
        yield Circuit(coolant, body, surfaces, others, cushion)


def _fill(loop: LoopNetwork, circuit: Circuit) -> None:
    """Put the circuit's coolant into its elements, and hold its pressure."""
    if circuit.coolant is not loop.build.coolant:
        loop.network.states.update(dict.fromkeys(circuit.body.links, circuit.coolant.state))
    if circuit.surfaces:
        loop.hold(circuit.surfaces[0], 0.0)
    elif circuit.cushion is not None:
        loop.hold_cushion(circuit, circuit.coolant.temperature_c)


def _hold_lone_vessels(loop: LoopNetwork) -> None:
    """A vessel that nothing joins yet is at ambient pressure too."""
    joined = {part_id for circuit in loop.circuits for part_id in circuit.surfaces}
    for part_id in loop.layout.placements:
        if loop.build.part(part_id).is_vented and part_id not in joined:
            loop.hold(part_id, 0.0)


def _elevation(height_mm: float) -> float:
    return to_si(height_mm, "mm")
