"""Fans that are drawn blowing the other way than their sheet says."""

from collections.abc import Iterator, Sequence
from math import hypot

from loopsim.build import Build, Layout, Placement
from loopsim.geometry.place import Spot
from loopsim.network import ROOM
from loopsim.parts import Fan, Part
from loopsim.studies.results import Finding

__all__ = ["fans_against_their_sheet"]

_AT_WALL = 1.0  # nearer to a wall than so many of its sizes, a fan has the room on that side
_LEVEL = 0.7  # least share of a fan's direction that must lie in plan

Box = tuple[float, float, float, float]  # along a fan's direction from, to; across it from, to [mm]


def fans_against_their_sheet(build: Build, layout: Layout) -> tuple[Finding, ...]:
    """Fans whose arrow points from where their air goes to where it comes from.

    A space has no outline, so that this is told by what stands right ahead of a fan and right behind it: a filter or
    a radiator that opens into one of its two spaces; where there is none, a wall with the room beyond. Only where all
    that tells anything tells the same is a fan named; and as that is no more than likely, its air goes as its sheet
    says.

    Parameters
    ----------
    build : Build
    layout : Layout
    """
    in_air = tuple(each for each in layout.placed if "air_from" in build.part(each.part).placement_fields)
    # Kept with the room: while anything else is moved, no fan is looked at again.
    found: tuple[Finding, ...] = build.enclosure.keep(
        "fans", lambda *_: tuple(_against(build, in_air)), build.parts, in_air
    )
    return found


def _against(build: Build, in_air: Sequence[Placement]) -> Iterator[Finding]:
    for placement in in_air:
        part = build.part(placement.part)
        if isinstance(part, Fan):
            told = _told(build, in_air, part, placement)
            if told and not any(told):
                yield _finding(part, *placement.air_spaces(part))


def _finding(fan: Fan, start: str, end: str) -> Finding:
    text = (
        f"{fan.name}: is drawn blowing towards {start}, but by its sheet its air goes from {start} to {end}, and so it "
        "is worked out"
    )
    remedy = "turn it round, or swap on its sheet where its air comes from and goes to"
    return Finding("fan_against", fan.id, text, remedy=remedy, fix="turn_round")


def _told(build: Build, in_air: Sequence[Placement], fan: Fan, placement: Placement) -> list[bool]:
    """True for everything that agrees with the fan's arrow, False for what speaks against it; of parts, else a wall."""
    start, end = placement.air_spaces(fan)
    heading = placement.place_of(fan).direction(0.0)
    if start == end or hypot(heading.x_mm, heading.y_mm) < _LEVEL:
        return []
    parts = list(_told_by_parts(build, in_air, fan, placement, heading))
    if parts or ROOM not in (start, end):
        return parts
    ahead = _wall_ahead(build, fan, placement, heading)
    return [] if ahead is None else [ahead == (end == ROOM)]


def _told_by_parts(
    build: Build, in_air: Sequence[Placement], fan: Fan, placement: Placement, heading: Spot
) -> Iterator[bool]:
    start, end = placement.air_spaces(fan)
    own = _box(fan, placement, placement, heading)
    for other in in_air:
        part = build.part(other.part)
        beside = other.air_spaces(part)
        shared = ({start, end} & set(beside)) - {ROOM}
        if beside == (start, end) or len(shared) != 1 or not _passes_air(part, other):
            continue
        ahead = _ahead(own, _box(part, other, placement, heading))
        if ahead is not None:
            yield ahead == (shared == {end})


def _passes_air(part: Part, placement: Placement) -> bool:
    return bool(part.air_paths_as_set(placement.setting()))


def _box(part: Part, placement: Placement, fan: Placement, heading: Spot) -> Box:
    """What a part takes up along a fan's direction and across it, seen from the fan's middle."""
    corners = part.outline.corners(placement.place_of(part))
    away = [(corner.x_mm - fan.x_mm, corner.y_mm - fan.y_mm) for corner in corners]
    along = [x * heading.x_mm + y * heading.y_mm for x, y in away]
    across = [y * heading.x_mm - x * heading.y_mm for x, y in away]
    return min(along), max(along), min(across), max(across)


def _ahead(own: Box, other: Box) -> bool | None:
    """True for what stands right ahead, False right behind; None for what stands neither here nor there."""
    if other[3] <= own[2] or own[3] <= other[2]:
        return None
    middle = (other[0] + other[1]) / 2
    if other[0] >= own[1] or (middle > own[1] and other[0] > own[0]):
        return True
    return False if other[1] <= own[0] or (middle < own[0] and other[1] < own[1]) else None


def _wall_ahead(build: Build, fan: Fan, placement: Placement, heading: Spot) -> bool | None:
    """Whether the nearer wall on a fan's line is ahead of it; None where none is near."""
    room = build.enclosure
    along_x = abs(heading.x_mm) > abs(heading.y_mm)
    at, size = (placement.x_mm, room.length_mm) if along_x else (placement.y_mm, room.width_mm)
    forward = (heading.x_mm if along_x else heading.y_mm) > 0
    ahead, behind = (size - at, at) if forward else (at, size - at)
    return None if ahead == behind or min(ahead, behind) > _AT_WALL * fan.size_mm else ahead < behind
