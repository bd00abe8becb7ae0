"""Polygons in plan: what lies inside, and whether edges cross."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

__all__ = ["crossing_edges", "holds"]

Point = tuple[float, float]
FloatArray = NDArray[np.float64]
_ON_MM = 1e-6  # so near to an edge counts as on it
_TOUCH_MM = 1e-5  # a shape may reach so far over an edge: parts stand against walls


def holds(corners: Sequence[Point], shapes: FloatArray) -> NDArray[np.bool_]:
    """Which convex shapes lie wholly inside a polygon; touching its edges is inside.

    Parameters
    ----------
    corners : sequence of (x, y)
        Of the polygon, in order, not crossing itself [mm].
    shapes : ndarray, shape (n, k, 2)
        Corners of each shape, in order [mm].

    Returns
    -------
    inside : ndarray of bool, shape (n,)
    """
    ring = np.array(corners, dtype=float)
    starts, ends = ring, np.roll(ring, -1, axis=0)
    inner = _drawn_in(shapes)
    sides = np.roll(inner, -1, axis=1)
    within = _points_inside(starts, ends, inner.reshape(-1, 2)).reshape(inner.shape[:2]).all(axis=1)
    cut = _cross_properly(inner[:, :, None], sides[:, :, None], starts, ends).any(axis=(1, 2))
    notched = _strictly_in_convex(inner, ring).any(axis=1)  # a corner of the room reaches into the shape
    return np.asarray(within & ~cut & ~notched)


def crossing_edges(corners: Sequence[Point]) -> tuple[int, int] | None:
    """Numbers, from 0, of two edges of a polygon that cross, the first corner's edge being 0; None if none do."""
    ring = np.array(corners, dtype=float)
    starts, ends = ring, np.roll(ring, -1, axis=0)
    crossed = np.argwhere(_cross_properly(starts[:, None], ends[:, None], starts, ends))
    return (int(crossed[0][0]), int(crossed[0][1])) if len(crossed) else None


def _drawn_in(shapes: FloatArray) -> FloatArray:
    """The shapes a little smaller about their middles, so that what only touches an edge is clear of it."""
    to_middle = shapes.mean(axis=1, keepdims=True) - shapes
    reach = np.maximum(np.linalg.norm(to_middle, axis=-1, keepdims=True), _TOUCH_MM)
    return np.asarray(shapes + to_middle * (_TOUCH_MM / reach))


def _points_inside(starts: FloatArray, ends: FloatArray, points: FloatArray) -> NDArray[np.bool_]:
    """Even-odd rule: a ray to the right crosses the ring an odd number of times."""
    x, y = points[:, None, 0], points[:, None, 1]
    dy = ends[:, 1] - starts[:, 1]
    spans = (starts[:, 1] <= y) != (ends[:, 1] <= y)
    at = starts[:, 0] + (y - starts[:, 1]) / np.where(dy == 0, 1.0, dy) * (ends[:, 0] - starts[:, 0])
    return np.asarray((spans & (x < at)).sum(axis=1) % 2 == 1)


def _cross_properly(a: FloatArray, b: FloatArray, c: FloatArray, d: FloatArray) -> NDArray[np.bool_]:
    """Whether stretches a-b and c-d cross at a point inside both; touching is no crossing."""
    one, two = _side(a, b, c), _side(a, b, d)
    three, four = _side(c, d, a), _side(c, d, b)
    return np.asarray((one * two < 0) & (three * four < 0))


def _side(a: FloatArray, b: FloatArray, point: FloatArray) -> FloatArray:
    """How far a point lies to the left of the line from a to b [mm]; 0 within rounding."""
    along, to = b - a, point - a
    length = np.maximum(np.linalg.norm(along, axis=-1), 1e-30)
    off = (along[..., 0] * to[..., 1] - along[..., 1] * to[..., 0]) / length
    return np.asarray(np.where(np.abs(off) <= _ON_MM, 0.0, off))


def _strictly_in_convex(shapes: FloatArray, points: FloatArray) -> NDArray[np.bool_]:
    """Which points lie inside which convex counter-clockwise shapes, not on their edges; shape (shapes, points)."""
    starts, ends = shapes[:, :, None], np.roll(shapes, -1, axis=1)[:, :, None]
    return np.asarray((_side(starts, ends, points) > 0).all(axis=1))
