"""Least squares of a few unknowns within bounds, for fits that run when a build is opened.

The same as `scipy.optimize.least_squares`, which takes a quarter of a second to load; checked against it in
tests/elements/test_exchange_least_squares.py.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

__all__ = ["least_squares"]

FloatArray = NDArray[np.float64]

_STEPS, _SMALL_STEP, _SMALL_GAIN, _DIFFERENCE = 100, 1e-9, 1e-9, 1e-6
_LEAST_DAMPING, _MOST_DAMPING = 1e-9, 1e9


def least_squares(
    misses: Callable[[FloatArray], FloatArray], start: FloatArray, low: FloatArray, high: FloatArray
) -> FloatArray:
    """The unknowns at which the sum of the squared misses is least, by damped Gauss-Newton steps.

    An unknown that its bound holds back is left out of the step. Meant for smooth misses and unknowns of the order
    of one, such as logarithms.

    Parameters
    ----------
    misses : callable
        Of unknowns of shape (n,), giving misses of shape (m,), m >= n, all finite.
    start, low, high : ndarray, shape (n,)
        Start within the bounds, which may be infinite.
    """
    values, damping, found = start, 1e-3, misses(start)
    for _ in range(_STEPS):
        slopes = _slopes(misses, values, found, high)
        while True:
            trial = np.clip(values + _step(slopes, found, values, low, high, damping), low, high)
            there = misses(trial)
            if there @ there <= found @ found or damping > _MOST_DAMPING:
                break
            damping *= 10
        gain, moved = found @ found - there @ there, np.max(np.abs(trial - values))
        if gain < 0:
            break
        values, found, damping = trial, there, max(damping / 10, _LEAST_DAMPING)
        if moved < _SMALL_STEP or gain <= _SMALL_GAIN * (found @ found):
            break
    return values


def _slopes(
    misses: Callable[[FloatArray], FloatArray], values: FloatArray, found: FloatArray, high: FloatArray
) -> FloatArray:
    """Change of each miss with each unknown, by differences that stay within the bounds, shape (m, n)."""
    shifts = np.where(values + _DIFFERENCE <= high, _DIFFERENCE, -_DIFFERENCE)
    columns = [(misses(values + shift) - found) / shift.sum() for shift in np.diag(shifts)]
    return np.stack(columns, axis=1)


def _step(
    slopes: FloatArray, found: FloatArray, values: FloatArray, low: FloatArray, high: FloatArray, damping: float
) -> FloatArray:
    """Damped Gauss-Newton step of the unknowns that are free to move."""
    downhill = -slopes.T @ found
    free = ~(((values <= low) & (downhill < 0)) | ((values >= high) & (downhill > 0)))
    normal = slopes[:, free].T @ slopes[:, free]
    step = np.zeros(len(values))
    step[free] = np.linalg.solve(normal + damping * np.diag(np.diag(normal) + _DIFFERENCE), downhill[free])
    return step
