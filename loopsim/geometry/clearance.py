"""Room between tubes, and between tubes and boxes.

A tube is taken as round along its centre line. At a port it ends flat: there the line is drawn in by the radius, so
that the round end which the test sees lies within the tube. Arcs count as chords of 7.5 degrees, which lie within
0.2 % of the bend's radius.
"""

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loopsim.geometry.box import Box, distance_to_box, may_reach
from loopsim.geometry.path import Path
from loopsim.geometry.place import Spot

__all__ = ["Approach", "TubeBody", "body", "segment_distances", "to_box", "to_tube"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Approach:
    """Where two things come nearest.

    Attributes
    ----------
    distance_mm : float
        Between two centre lines, or from a centre line to a box.
    at : Spot
        On the first centre line.
    other : Spot
        On the second one, or `at` again.
    """

    distance_mm: float
    at: Spot
    other: Spot


@dataclass(frozen=True, eq=False)
class TubeBody:
    """A tube of some outer radius along a path, in straight pieces.

    Attributes
    ----------
    radius_mm : float
        Outer.
    starts, ends : ndarray, shape (n, 3)
        Of the pieces [mm].
    low, high : ndarray, shape (3,)
        Corners of the box along the axes that holds it, its wall included [mm].
    known : dict
        What was last found against another, by its id: the other, and the answer.
    """

    radius_mm: float
    starts: FloatArray
    ends: FloatArray
    low: FloatArray
    high: FloatArray
    known: dict[str, tuple[Any, Any]] = field(default_factory=dict)


def body(path: Path, radius_mm: float) -> TubeBody:
    """The tube along a path; kept with the path, which never changes."""
    made: TubeBody = path.keep("body", _made, path.line, radius_mm)
    return made


def _made(line: FloatArray, radius_mm: float) -> TubeBody:
    inner = _drawn_in(line, radius_mm)
    return TubeBody(radius_mm, inner[:-1], inner[1:], line.min(axis=0) - radius_mm, line.max(axis=0) + radius_mm)


def to_tube(one: TubeBody, other: TubeBody) -> Approach | None:
    """Where two tubes come nearest to each other; None where they are certainly clear of each other."""
    clear = one.radius_mm + other.radius_mm
    a_low, a_high = np.minimum(one.starts, one.ends), np.maximum(one.starts, one.ends)
    b_low, b_high = np.minimum(other.starts, other.ends), np.maximum(other.starts, other.ends)
    gap = np.maximum(b_low[None] - a_high[:, None], a_low[:, None] - b_high[None]).max(axis=-1)
    i, j = np.nonzero(gap < clear)
    if not len(i):
        return None
    distance, at, there = segment_distances(one.starts[i], one.ends[i], other.starts[j], other.ends[j])
    nearest = int(distance.argmin())
    return Approach(float(distance[nearest]), _spot(at[nearest]), _spot(there[nearest]))


def to_box(one: TubeBody, box: Box, beyond: tuple[FloatArray, float] | None = None) -> Approach | None:
    """Where a tube comes nearest to a box; None where it is certainly clear of it.

    Parameters
    ----------
    one : TubeBody
    box : Box
    beyond : (ndarray of shape (3,), float), optional
        A point and a distance: pieces that lie within it are passed over, as a run has to leave its port.
    """
    reach = np.array([*box.reach, (box.high - box.low) / 2]) + one.radius_mm
    middle = np.array([box.x, box.y, (box.low + box.high) / 2])
    low, high = np.minimum(one.starts, one.ends), np.maximum(one.starts, one.ends)
    near: NDArray[np.bool_] = np.asarray(((low < middle + reach) & (high > middle - reach)).all(axis=1))
    if beyond is not None:
        point, within = beyond
        near &= np.maximum(*(np.linalg.norm(each - point, axis=1) for each in (one.starts, one.ends))) > within
    if not near.any():
        return None
    near[near] = may_reach(one.starts[near], one.ends[near], box, one.radius_mm)
    if not near.any():
        return None
    distance, at = distance_to_box(one.starts[near], one.ends[near], box)
    nearest = int(distance.argmin())
    return Approach(float(distance[nearest]), _spot(at[nearest]), _spot(at[nearest]))


def segment_distances(
    a: FloatArray, b: FloatArray, c: FloatArray, d: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Least distances between straight stretches a-b and c-d, and the points where they are.

    Parameters
    ----------
    a, b, c, d : ndarray, shape (n, 3)
        [mm]

    Returns
    -------
    distance : ndarray, shape (n,)
        [mm]
    on_first, on_second : ndarray, shape (n, 3)
        [mm]

    References
    ----------
    Two lines come nearest where the stretch between them is at right angles to both; beyond a stretch's end that
    end counts. C. Ericson, Real-Time Collision Detection (2005), section 5.1.9, the idea from memory. Checked in
    tests/geometry/test_clearance.py.
    """
    u, v, w = b - a, d - c, a - c
    uu, vv, uv = _dot(u, u), _dot(v, v), _dot(u, v)
    uw, vw = _dot(u, w), _dot(v, w)
    spread = uu * vv - uv**2
    parallel = spread <= 1e-12 * uu * vv
    along = np.where(parallel, 0.0, (uv * vw - vv * uw) / np.where(parallel, 1.0, spread)).clip(0.0, 1.0)
    there = _share(uv * along + vw, vv)
    along = _share(uv * there - uw, uu)  # the second stretch may have ended before: look back from where it did
    on_first, on_second = a + along[:, None] * u, c + there[:, None] * v
    return np.asarray(np.linalg.norm(on_first - on_second, axis=1)), on_first, on_second


def _share(of: FloatArray, square: FloatArray) -> FloatArray:
    """A share of a stretch, from 0 to 1; 0 where the stretch has no length."""
    return np.asarray(np.where(square > 0, of / np.where(square > 0, square, 1.0), 0.0).clip(0.0, 1.0))


def _dot(u: FloatArray, v: FloatArray) -> FloatArray:
    return np.asarray((u * v).sum(axis=-1))


def _drawn_in(line: FloatArray, by_mm: float) -> FloatArray:
    """A line shortened at both ends; one that is too short for it becomes its middle."""
    steps = np.linalg.norm(np.diff(line, axis=0), axis=1)
    along = np.concatenate(([0.0], np.cumsum(steps)))
    first, last = by_mm, along[-1] - by_mm
    if last <= first:
        first = last = along[-1] / 2
    inner = along[(along > first) & (along < last)]
    places = np.concatenate(([first], inner, [last]))
    return np.stack([np.interp(places, along, line[:, axis]) for axis in range(3)], axis=1)


def _spot(point: FloatArray) -> Spot:
    return Spot(float(point[0]), float(point[1]), float(point[2]))
