"""What a builder does about air in a high point: one answer for the air map and the fill plan."""

from collections.abc import Mapping

from loopsim.build import Build, Layout
from loopsim.studies.fill.air_results import HighPoint
from loopsim.studies.fill.places import opening_words
from loopsim.units import GRAVITY, to_si

__all__ = ["bleed_remedy", "surface_height"]


def surface_height(build: Build, layout: Layout) -> float:
    """Height of the first vessel's surface as drawn; inf without one, for then the loop is full to its top [m]."""
    for part_id, placement in layout.placements.items():
        surface = build.part(part_id).surface_mm
        if surface is not None:
            return to_si(placement.height_mm + surface, "mm")
    return float("inf")


def bleed_remedy(build: Build, layout: Layout, high: HighPoint, level: float, pressures: Mapping[str, float]) -> str:
    """What lets the air of a high point out, or why a port there would let air in.

    Parameters
    ----------
    build, layout : Build, Layout
    high : HighPoint
    level : float
        Of the vessel's surface [m].
    pressures : mapping of str to float
        Above ambient at the ports, as the pumps run or stand [Pa].
    """
    at_rest, running = high.height < level, _is_pressed(build, layout, high, pressures)
    if high.cap is not None:
        return _at_the_cap(opening_words(build, high.cap), at_rest, running)
    if high.verdict == "may clear" and high.speed <= 0:
        return "stop and start the pump a few times while you bleed: the impeller may draw it in (common practice)"
    if at_rest:
        return "put a bleed port there, to be opened with the pumps off, or tilt the machine"
    if running:
        return "put a bleed port there, to be opened a little while the pumps run, or tilt the machine"
    return "tilt the machine, or raise the vessel: above its level a bleed port would let air in"


def _is_pressed(build: Build, layout: Layout, high: HighPoint, pressures: Mapping[str, float]) -> bool:
    """True where liquid stands higher than a high point, as the pumps run: by every port of its part or tube."""
    run = layout.runs_by_id.get(high.at.item)
    own = {port for port in pressures if port.partition(".")[0] == high.at.item}
    ports = own if run is None else {run.start, run.end} & pressures.keys()
    weight = build.coolant.state.density * GRAVITY
    found = [pressures[port] / weight + to_si(build.port_spot(layout, port).height_mm, "mm") for port in ports]
    return bool(found) and min(found) > high.height


def _at_the_cap(cap: str, at_rest: bool, running: bool) -> str:
    """Open only where the pressure behind the cap is above the room's: at rest below the level, else as it runs."""
    if at_rest:
        return f"open {cap} with the pumps off until liquid shows, a cloth around it"
    if running:
        return f"open {cap} a little while the pumps run, until liquid shows, a cloth around it"
    return f"leave {cap} shut: it lies above the vessel's level, and air comes in; raise the vessel, or tilt"
