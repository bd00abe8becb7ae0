"""Pumps and fans that are set to one speed together."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from loopsim.build import Build, Layout, edits
from loopsim.parts import Fan, Part, Pump
from loopsim.studies.words import listed
from loopsim.units import from_si, to_si

__all__ = ["SpeedGroup", "set_speeds", "speed_groups", "whole_percent"]

_PUMP_LEAST = 0.2  # share of full speed below which small pumps stall or do not start; a guess
_FULL = 1.0
_MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class SpeedGroup:
    """Alike pumps, or alike fans between the same spaces, at one speed.

    Attributes
    ----------
    name : str
        ``"Pump A and Pump B"``, or ``"5 fans from Fan 1"``.
    parts : tuple of str
        Ids.
    speed : float
        Largest of theirs as the layout has them, share of full speed.
    least, most : float
        Between which the speed may be set: from where they start for sure up to full speed, or to what it is now.
    """

    name: str
    parts: tuple[str, ...]
    speed: float
    least: float
    most: float


def speed_groups(build: Build, layout: Layout) -> tuple[SpeedGroup, ...]:
    """The groups of a layout, pumps first.

    Parameters
    ----------
    build : Build
    layout : Layout
    """
    alike: dict[object, list[Part]] = {}
    for kind in (Pump, Fan):
        for part_id, placement in layout.placements.items():
            part = build.part(part_id)
            if isinstance(part, kind):
                spaces = (placement.air_from, placement.air_to) if isinstance(part, Fan) else ()
                alike.setdefault((kind, part.curve, spaces), []).append(part)
    return tuple(_group(layout, parts) for parts in alike.values())


def _group(layout: Layout, parts: Sequence[Part]) -> SpeedGroup:
    speeds = [to_si(layout.placement(part.id).speed_percent, "percent") for part in parts]
    starts = [to_si(part.start_percent, "percent") if isinstance(part, Fan) else _PUMP_LEAST for part in parts]
    names = [part.name for part in parts]
    few = len(names) <= _MOST_NAMED
    name = listed(names) if few else f"{len(names)} {parts[0].title}s from {names[0]}"
    return SpeedGroup(name, tuple(part.id for part in parts), max(speeds), max(starts), max(_FULL, *speeds))


def set_speeds(build: Build, layout_name: str, groups: Sequence[SpeedGroup], speeds: Sequence[float]) -> Build:
    """The build with other speeds of its groups, shares of full speed."""
    for group, speed in zip(groups, speeds, strict=True):
        for part_id in group.parts:
            percent = from_si(float(speed), "percent")
            build = edits.change_placement(build, layout_name, part_id, speed_percent=percent).build
    return build


def whole_percent(speed: float) -> int:
    """A speed as it is set by hand [%]: rather a little faster than too slow, so that every limit still holds."""
    return ceil(from_si(speed, "percent") - 0.01)
