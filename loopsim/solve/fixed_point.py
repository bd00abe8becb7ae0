"""A value that a map gives back: liquid, heat and air that belong together."""

from collections.abc import Callable
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = ["Settling", "fixed_point"]

FloatArray = NDArray[np.float64]

_REMEMBERED = 4  # rounds from which the next value is mixed
_RIDGE = 1e-12


class Settling(NamedTuple):
    """How a map was repeated.

    Attributes
    ----------
    value : ndarray, shape (n,)
        The last image.
    difference : float
        Between it and what it is the image of.
    rounds : int
    is_settled : bool
        False where rounds ran out.
    """

    value: FloatArray
    difference: float
    rounds: int
    is_settled: bool


def fixed_point(
    image: Callable[[FloatArray], FloatArray], start: FloatArray, tolerance: float, most: int, left: float = 0.0
) -> Settling:
    """Repeat a map until it gives back what it got, with Anderson's acceleration.

    Plain repetition swings for ever where a loop is driven by the warmth that its own flow carries away. The mix of
    the last rounds whose differences cancel best is a secant step for all values at once.

    Parameters
    ----------
    image : callable
        The map, ndarray of shape (n,) to the same.
    start : ndarray, shape (n,)
    tolerance : float
        Largest difference between a value and its image.
    most : int
        Rounds.
    left : float
        It is settled too where no more than this is left to go from the last image. A map that brings every value
        nearer by the share ``q``, the last difference over the one before, has ``q / (1 - q)`` of the last left.
    """
    rounds: list[tuple[FloatArray, FloatArray]] = []
    value, before = start, 0.0
    for count in range(1, most + 1):
        there = image(value)
        off = there - value
        difference = float(np.abs(off).max(initial=0.0))
        if difference <= tolerance or (difference < before and difference**2 / (before - difference) <= left):
            return Settling(there, difference, count, True)
        before = difference
        rounds = [*rounds[-_REMEMBERED:], (value, off)]
        value = _next(rounds)
    return Settling(there, difference, most, False)


def _next(rounds: list[tuple[FloatArray, FloatArray]]) -> FloatArray:
    value, off = rounds[-1]
    if len(rounds) < 2:
        return value + off
    moved = np.stack([b[0] - a[0] for a, b in pairwise(rounds)], axis=1)
    changed = np.stack([b[1] - a[1] for a, b in pairwise(rounds)], axis=1)
    normal = changed.T @ changed
    ridge = _RIDGE * float(np.trace(normal)) + 1e-300
    mix = np.linalg.solve(normal + ridge * np.eye(len(normal)), changed.T @ off)
    return np.asarray(value + off - (moved + changed) @ mix)
