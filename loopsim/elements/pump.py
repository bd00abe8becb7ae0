"""Pumps, running and stopped."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Self

import numpy as np
from numpy.typing import NDArray

from loopsim.curves import CurveBank, FallingHead, PiecewiseCubic, falling_head, falling_polynomial
from loopsim.elements.base import Element
from loopsim.errors import PartDataError
from loopsim.units import GRAVITY

__all__ = ["STANDING_BAND", "Pump", "StoppedPump"]

FloatArray = NDArray[np.float64]

# Head on the standing impeller over (flow / flow at the best point)^2, in heads at the best point: the zero-speed
# lines of the complete characteristics of radial pumps (specific speed 35 in SI units), as tabulated in textbooks on
# hydraulic transients; from memory. Small pumps of other shape may differ by half or more: so wide is the band.
STANDING_FORWARD = 0.56
STANDING_BACKWARD = 0.69
STANDING_BAND = 0.5  # half width, as a share of the head lost

_LINEAR_SHARE = 1e-3  # share of the drop at the best flow that stays linear, so that there is a slope at rest


@dataclass(frozen=True, slots=True)
class Pump(Element):
    """A running pump: head against flow at full speed, brought to the present speed by the affinity laws.

    Parameters
    ----------
    law : FallingHead
        Head curve at full speed; make it with `from_points` or `from_polynomial`.
    speed : float
        Share of full speed, above 0.

    References
    ----------
    Affinity laws ``Q ~ n``, ``H ~ n^2`` as in every pump handbook; checked in tests/reference/test_pumps.py.
    """

    law: FallingHead
    speed: float = 1.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.speed) and self.speed > 0):
            raise PartDataError(
                f"pump: speed must be above 0, got {self.speed:g}; for a standing pump, stop it", field="speed"
            )

    @classmethod
    def from_points(cls, flow: Sequence[float], head: Sequence[float], speed: float = 1.0) -> Self:
        """Pump through points of its curve, see `loopsim.curves.falling_head` [m3/s], [m]."""
        return cls(falling_head(flow, head), speed)

    @classmethod
    def from_polynomial(cls, coefficients: Sequence[float], speed: float = 1.0) -> Self:
        """Pump from ``H = c0 + c1 Q + c2 Q^2 + ...``, see `loopsim.curves.falling_polynomial` [m], [m3/s]."""
        return cls(falling_polynomial(coefficients), speed)

    def at_speed(self, speed: float) -> Self:
        """The same pump at another share of full speed."""
        return replace(self, speed=speed)

    @property
    def curve(self) -> PiecewiseCubic:
        """Head [m] against flow [m3/s] at the present speed."""
        return self.law.curve.scaled(self.speed, self.speed**2)

    @property
    def last_flow(self) -> float:
        """Largest flow that the data cover at the present speed [m3/s]."""
        return self.law.last_flow * self.speed

    def best_point(self) -> tuple[float, float]:
        """Flow [m3/s] and head [m] at which their product is largest, at the present speed."""
        flow, head = self.law.best_point()
        return flow * self.speed, head * self.speed**2

    def stretch_at(self, flow: float) -> tuple[float, float] | None:
        """Both ends of the levelled stretch in which a flow lies, see `FallingHead.stretch_at` [m3/s]."""
        ends = self.law.stretch_at(flow / self.speed)
        return None if ends is None else (ends[0] * self.speed, ends[1] * self.speed)

    def stopped(self) -> "StoppedPump":
        """The same pump without power, its resistance estimated from its curve."""
        flow, head = self.law.best_point()
        return StoppedPump.from_best_point(flow, head)

    @classmethod
    def bank(cls, elements: Sequence[Self]) -> "_Heads":
        """Arrays of many pumps."""
        return _Heads([element.curve for element in elements], -1.0)


@dataclass(frozen=True, slots=True)
class StoppedPump(Element):
    """A pump without power: its impeller stands and resists, in each direction by a curve of its own.

    Parameters
    ----------
    curve : PiecewiseCubic
        Head lost [m of the liquid] against flow [m3/s], rising, negative at reverse flow.
    """

    curve: PiecewiseCubic

    @classmethod
    def from_best_point(cls, flow: float, head: float) -> Self:
        """Square-law resistance from the flow [m3/s] and head [m] at the running pump's best point."""
        square = np.array([-STANDING_BACKWARD, STANDING_FORWARD]) * head / flow**2
        return cls(_two_sided(square, _LINEAR_SHARE * STANDING_FORWARD * head / flow))

    @classmethod
    def from_coefficients(cls, forward: float, backward: float) -> Self:
        """Square-law resistance ``H = k Q |Q|`` with one k each way, above 0 [m / (m3/s)^2]."""
        if not (forward > 0 and backward > 0):
            raise PartDataError(f"stopped pump: coefficients must be above 0, got {forward:g} and {backward:g}")
        return cls(_two_sided(np.array([-backward, forward]), 0.0))

    def scaled(self, factor: float) -> Self:
        """The same impeller resisting `factor` times as much, above 0."""
        return replace(self, curve=self.curve.scaled(1.0, factor))

    @classmethod
    def bank(cls, elements: Sequence[Self]) -> "_Heads":
        """Arrays of many stopped pumps."""
        return _Heads([element.curve for element in elements], 1.0)


def _two_sided(square: FloatArray, linear: float) -> PiecewiseCubic:
    """``H = linear Q + square Q^2`` with a coefficient of the square for each side of zero, left first."""
    return PiecewiseCubic(np.zeros(1), np.array([[0.0, linear, each, 0.0] for each in square]))


class _Heads:
    """Curves of head against flow, `sign` times which is the pressure drop."""

    def __init__(self, curves: Sequence[PiecewiseCubic], sign: float) -> None:
        self.curves, self.sign = CurveBank(curves), sign

    def evaluate(self, flow: FloatArray, density: FloatArray, viscosity: FloatArray) -> tuple[FloatArray, FloatArray]:  # noqa: ARG002
        head, slope = self.curves.evaluate(flow)
        weight = self.sign * density * GRAVITY
        return weight * head, weight * slope
