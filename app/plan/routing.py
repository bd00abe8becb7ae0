"""Where the corners of a run go while it is drawn: along the plan's axes, and into its end port from the front."""

import math
from collections.abc import Sequence

from app.plan.coordinates import snapped

__all__ = ["closing", "directions", "next_corner"]

Point = tuple[float, float]

_SAME_MM = 0.05
_STEEPEST_DIAGONAL = math.tan(math.radians(65))  # nearer to an axis than this, a stretch runs along it


def next_corner(last: Point, at: Point, free: bool) -> Point:
    """The corner that a click at `at` makes after `last`: along an axis, or at 45 degrees to it, unless `free`."""
    if free:
        return snapped(at[0], free=True), snapped(at[1], free=True)
    moves = directions(last, at)
    if all(moves):
        x = snapped(last[0] + moves[0] * (abs(at[0] - last[0]) + abs(at[1] - last[1])) / 2)
        return x, last[1] + moves[1] * abs(x - last[0])
    return (snapped(at[0]), last[1]) if moves[0] else (last[0], snapped(at[1]))


def directions(last: Point, at: Point) -> tuple[int, int]:
    """Along x and along y: 1, -1, or 0 for a stretch from `last` that is meant to go towards `at`."""
    dx, dy = at[0] - last[0], at[1] - last[1]
    signs = (-1 if dx < 0 else 1, -1 if dy < 0 else 1)
    if max(abs(dx), abs(dy)) < _STEEPEST_DIAGONAL * min(abs(dx), abs(dy)):
        return signs
    return (signs[0], 0) if abs(dx) >= abs(dy) else (0, signs[1])


def closing(
    start: Point, corners: Sequence[Point], end: Point, start_facing_deg: float, end_facing_deg: float, free: bool
) -> list[Point]:
    """All corners of a run that now ends at `end`, with those that are needed to arrive there along the axes."""
    last = corners[-1] if corners else start
    if free or _in_line(last, end):
        return [*corners]
    if not corners and _is_along_x(start_facing_deg) == _is_along_x(end_facing_deg):
        return _there_and_across(start, end, _is_along_x(start_facing_deg))
    arrives_along_x = _is_along_x(end_facing_deg) if corners else not _is_along_x(start_facing_deg)
    added = (last[0], end[1]) if arrives_along_x else (end[0], last[1])
    before = corners[-2] if len(corners) > 1 else start
    is_on_the_way = bool(corners) and before != last and _collinear(before, last, added)
    return [*(corners[:-1] if is_on_the_way else corners), added]


def _there_and_across(start: Point, end: Point, along_x: bool) -> list[Point]:
    """Two corners half way between ports that look along the same axis."""
    if along_x:
        middle = snapped((start[0] + end[0]) / 2)
        return [(middle, start[1]), (middle, end[1])]
    middle = snapped((start[1] + end[1]) / 2)
    return [(start[0], middle), (end[0], middle)]


def _is_along_x(facing_deg: float) -> bool:
    return abs(math.cos(math.radians(facing_deg))) > abs(math.sin(math.radians(facing_deg)))


def _in_line(a: Point, b: Point) -> bool:
    return abs(a[0] - b[0]) < _SAME_MM or abs(a[1] - b[1]) < _SAME_MM


def _collinear(a: Point, b: Point, c: Point) -> bool:
    return any(abs(a[axis] - b[axis]) < _SAME_MM and abs(b[axis] - c[axis]) < _SAME_MM for axis in (0, 1))
