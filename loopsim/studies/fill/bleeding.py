"""What a builder does about air in a high point: one answer for the air map, the fill plan and the offer of a port."""

from collections.abc import Iterator

from loopsim.parts import part_of
from loopsim.studies.fill.air_results import BledWhile, HighPoint, Where
from loopsim.studies.fill.places import opening_words
from loopsim.studies.results import CircuitFlow, OperatingPoint
from loopsim.units import GRAVITY, to_si

__all__ = ["bled_while", "bleed_remedy", "opened_words"]

_OPENED: dict[BledWhile, str] = {"pumps stand": "with the pumps off", "pumps run": "a little while the pumps run"}
INSIDE = (
    "no tube beside it reaches so high, so no bleed port helps: tilt the machine with the pumps off, turn the part "
    "until its ports are at its top, or burp it with short bursts of the pumps at full speed (common practice)"
)


def opened_words(when: BledWhile) -> str:
    """When an opening is opened: ``"with the pumps off"``; empty where never."""
    return _OPENED.get(when, "")


def bled_while(point: OperatingPoint, at: Where) -> BledWhile:
    """When an opening at a place lets liquid out: at rest below the level, else where the running pumps press it out.

    Parameters
    ----------
    point : OperatingPoint
        With the pumps that run, or stand, when it is to be bled.
    at : Where
    """
    circuit = next(iter(point.circuits_of(at.item)), None)
    if at.height < _surface(point, circuit):
        return "pumps stand"
    return "pumps run" if _is_pressed(point, circuit, at) else "never"


def bleed_remedy(point: OperatingPoint, high: HighPoint) -> str:
    """What lets the air of a high point out, of what can be done there."""
    if high.is_neck:
        return "beside the flow it does no harm there"
    if high.cap is not None:
        return _at_the_cap(opening_words(point.build, high.cap), high.bled_while)
    if high.is_stirred:
        return "stop and start the pump a few times while you bleed: the impeller may draw it in (common practice)"
    if high.takes_port:
        return f"put a bleed port there, to be opened {opened_words(high.bled_while)}, or tilt the machine"
    if not high.tube_reaches:
        return INSIDE
    return "tilt the machine, or raise the vessel: above its level a bleed port would let air in"


def _surface(point: OperatingPoint, circuit: CircuitFlow | None) -> float:
    """Height of the first vessel's surface as drawn; inf without one, for then the loop is full to its top [m]."""
    for part_id, placement in point.layout.placements.items():
        surface = point.build.part(part_id).surface_mm
        if surface is not None and (circuit is None or part_id in circuit.items):
            return to_si(placement.height_mm + surface, "mm")
    return float("inf")


def _is_pressed(point: OperatingPoint, circuit: CircuitFlow | None, at: Where) -> bool:
    """True where liquid stands higher than a high point, as the pumps run: by every port of its part or tube."""
    coolant = point.build.coolant if circuit is None else circuit.coolant
    weight = coolant.state.density * GRAVITY
    found = [
        point.pressures[port] / weight + to_si(point.build.port_spot(point.layout, port).height_mm, "mm")
        for port in _ports(point, at.item)
    ]
    return bool(found) and min(found) > at.height


def _ports(point: OperatingPoint, item: str) -> Iterator[str]:
    """Ports of a part, or at the ends of a tube run, whose pressure is known."""
    run = point.layout.runs_by_id.get(item)
    ends = None if run is None else (run.start, run.end)
    return (port for port in point.pressures if (part_of(port) == item if ends is None else port in ends))


def _at_the_cap(cap: str, when: BledWhile) -> str:
    """Open only where the pressure behind the cap is above the room's: at rest below the level, else as it runs."""
    if when == "never":
        return f"leave {cap} shut: it lies above the vessel's level, and air comes in; raise the vessel, or tilt"
    return f"open {cap} {opened_words(when)}, until liquid shows, a cloth around it"
