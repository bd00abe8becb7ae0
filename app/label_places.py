"""Where the labels of a plot go: beside what they name, off the lines, and never on one another."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Box", "Wanted", "along", "around", "place"]

FloatArray = NDArray[np.float64]

_GAP = 5.0  # between a label and what it names [px]
_CLEAR = 1.0  # between a label and any line [px]
_STEP = 3.0  # distance of the points at which a line is looked at [px]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the screen, y downwards [px]."""

    left: float
    top: float
    width: float
    height: float

    def overlap(self, other: "Box") -> float:
        """Area that both cover."""
        across = min(self.left + self.width, other.left + other.width) - max(self.left, other.left)
        down = min(self.top + self.height, other.top + other.height) - max(self.top, other.top)
        return max(across, 0.0) * max(down, 0.0)

    def grown(self, by: float) -> "Box":
        """The same with a margin all round."""
        return Box(self.left - by, self.top - by, self.width + 2 * by, self.height + 2 * by)

    def holds(self, points: FloatArray) -> int:
        """How many of the points, shape (n, 2), lie inside."""
        return int(_covered([self], points)[0])


@dataclass(frozen=True, slots=True)
class Wanted:
    """A label's size, and the upper left corners that would do, the best first [px]."""

    width: float
    height: float
    corners: Sequence[tuple[float, float]]


def place(labels: Sequence[Wanted], lines: Sequence[FloatArray], within: Box) -> list[Box]:
    """A place for each label, in turn.

    Parameters
    ----------
    labels : sequence of Wanted
        The most important first.
    lines : sequence of ndarray, shape (n, 2)
        What is drawn, in screen coordinates.
    within : Box
        The plot.
    """
    drawn = np.vstack([np.empty((0, 2)), *(_dotted(line) for line in lines)])
    placed: list[Box] = []
    for label in labels:
        boxes = [_inside(Box(x, y, label.width, label.height), within) for x, y in label.corners]
        crowd = np.array([sum(box.overlap(other) for other in placed) for box in boxes])
        costs = 1e3 * crowd + 30.0 * _covered([box.grown(_CLEAR) for box in boxes], drawn) + np.arange(len(boxes))
        placed.append(boxes[int(np.argmin(costs))])
    return placed


def _covered(boxes: Sequence[Box], points: FloatArray) -> NDArray[np.int_]:
    """How many of the points, shape (n, 2), lie inside each of the boxes, all at once: this runs while dragging."""
    left, top, width, height = np.array([(box.left, box.top, box.width, box.height) for box in boxes]).T[:, :, None]
    x, y = points[:, 0] - left, points[:, 1] - top
    return np.count_nonzero((x >= 0) & (x <= width) & (y >= 0) & (y <= height), axis=1)


def around(x: float, y: float, width: float, height: float) -> list[tuple[float, float]]:
    """Corners on both sides of a point, the nearest first; right before left, and above before below."""
    rights = [gap for reach in (8.0, 20.0, 40.0, 70.0) for gap in (reach, -reach - width)]
    downs = [step * height / 2 - height / 2 for step in (-1, 1, -2, 2, 0, -3, 3, -4, 4, -6, 6)]
    offsets = sorted(((dx, dy) for dx in rights for dy in downs), key=lambda each: _away(*each, width, height))
    return [(x + dx, y + dy) for dx, dy in offsets]


def _away(dx: float, dy: float, width: float, height: float) -> float:
    """Distance of a point from a label whose corner lies at `dx`, `dy` from it."""
    across, down = max(dx, -dx - width, 0.0), max(dy, -dy - height, 0.0)
    return float(np.hypot(across, down))


def along(line: FloatArray, width: float, height: float, first: float = 0.75) -> list[tuple[float, float]]:
    """Corners beside a line, shape (n, 2), beginning at the share `first` of its length."""
    if len(line) == 0:
        return [(0.0, 0.0)]
    dots = _dotted(line)
    shares = sorted(np.linspace(0.05, 0.97, 24), key=lambda share: abs(share - first))
    corners = []
    for share in shares:
        x, y = dots[int(share * (len(dots) - 1))]
        corners += [
            (x + _GAP, y - height - _GAP / 2),
            (x - width - _GAP, y - height - _GAP / 2),
            (x - width - _GAP, y + _GAP / 2),
            (x + _GAP, y + _GAP / 2),
        ]
    return corners


def _inside(box: Box, within: Box) -> Box:
    left = min(max(box.left, within.left + 2), within.left + within.width - box.width - 2)
    top = min(max(box.top, within.top + 2), within.top + within.height - box.height - 2)
    return Box(left, top, box.width, box.height)


def _dotted(line: FloatArray) -> FloatArray:
    """Points along a line at even distances."""
    if len(line) < 2:
        return line
    walked = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    at = np.arange(0.0, walked[-1] + _STEP, _STEP)
    return np.column_stack([np.interp(at, walked, line[:, 0]), np.interp(at, walked, line[:, 1])])
