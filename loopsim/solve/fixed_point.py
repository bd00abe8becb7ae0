"""A value that a map gives back: liquid, heat and air that belong together."""

from collections.abc import Callable
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

__all__ = ["fixed_point"]

FloatArray = NDArray[np.float64]

_REMEMBERED = 4  # rounds from which the next value is mixed
_RIDGE = 1e-12


def fixed_point(
    image: Callable[[FloatArray], FloatArray], start: FloatArray, tolerance: float, most: int
) -> tuple[FloatArray, float, int]:
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

    Returns
    -------
    value : ndarray, shape (n,)
        The last image.
    difference : float
        Between it and what it is the image of; above `tolerance` where rounds ran out.
    rounds : int
    """
    rounds: list[tuple[FloatArray, FloatArray]] = []
    value = start
    for count in range(1, most + 1):
        there = image(value)
        off = there - value
        difference = float(np.abs(off).max(initial=0.0))
        if difference <= tolerance:
            return there, difference, count
        rounds = [*rounds[-_REMEMBERED:], (value, off)]
        value = _next(rounds)
    return there, difference, most


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
