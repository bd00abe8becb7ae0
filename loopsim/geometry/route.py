"""A proposed way for a tube: the shortest along the plan's axes that keeps clear of what stands there."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loopsim.geometry.box import Box, distance_to_box, may_reach
from loopsim.geometry.path import Path
from loopsim.geometry.place import Spot
from loopsim.geometry.way_search import AXES, BEND_MM, SLACK, Ends, Point, Search, Way, holding, way_mm

__all__ = ["boxes_along", "route"]

FloatArray = NDArray[np.float64]
_TINY = 1e-3  # of a distance that is found by a search


def route(
    start: Spot,
    start_facing: Spot,
    end: Spot,
    end_facing: Spot,
    obstacles: Sequence[Box],
    *,
    radius_mm: float,
    clear_mm: float,
    room: Sequence[Point] | None = None,
    patience: float = math.inf,
) -> tuple[Spot, ...] | None:
    """Corners of the shortest orthogonal way between two ports, clear of obstacles at its height.

    The way keeps the start's height up to its last corner, which lies at the end's height; what reaches into the
    range between the two is an obstacle. Every bend has its full radius, also towards the ports.

    Parameters
    ----------
    start, end : Spot
        Port planes [mm].
    start_facing, end_facing : Spot
        Steps out of the ports, as from `Place.direction`. One that leads along no axis of the plan lets the way leave
        along the axes beside it; one that leads straight up or down, along any.
    obstacles : sequence of Box
        Parts, the parts at both ends included, reserved spaces, other tubes (`boxes_along`). One that a port lies in
        or on does not block the stretch at this port.
    radius_mm : float
        Of the bends; 0 for elbows.
    clear_mm : float
        From the centre line to an obstacle: half the tube's outside and what room one wants.
    room : sequence of (x, y), optional
        Corners of the room in plan; the way stays in the box around them, `clear_mm` from its sides [mm].
    patience : float
        Corners from which a search looks on before it gives up; one that finds its way seldom needs a thousand, while
        that there is none may take a hundred thousand.

    Returns
    -------
    corners : tuple of Spot or None
        From start to end, without the ports; None where there is no such way, or patience was at its end.

    Notes
    -----
    A* over corners: from each one the next may lie anywhere straight ahead or back across, on the lines on which
    shortest ways turn (along the edges of grown obstacles and of ports' fronts). One bend counts as 20 mm of tube.
    Turned boxes count as the box along the axes around them.
    """
    ends = Ends(start[:2], _leaving(start_facing), end[:2], _leaving(end_facing))
    for at_start, at_end in _heights_to_try(start, end, clear_mm):
        rects = [
            _grown([box for box in obstacles if box.low < high and box.high > low], clear_mm)
            for low, high in (at_start, at_end)
        ]
        corners = _planned(rects[0], rects[1], ends, radius_mm, clear_mm, room, patience)
        made = _at_heights(start, corners, end) if corners is not None else None
        if made is not None and (at_start == at_end or _slope_is_clear((start, *made, end), obstacles, clear_mm)):
            return made
    return None


def _heights_to_try(start: Spot, end: Spot, clear: float) -> Iterator[tuple[Point, Point]]:
    """Between which heights an obstacle counts, for the way and for its last stretch: as they are, then both as one."""
    reach = clear - SLACK
    one, other = ((spot.height_mm - reach, spot.height_mm + reach) for spot in (start, end))
    if one != other:
        yield one, other
    both = (min(one[0], other[0]), max(one[1], other[1]))
    yield both, both


def _planned(
    rects: FloatArray,
    at_end: FloatArray,
    ends: Ends,
    radius: float,
    clear: float,
    room: Sequence[Point] | None,
    patience: float,
) -> list[Point] | None:
    """Corners in plan: on the lines around the two ports, and on all lines where that is no direct way."""
    lined = np.concatenate((rects, at_end))
    search = Search(rects, at_end, _between(lined, ends, 2 * radius + clear), ends, radius, clear, room)
    near = search.corners(patience=patience)
    if near is not None and way_mm(ends, near) <= search.least_mm() + SLACK:
        return near
    most = math.inf if near is None else way_mm(ends, near) + BEND_MM * len(near)
    shorter = Search(rects, at_end, lined, ends, radius, clear, room).corners(most, patience)
    return near if shorter is None else shorter


def _at_heights(start: Spot, corners: list[Point], end: Spot) -> tuple[Spot, ...]:
    heights = [start.height_mm] * (len(corners) - 1) + [end.height_mm] * bool(corners)
    return tuple(Spot(x, y, height) for (x, y), height in zip(corners, heights, strict=True))


def _slope_is_clear(spots: Sequence[Spot], obstacles: Sequence[Box], clear: float) -> bool:
    """True if the stretch on which the way changes its height passes no obstacle too near."""
    a, b = np.array(spots[-3:-1] if len(spots) > 2 else spots, dtype=float)[:, None]
    ends = (spots[0], spots[-1])
    return all(
        distance_to_box(a, b, box)[0][0] >= clear - _TINY
        for box in obstacles
        if not any(_near(box, spot, clear) for spot in ends) and may_reach(a, b, box, clear - SLACK)[0]
    )


def _near(box: Box, spot: Spot, clear: float) -> bool:
    """True if a port lies in a box grown by the clearance."""
    return bool(holding(_grown([box], clear), spot[:2])[0])


def boxes_along(path: Path, radius_mm: float) -> list[Box]:
    """A tube as boxes, one for each of its straight stretches, the corners filled."""
    return [_around(a, b, radius_mm) for a, b in pairwise(path.spots)]


def _leaving(facing: Spot) -> tuple[Way, ...]:
    """Axes along which a tube may leave a port."""
    x, y, _ = facing
    if math.hypot(x, y) < 1e-3:
        return AXES
    return tuple(way for way in AXES if way[0] * x + way[1] * y > 0.5 * math.hypot(x, y))


def _grown(boxes: Sequence[Box], by: float) -> FloatArray:
    """Boxes along the axes around boxes, grown: least x and y, largest x and y."""
    rows = [(box.x - box.reach[0], box.y - box.reach[1], box.x + box.reach[0], box.y + box.reach[1]) for box in boxes]
    return np.asarray(np.array(rows, dtype=float).reshape(-1, 4) + np.array([-by, -by, by, by]))


def _between(rects: FloatArray, ends: Ends, beyond: float) -> FloatArray:
    """The obstacles around the two ports and between them."""
    low, high = np.minimum(ends.start, ends.end) - beyond, np.maximum(ends.start, ends.end) + beyond
    return np.asarray(rects[((rects[:, :2] < high) & (rects[:, 2:] > low)).all(axis=1)])


def _around(a: Spot, b: Spot, radius: float) -> Box:
    dx, dy = b.x_mm - a.x_mm, b.y_mm - a.y_mm
    length = math.hypot(dx, dy)
    cos, sin = (dx / length, dy / length) if length else (1.0, 0.0)
    low, high = sorted((a.height_mm, b.height_mm))
    middle = ((a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2)
    return Box(*middle, low - radius, high + radius, length / 2 + radius, radius, cos, sin)
