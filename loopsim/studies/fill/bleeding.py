"""What a builder does about air in a high point: one answer for the air map and the fill plan."""

from collections.abc import Mapping

from loopsim.build import Build, Layout
from loopsim.studies.fill.air_results import HighPoint
from loopsim.studies.fill.places import opening_words
from loopsim.units import to_si

__all__ = ["bleed_remedy", "surface_height"]


def surface_height(build: Build, layout: Layout) -> float:
    """Height of the first vessel's surface as drawn; inf without one, for then the loop is full to its top [m]."""
    for part_id, placement in layout.placements.items():
        surface = build.part(part_id).surface_mm
        if surface is not None:
            return to_si(placement.height_mm + surface, "mm")
    return float("inf")


def bleed_remedy(build: Build, high: HighPoint, level: float, pressures: Mapping[str, float]) -> str:
    """What lets the air of a high point out, or why its cap stays shut.

    Parameters
    ----------
    build : Build
    high : HighPoint
    level : float
        Of the vessel's surface [m].
    pressures : mapping of str to float
        Above ambient at the ports, as the pumps run or stand [Pa].
    """
    if high.cap is not None:
        return _at_the_cap(opening_words(build, high.cap), high, level, pressures)
    if high.verdict == "may clear" and high.speed <= 0:
        return "stop and start the pump a few times while you bleed: the impeller may draw it in (common practice)"
    return "put a bleed port there, or tilt the machine"


def _at_the_cap(cap: str, high: HighPoint, level: float, pressures: Mapping[str, float]) -> str:
    """Open only where the pressure behind the cap is above the room's: at rest below the level, else as it runs."""
    if high.height < level:
        return f"open {cap} with the pumps off until liquid shows, a cloth around it"
    running = [each for port, each in pressures.items() if port.partition(".")[0] == high.at.item]
    if running and min(running) > 0:
        return f"open {cap} a little while the pumps run, until liquid shows, a cloth around it"
    return f"leave {cap} shut: it lies above the vessel's level, and air comes in; raise the vessel, or tilt"
