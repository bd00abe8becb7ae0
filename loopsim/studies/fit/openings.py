"""Where a tube passes a wall through a hole that was cut for it: there it may leave the room."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Enclosure, WallOpening
from loopsim.geometry import TubeBody
from loopsim.geometry.polygon import holds

__all__ = ["within"]

FloatArray = NDArray[np.float64]

_SLACK_MM = 1e-6
# Of each wall: the axis across it, and the two axes along which an opening in it is measured.
_AXES = {
    "front": (1, 0, 2),
    "back": (1, 0, 2),
    "left": (0, 1, 2),
    "right": (0, 1, 2),
    "floor": (2, 0, 1),
    "lid": (2, 0, 1),
}


class _Passage(NamedTuple):
    """Where a tube passes an opening."""

    piece: int
    share: float  # of the piece's length
    back: float  # by what share of the piece the tube is clear of the wall


def within(body: TubeBody, enclosure: Enclosure) -> TubeBody:
    """What of a tube must stay in the room: all of it, but for what lies beyond holes in the walls that it fits into.

    A stretch that leaves through a hole and comes back through a wall stays in, for what it does there.
    """
    holes = [opening for opening in enclosure.openings if opening.kind == "hole"]
    passages = sorted({found for hole in holes for found in _passages(body, hole, enclosure)})
    if not passages:
        return body
    kept = [stretch for stretch in _stretches(body, passages) if _is_of_the_room(*stretch, body.radius_mm, enclosure)]
    if not kept:
        kept = [(body.starts[:0], body.ends[:0])]
    starts, ends = (np.concatenate(each) for each in zip(*kept, strict=True))
    points = np.concatenate((starts, ends)) if len(starts) else _middle(enclosure)
    low, high = points.min(axis=0) - body.radius_mm, points.max(axis=0) + body.radius_mm
    return replace(body, starts=starts, ends=ends, low=low, high=high, known={})


def _passages(body: TubeBody, hole: WallOpening, enclosure: Enclosure) -> Iterator[_Passage]:
    """Where the tube goes through a hole without touching its rim."""
    across, one, other = _AXES[hole.wall]
    at = {"back": enclosure.width_mm, "right": enclosure.length_mm, "lid": enclosure.clear_height_mm}.get(
        hole.wall, 0.0
    )
    before, after = body.starts[:, across] - at, body.ends[:, across] - at
    for piece in np.flatnonzero(before * after < 0):
        way = body.ends[piece] - body.starts[piece]
        length, share = float(np.linalg.norm(way)), float(before[piece] / (before[piece] - after[piece]))
        point, slants = body.starts[piece] + share * way, way / way[across]
        reach = body.radius_mm * np.sqrt(1.0 + slants**2)  # of the cut through the tube, along each axis
        rims = ((one, hole.along_mm, hole.length_mm), (other, hole.up_mm, hole.tall_mm))
        if all(abs(point[axis] - middle) + reach[axis] <= size / 2 + _SLACK_MM for axis, middle, size in rims):
            lean = float(np.linalg.norm(np.delete(slants, across)))  # tangent of its angle to the wall's normal
            yield _Passage(int(piece), share, body.radius_mm * (1.0 + lean) / length)


def _stretches(body: TubeBody, passages: list[_Passage]) -> Iterator[tuple[FloatArray, FloatArray]]:
    """The tube between one passage and the next, clear of the walls at both."""
    first = (0, 0.0, 0.0)
    for last in (*passages, (len(body.starts) - 1, 1.0, 0.0)):
        pieces = np.arange(first[0], last[0] + 1)
        begins, stops = np.zeros(len(pieces)), np.ones(len(pieces))
        begins[0], stops[-1] = first[1] + first[2], last[1] - last[2]
        is_left = stops > begins
        start, way = body.starts[pieces], body.ends[pieces] - body.starts[pieces]
        yield (start + begins[:, None] * way)[is_left], (start + stops[:, None] * way)[is_left]
        first = last


def _is_of_the_room(starts: FloatArray, ends: FloatArray, step_mm: float, enclosure: Enclosure) -> bool:
    """True for a stretch that comes into the room anywhere."""
    return any(_enters(start, end, step_mm, enclosure) for start, end in zip(starts, ends, strict=True))


def _enters(start: FloatArray, end: FloatArray, step_mm: float, enclosure: Enclosure) -> bool:
    count = 2 + int(np.linalg.norm(end - start) / step_mm)
    points = start + np.linspace(0.0, 1.0, count)[:, None] * (end - start)
    is_between = (points[:, 2] > 0) & (points[:, 2] < enclosure.clear_height_mm)
    return bool((is_between & holds(enclosure.corners, points[:, None, :2])).any())


def _middle(enclosure: Enclosure) -> FloatArray:
    return np.array([(enclosure.length_mm, enclosure.width_mm, enclosure.clear_height_mm)]) / 2
