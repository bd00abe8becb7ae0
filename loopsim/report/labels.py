"""Where the words of a drawing go: beside what they speak of, never on one another."""

import math
import unicodedata
from collections.abc import Iterable, Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = ["Box", "LabelField", "around", "leader", "needs_leader", "text_width"]

FloatArray = NDArray[np.float64]

# Per candidate before it; per point of a line that is covered; per point of its leader that something bars.
_RANK_COST, _LINE_COST, _BAR_COST = 0.08, 1.0, 1.0
_FAR = 2.6
_DISTANCES = (0.5, 2.0, 4.0, 7.0, 11.0, 16.0, 22.0, 30.0, 40.0)
_SLIDES = (0.0, -0.4, 0.4, -0.8, 0.8, -1.3, 1.3)  # along a side; up to 1 is beside it, beyond lies past the corner


def text_width(text: str, size: float) -> float:
    """Width of a line of sans-serif text, rather too wide than too narrow, in the unit of `size`."""
    return size * sum(_char_width(char) for char in text)


def _char_width(char: str) -> float:
    if unicodedata.east_asian_width(char) in "WF" or char in "mwMW@%":
        return 1.0
    return 0.4 if char in " .,:;|!'()ijlft" else 0.74 if char.isupper() else 0.64


class Box(NamedTuple):
    """A rectangle on paper, y downwards."""

    left: float
    top: float
    right: float
    bottom: float

    @classmethod
    def centred(cls, x: float, y: float, width: float, height: float) -> "Box":
        """By middle and size."""
        return cls(x - width / 2, y - height / 2, x + width / 2, y + height / 2)

    @property
    def middle(self) -> tuple[float, float]:
        """Its middle."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def contains(self, other: "Box") -> bool:
        """True if `other` lies inside."""
        return (
            self.left <= other.left
            and self.top <= other.top
            and other.right <= self.right
            and other.bottom <= self.bottom
        )

    def gap(self, other: "Box") -> float:
        """Distance between the nearest edges, 0 where they touch or overlap."""
        dx = max(other.left - self.right, self.left - other.right, 0.0)
        dy = max(other.top - self.bottom, self.top - other.bottom, 0.0)
        return math.hypot(dx, dy)

    def nearest(self, x: float, y: float) -> tuple[float, float]:
        """The point of the box that is nearest to a point."""
        return min(max(x, self.left), self.right), min(max(y, self.top), self.bottom)


def around(target: Box, width: float, height: float) -> Iterator[Box]:
    """Places for a label around what it names, the nearest first; above and below before the sides."""
    x, y = target.middle
    half_width, half_height = (target.right - target.left + width) / 2, (target.bottom - target.top + height) / 2
    for distance in _DISTANCES:
        reach_x, reach_y = half_width + distance, half_height + distance
        for slide in _SLIDES:
            yield Box.centred(x + slide * half_width, y - reach_y, width, height)
            yield Box.centred(x + slide * half_width, y + reach_y, width, height)
        for slide in _SLIDES:
            yield Box.centred(x + reach_x, y + slide * half_height, width, height)
            yield Box.centred(x - reach_x, y + slide * half_height, width, height)


class LabelField:
    """The paper while it is lettered: remembers what is taken.

    Parameters
    ----------
    limits : Box
        The paper; no label leaves it.
    lines : array_like, shape (n, 2)
        Points along drawn lines, which labels should rather not cover; the denser, the rather not.
    """

    def __init__(self, limits: Box, lines: FloatArray) -> None:
        self.limits, self.lines = limits, lines
        self.taken: list[Box] = []

    def take(self, box: Box) -> None:
        """Keep labels off a box."""
        self.taken.append(box)

    def place(self, candidates: Iterable[Box], target: Box | None = None) -> Box | None:
        """The best free candidate, taken from now on; None if there is none.

        Earlier candidates are the better ones. With a `target`, which the label names from beside it, drawn lines
        are rather not covered, and the way to the target rather not barred; without, the label may lie on a line.
        """
        taken = np.array(self.taken).reshape(-1, 4)
        free = [(rank, box) for rank, box in enumerate(candidates) if self._is_free(box, taken)]
        costs = [(_RANK_COST * rank + self._cost(box, target, taken), box) for rank, box in free]
        if not costs:
            return None
        best = min(costs, key=lambda pair: pair[0])[1]
        self.take(best)
        if target and needs_leader(best, target):
            self.lines = np.concatenate([self.lines, _way(best, target)])
        return best

    def covers_line(self, box: Box) -> bool:
        """True if a label here would lie on something drawn."""
        return self._covered(box) > 0

    def _is_free(self, box: Box, taken: FloatArray) -> bool:
        left, top, right, bottom = taken.T
        apart = (left >= box.right) | (right <= box.left) | (top >= box.bottom) | (bottom <= box.top)
        return self.limits.contains(box) and bool(apart.all())

    def _cost(self, box: Box, target: Box | None, taken: FloatArray) -> float:
        return _LINE_COST * self._covered(box) + _BAR_COST * _barred(box, target, taken) if target else 0.0

    def _covered(self, box: Box) -> int:
        x, y = self.lines[:, 0], self.lines[:, 1]
        return int(((x > box.left) & (x < box.right) & (y > box.top) & (y < box.bottom)).sum())


def needs_leader(box: Box, target: Box) -> bool:
    """True if a label stands so far off that a line must lead to what it names."""
    return box.gap(target) >= _FAR


def leader(box: Box, target: Box) -> tuple[tuple[float, float], tuple[float, float]]:
    """Ends of that line, at the label and at what it names."""
    end = target.nearest(*box.middle)
    return box.nearest(*end), end


def _way(box: Box, target: Box) -> FloatArray:
    return np.linspace(*leader(box, target), 12)[1:-1]


def _barred(box: Box, target: Box, taken: FloatArray) -> int:
    """How many of a few points on the way from a label to its target lie on something else."""
    x, y = (column[:, None] for column in _way(box, target).T)
    left, top, right, bottom = taken.T
    return int(((x > left) & (x < right) & (y > top) & (y < bottom)).any(axis=1).sum())
