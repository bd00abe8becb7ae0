"""Damped Newton on the flows that close all loops, for many variants of one network at once.

The pressure drops rise with the flows, so the flows that close all loops are the minimum of a strictly convex
function (the content of Cherry and Millar) among all flows that satisfy continuity. Along any direction that keeps
continuity its slope is simply the sum of drop times change of flow. A step that overshoots is shortened until that
slope has all but vanished; each step then lowers the content, from any start.

Where the step comes from is left to a `Form`: the loop form for few loops, the nodal form for large networks. Both
give the same step, up to rounding.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from loopsim.cancelling import check_cancelled

__all__ = ["Form", "Iterate", "close_loops"]

FloatArray = NDArray[np.float64]
Drops = Callable[[FloatArray], tuple[FloatArray, FloatArray]]

MOST_STEPS = 100
_ENOUGH = 0.1  # a step is long enough to stop searching where the content's slope is down to this share


class Form(Protocol):
    """How the Newton step is found. All arrays have one column per variant."""

    def residual(self, dp: FloatArray) -> FloatArray:
        """Imbalance round each independent loop, shape (loops, v) [Pa]."""

    def direction(self, slope: FloatArray, residual: FloatArray) -> FloatArray:
        """Change of all link flows that keeps continuity and would close all loops if drops were straight lines."""

    def tolerance(self, dp: FloatArray) -> FloatArray:
        """Imbalance allowed in each loop, spreads to shape (loops, v) [Pa]."""


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


def close_loops(drops: Drops, flow: FloatArray, form: Form) -> Iterate:
    """Find the flows at which the drops round every loop cancel.

    Parameters
    ----------
    drops : callable
        ``drops(flow) -> dp, slope``, arrays of shape (links, v), the slope not negative.
    flow : ndarray, shape (links, v), or (links, 1) where the drops are of shape (links, v) all the same
        Flows that satisfy continuity; the start.
    form : Form

    Returns
    -------
    Iterate
        With `converged` False if steps ran out; the caller decides what to say.

    Raises
    ------
    Cancelled
        If the answer is not wanted any more (`loopsim.cancelling`).
    """
    dp, slope = drops(flow)
    residual = form.residual(dp)
    for step in range(MOST_STEPS):
        check_cancelled()
        is_open = (np.abs(residual) > form.tolerance(dp)).any(axis=0)
        if not is_open.any():
            return Iterate(np.broadcast_to(flow, dp.shape), dp, residual, step, converged=True)
        along = form.direction(slope, residual)
        if not is_open.all():
            along = along * is_open
        flow, dp, slope = _step(drops, flow, dp, along)
        residual = form.residual(dp)
    return Iterate(flow, dp, residual, MOST_STEPS, converged=False)


def _step(
    drops: Drops, flow: FloatArray, dp: FloatArray, along: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Go along a direction as far as the content falls: all of it, or to where its slope has all but vanished."""
    enough = _ENOUGH * np.abs(_summed(dp, along))  # of the slope of the content at the start
    there = flow + along
    dp, slope = drops(there)
    ascent = _summed(dp, along)
    if not (ascent > enough).any():
        return there, dp, slope
    low, high = np.zeros_like(enough), np.ones_like(enough)
    length = high
    for _ in range(MOST_STEPS):
        too_far, too_short = ascent > enough, (ascent < -enough) & (length < 1.0)
        if not (too_far | too_short).any():
            break
        high, low = np.where(too_far, length, high), np.where(too_short, length, low)
        curvature = _summed(slope, along**2)
        newton = length - ascent / np.where(curvature > 0, curvature, 1.0)
        inside = (newton > low) & (newton < high)
        length = np.where(too_far | too_short, np.where(inside, newton, 0.5 * (low + high)), length)
        there = flow + length * along
        dp, slope = drops(there)
        ascent = _summed(dp, along)
    return there, dp, slope


def _summed(a: FloatArray, b: FloatArray) -> FloatArray:
    """Sum of products over the links, shape (v,)."""
    return np.asarray(np.add.reduce(a * b))
