"""What a builder does about air in a high point: one answer for the air map and the fill plan."""

from collections.abc import Iterator

from loopsim.studies.fill.air_results import HighPoint
from loopsim.studies.fill.places import opening_words
from loopsim.studies.results import CircuitFlow, OperatingPoint
from loopsim.units import GRAVITY, to_si

__all__ = ["bleed_remedy"]


def bleed_remedy(point: OperatingPoint, high: HighPoint) -> str:
    """What lets the air of a high point out, or why a port there would let air in.

    Parameters
    ----------
    point : OperatingPoint
        With the pumps that run, or stand, when it is to be bled.
    high : HighPoint
    """
    circuit = next(iter(point.circuits_of(high.at.item)), None)
    at_rest, running = high.height < _surface(point, circuit), _is_pressed(point, circuit, high)
    if high.cap is not None:
        return _at_the_cap(opening_words(point.build, high.cap), at_rest, running)
    if high.verdict == "may clear" and high.speed <= 0:
        return "stop and start the pump a few times while you bleed: the impeller may draw it in (common practice)"
    if at_rest:
        return "put a bleed port there, to be opened with the pumps off, or tilt the machine"
    if running:
        return "put a bleed port there, to be opened a little while the pumps run, or tilt the machine"
    return "tilt the machine, or raise the vessel: above its level a bleed port would let air in"


def _surface(point: OperatingPoint, circuit: CircuitFlow | None) -> float:
    """Height of the first vessel's surface as drawn; inf without one, for then the loop is full to its top [m]."""
    for part_id, placement in point.layout.placements.items():
        surface = point.build.part(part_id).surface_mm
        if surface is not None and (circuit is None or part_id in circuit.items):
            return to_si(placement.height_mm + surface, "mm")
    return float("inf")


def _is_pressed(point: OperatingPoint, circuit: CircuitFlow | None, high: HighPoint) -> bool:
    """True where liquid stands higher than a high point, as the pumps run: by every port of its part or tube."""
    coolant = point.build.coolant if circuit is None else circuit.coolant
    weight = coolant.state.density * GRAVITY
    found = [
        point.pressures[port] / weight + to_si(point.build.port_spot(point.layout, port).height_mm, "mm")
        for port in _ports(point, high.at.item)
    ]
    return bool(found) and min(found) > high.height


def _ports(point: OperatingPoint, item: str) -> Iterator[str]:
    """Ports of a part, or at the ends of a tube run, whose pressure is known."""
    run = point.layout.runs_by_id.get(item)
    ends = None if run is None else (run.start, run.end)
    return (port for port in point.pressures if (port.partition(".")[0] == item if ends is None else port in ends))


def _at_the_cap(cap: str, at_rest: bool, running: bool) -> str:
    """Open only where the pressure behind the cap is above the room's: at rest below the level, else as it runs."""
    if at_rest:
        return f"open {cap} with the pumps off until liquid shows, a cloth around it"
    if running:
        return f"open {cap} a little while the pumps run, until liquid shows, a cloth around it"
    return f"leave {cap} shut: it lies above the vessel's level, and air comes in; raise the vessel, or tilt"
