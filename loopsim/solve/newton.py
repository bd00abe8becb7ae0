"""Damped Newton on the independent loop flows, for many variants of one network at once.

The pressure drops rise with the flows, so the flows that close all loops are the minimum of a strictly convex
function (the content of Cherry and Millar), whose slope along any direction the loop residuals give directly. A step
that overshoots is shortened until that slope has all but vanished; each step then lowers the content, from any start.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Iterate", "close_loops"]

FloatArray = NDArray[np.float64]
Drops = Callable[[FloatArray], tuple[FloatArray, FloatArray]]

MOST_STEPS = 100
TOLERANCE = 1e-11  # of a loop's imbalance, relative to the largest drop of its island
_ENOUGH = 0.1  # a step is long enough to stop searching where the content's slope is down to this share


@dataclass(frozen=True)
class Iterate:
    """Flows and what they cost.

    Attributes
    ----------
    flow, dp : ndarray, shape (links, v)
    residual : ndarray, shape (loops, v)
        Imbalance round each loop [Pa].
    steps : int
        Newton steps taken.
    converged : bool
    """

    flow: FloatArray
    dp: FloatArray
    residual: FloatArray
    steps: int
    converged: bool


def close_loops(
    drops: Drops, flow: FloatArray, loops: FloatArray, tolerance: Callable[[FloatArray], FloatArray]
) -> Iterate:
    """Find the loop flows at which the drops round every loop cancel.

    Parameters
    ----------
    drops : callable
        ``drops(flow) -> dp, slope``, arrays of shape (links, v), the slope not negative.
    flow : ndarray, shape (links, v)
        Flows that satisfy continuity; the start.
    loops : ndarray, shape (links, loops)
        Independent loops; flows change by ``loops @ x`` only, so continuity holds to rounding throughout.
    tolerance : callable
        From dp, shape (links, v), the imbalance allowed in each loop, shape (loops, v) [Pa].

    Returns
    -------
    Iterate
        With `converged` False if steps ran out; the caller decides what to say.
    """
    dp, slope = drops(flow)
    residual = loops.T @ dp
    for step in range(MOST_STEPS):
        open_variants = (np.abs(residual) > tolerance(dp)).any(axis=0)
        if not open_variants.any():
            return Iterate(flow, dp, residual, step, converged=True)
        along = loops @ _newton_direction(loops, slope, residual) * open_variants
        flow, dp, slope = _step(drops, flow, dp, along)
        residual = loops.T @ dp
    return Iterate(flow, dp, residual, MOST_STEPS, converged=False)


def _newton_direction(loops: FloatArray, slope: FloatArray, residual: FloatArray) -> FloatArray:
    """Change of the loop flows that would cancel the residuals if the drops were straight lines, shape (loops, v)."""
    if slope.shape[1] == 1:
        return np.asarray(-np.linalg.solve((loops.T * slope[:, 0]) @ loops, residual), dtype=float)
    jacobian = (loops.T * slope.T[:, None, :]) @ loops
    return np.asarray(-np.linalg.solve(jacobian, residual.T[:, :, None])[:, :, 0].T, dtype=float)


def _step(
    drops: Drops, flow: FloatArray, dp: FloatArray, along: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Go along a direction as far as the content falls: all of it, or to where its slope has all but vanished."""
    before = (dp * along).sum(axis=0)  # slope of the content at the start, below 0
    low, high = np.zeros_like(before), np.ones_like(before)
    length = high
    for _ in range(MOST_STEPS):
        there = flow + length * along
        dp, slope = drops(there)
        ascent = (dp * along).sum(axis=0)
        too_far = ascent > _ENOUGH * np.abs(before)
        too_short = (ascent < -_ENOUGH * np.abs(before)) & (length < 1.0)
        if not (too_far | too_short).any():
            break
        high, low = np.where(too_far, length, high), np.where(too_short, length, low)
        curvature = (slope * along**2).sum(axis=0)
        newton = length - ascent / np.where(curvature > 0, curvature, 1.0)
        inside = (newton > low) & (newton < high)
        length = np.where(too_far | too_short, np.where(inside, newton, 0.5 * (low + high)), length)
    return there, dp, slope
