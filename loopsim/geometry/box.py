"""Boxes that stand upright, turned in plan: where they overlap, and how far a line stays away from them."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from loopsim.geometry.place import Outline, Place

__all__ = ["Box", "box_of", "distance_to_box", "may_reach", "overlapping"]

FloatArray = NDArray[np.float64]
_STEPS = 60  # of the search along a stretch, each leaves two thirds of it


class Box(NamedTuple):
    """An upright box: its middle in plan, its heights, half its length and width, and how it is turned [mm]."""

    x: float
    y: float
    low: float
    high: float
    half_length: float
    half_width: float
    cos: float = 1.0
    sin: float = 0.0

    @property
    def reach(self) -> tuple[float, float]:
        """Half of what it takes along the plan's axes."""
        return (
            abs(self.cos) * self.half_length + abs(self.sin) * self.half_width,
            abs(self.sin) * self.half_length + abs(self.cos) * self.half_width,
        )

    def holds(self, x: float, y: float) -> bool:
        """True if a place in plan lies within it."""
        dx, dy = x - self.x, y - self.y
        along, across = self.cos * dx + self.sin * dy, self.cos * dy - self.sin * dx
        return abs(along) <= self.half_length and abs(across) <= self.half_width


def box_of(place: Place, outline: Outline) -> Box:
    """The box that an outline, lying flat, takes up where it is placed."""
    lying = outline.lying(place.lie)
    cos, sin = place.turn
    top = place.height_mm + lying.height_mm
    return Box(place.x_mm, place.y_mm, place.height_mm, top, lying.length_mm / 2, lying.width_mm / 2, cos, sin)


def overlapping(
    boxes: Sequence[Box] | FloatArray, others: Sequence[Box] | FloatArray, slack_mm: float = 0.01
) -> NDArray[np.bool_]:
    """Which boxes reach into which others by more than a slack; separating axes, so exact.

    Parameters
    ----------
    boxes, others : sequence of Box, or ndarray of shape (n, 8)
        An array has the fields of a box in each row.

    Returns
    -------
    overlap : ndarray of bool, shape (boxes, others)
    """
    a, b = (np.array(each, dtype=float).reshape(-1, 8) for each in (boxes, others))
    a, b = a[:, None, :], b[None, :, :]
    apart = np.minimum(a[..., 3], b[..., 3]) - np.maximum(a[..., 2], b[..., 2]) <= slack_mm
    dx, dy = b[..., 0] - a[..., 0], b[..., 1] - a[..., 1]
    cos = np.abs(a[..., 6] * b[..., 6] + a[..., 7] * b[..., 7])  # of the angle between their axes
    sin = np.abs(a[..., 6] * b[..., 7] - a[..., 7] * b[..., 6])
    for one, other in ((a, b), (b, a)):
        along = np.abs(one[..., 6] * dx + one[..., 7] * dy)
        across = np.abs(one[..., 6] * dy - one[..., 7] * dx)
        length, width = other[..., 4], other[..., 5]
        apart = apart | (one[..., 4] + cos * length + sin * width - along <= slack_mm)
        apart = apart | (one[..., 5] + sin * length + cos * width - across <= slack_mm)
    return np.asarray(~apart)


def may_reach(starts: FloatArray, ends: FloatArray, box: Box, by_mm: float) -> NDArray[np.bool_]:
    """Which straight stretches enter a box grown by some millimetres on all sides: those that come so near, and a
    few that pass its edges a little further off; shape (n,).
    """
    half = np.array([box.half_length, box.half_width, (box.high - box.low) / 2]) + by_mm
    a, b = _in_box(starts, box), _in_box(ends, box)
    way = np.where(a == b, 1e-300, b - a)
    with np.errstate(over="ignore"):
        one, two = (-half - a) / way, (half - a) / way
    enters, leaves = np.minimum(one, two).max(axis=1), np.maximum(one, two).min(axis=1)
    return np.asarray((enters < leaves) & (enters < 1.0) & (leaves > 0.0))


def distance_to_box(starts: FloatArray, ends: FloatArray, box: Box) -> tuple[FloatArray, FloatArray]:
    """How near straight stretches come to a box, and where.

    Parameters
    ----------
    starts, ends : ndarray, shape (n, 3)
        [mm]
    box : Box

    Returns
    -------
    distance : ndarray, shape (n,)
        0 where a stretch enters the box [mm].
    at : ndarray, shape (n, 3)
        The point of each stretch that is nearest to it [mm].
    """
    a, b = _in_box(starts, box), _in_box(ends, box)
    half = np.array([box.half_length, box.half_width, (box.high - box.low) / 2])

    def away(share: FloatArray) -> FloatArray:
        beyond = np.abs(a + share[:, None] * (b - a)) - half
        return np.asarray(np.linalg.norm(np.maximum(beyond, 0.0), axis=1))

    # The distance to a convex body is a convex function of the way along a line: thirds close in on its least value.
    low, high = np.zeros(len(a)), np.ones(len(a))
    for _ in range(_STEPS):
        one, two = low + (high - low) / 3, high - (high - low) / 3
        nearer = away(one) <= away(two)
        high, low = np.where(nearer, two, high), np.where(nearer, low, one)
    middle = (low + high) / 2
    return away(middle), starts + middle[:, None] * (ends - starts)


def _in_box(points: FloatArray, box: Box) -> FloatArray:
    """Points in the box's own axes, about its middle."""
    dx, dy = points[:, 0] - box.x, points[:, 1] - box.y
    up = points[:, 2] - (box.low + box.high) / 2
    return np.stack((box.cos * dx + box.sin * dy, box.cos * dy - box.sin * dx, up), axis=1)
