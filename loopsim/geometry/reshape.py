"""How the corners of a tube run follow when something at one place of it moves.

A stretch along an axis of the plan stays along it: across the stretch its far end is carried along, lengthwise it
only grows or shrinks. Points are (x, y) in millimetres from the start port over the corners to the end port.
"""

from collections.abc import Sequence
from itertools import pairwise

__all__ = ["Point", "carried", "insertion", "pulled"]

Point = tuple[float, float]

_SAME_MM = 0.05


def carried(points: Sequence[Point], shifts: dict[int, Point]) -> list[Point]:
    """The points after those named in `shifts` have moved; both ends stay unless they are named."""
    moved = [*points]
    for index, shift in shifts.items():
        moved[index] = _plus(points[index], shift)
    for index, shift in shifts.items():
        for step in (-1, 1):
            _carry(points, moved, shifts, index, step, shift)
    return moved


def pulled(points: Sequence[Point], index: int, shift: Point) -> list[Point]:
    """The points after one corner was pulled, its neighbours carried along where stretches must stay orthogonal.

    A corner whose stretch leads straight to a port cannot leave the port's line; one held from both sides is let go.
    """
    held = [_held(points, index, axis) for axis in (0, 1)]
    if 2 in held:
        moved = [*points]
        moved[index] = _plus(points[index], shift)
        return moved
    return carried(points, {index: (0.0 if held[0] else shift[0], 0.0 if held[1] else shift[1])})


def insertion(points: Sequence[Point], at: Point) -> tuple[int, float, Point]:
    """Where a new corner near `at` belongs: the stretch's number, the share of its length, the point on it."""
    choices = [(_nearest(a, b, at), number) for number, (a, b) in enumerate(pairwise(points))]
    (_, share, point), number = min(choices)
    return number, share, point


def _carry(
    points: Sequence[Point], moved: list[Point], shifts: dict[int, Point], index: int, step: int, shift: Point
) -> None:
    """Hand a shift on from point to point, as far as stretches along an axis need it."""
    dx, dy = shift
    while 0 < index + step < len(points) - 1 and index + step not in shifts:
        here, there = points[index], points[index + step]
        dx, dy = dx * _same(here[0], there[0]), dy * _same(here[1], there[1])
        if not dx and not dy:
            return
        index += step
        moved[index] = _plus(moved[index], (dx, dy))


def _held(points: Sequence[Point], index: int, axis: int) -> int:
    """On how many sides an unbroken line of stretches holds a corner's coordinate to a port's."""
    return sum(all(_same(a[axis], points[index][axis]) for a in side) for side in (points[:index], points[index + 1 :]))


def _nearest(a: Point, b: Point, at: Point) -> tuple[float, float, Point]:
    along = (b[0] - a[0], b[1] - a[1])
    length = along[0] ** 2 + along[1] ** 2
    share = ((at[0] - a[0]) * along[0] + (at[1] - a[1]) * along[1]) / length if length else 0.0
    share = max(0.0, min(1.0, share))
    point = (a[0] + share * along[0], a[1] + share * along[1])
    return (point[0] - at[0]) ** 2 + (point[1] - at[1]) ** 2, share, point


def _plus(point: Point, shift: Point) -> Point:
    return point[0] + shift[0], point[1] + shift[1]


def _same(a: float, b: float) -> bool:
    return abs(a - b) < _SAME_MM
