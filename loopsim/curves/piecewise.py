"""Piecewise cubics: the one form in which all curves from points are evaluated, value and slope together."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["CurveBank", "PiecewiseCubic", "monotone_slopes"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class PiecewiseCubic:
    """A curve of cubic pieces between knots, with one piece of its own beyond each end.

    Parameters
    ----------
    knots : ndarray, shape (k,)
        Rising.
    coefficients : ndarray, shape (k + 1, 4)
        Of each piece, constant term first, in powers of ``x - origin``; the origin of the piece before the first
        knot is the first knot, that of every other piece the knot at which it begins.
    """

    knots: FloatArray
    coefficients: FloatArray

    @classmethod
    def through(cls, x: FloatArray, y: FloatArray, slopes: FloatArray, curvature_left: float = 0.0,
                curvature_right: float = 0.0) -> Self:  # fmt: skip
        """Cubic Hermite pieces through points with given slopes, going on as parabolas beyond both ends.

        `curvature_left` and `curvature_right` are the coefficients of the square term of these parabolas.
        """
        width, secant = np.diff(x), np.diff(y) / np.diff(x)
        inner = np.column_stack(
            (
                y[:-1],
                slopes[:-1],
                (3 * secant - 2 * slopes[:-1] - slopes[1:]) / width,
                (slopes[:-1] + slopes[1:] - 2 * secant) / width**2,
            )
        )
        left = [y[0], slopes[0], curvature_left, 0.0]
        right = [y[-1], slopes[-1], curvature_right, 0.0]
        return cls(x, np.vstack((left, inner, right)))

    @classmethod
    def odd(cls, linear: float, square: float) -> Self:
        """``linear * x + square * x * |x|``."""
        return cls(np.zeros(1), np.array([[0.0, linear, -square, 0.0], [0.0, linear, square, 0.0]]))

    @classmethod
    def joined_at_zero(cls, left: "PiecewiseCubic", right: "PiecewiseCubic") -> Self:
        """`left` below zero and `right` above; both have a knot at zero."""
        at_left, at_right = int(np.flatnonzero(left.knots == 0)[0]), int(np.flatnonzero(right.knots == 0)[0])
        return cls(
            np.concatenate((left.knots[: at_left + 1], right.knots[at_right + 1 :])),
            np.vstack((left.coefficients[: at_left + 1], right.coefficients[at_right + 1 :])),
        )

    def __call__(self, x: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Value and slope at `x`, any shape."""
        x = np.asarray(x, dtype=float)
        value, slope = CurveBank([self]).evaluate(x.reshape(1, -1))
        return value.reshape(x.shape), slope.reshape(x.shape)

    def scaled(self, x_factor: float, y_factor: float) -> "PiecewiseCubic":
        """The curve ``y_factor * f(x / x_factor)``, `x_factor` above 0."""
        powers = y_factor / x_factor ** np.arange(4.0)
        return PiecewiseCubic(self.knots * x_factor, self.coefficients * powers)


class CurveBank:
    """Many piecewise cubics evaluated at once, whatever their numbers of knots.

    Parameters
    ----------
    curves : sequence of PiecewiseCubic, length n
    """

    def __init__(self, curves: Sequence[PiecewiseCubic]) -> None:
        most = max(len(curve.knots) for curve in curves)
        self.knots = np.full((len(curves), most), np.inf)
        self.origins = np.zeros((len(curves), most + 1))
        self.coefficients = np.zeros((len(curves), most + 1, 4))
        for row, curve in enumerate(curves):
            count = len(curve.knots)
            self.knots[row, :count] = curve.knots
            self.origins[row, 0], self.origins[row, 1 : count + 1] = curve.knots[0], curve.knots
            self.coefficients[row, : count + 1] = curve.coefficients
        self._rows = np.arange(len(curves))[:, None]

    def evaluate(self, x: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Value and slope.

        Parameters
        ----------
        x : ndarray, shape (n, v)
            Row by row the places at which each curve is wanted.

        Returns
        -------
        value, slope : ndarray, shape (n, v)
        """
        piece = (x[:, :, None] >= self.knots[:, None, :]).sum(axis=2)
        u = x - self.origins[self._rows, piece]
        c = np.moveaxis(self.coefficients[self._rows, piece], 2, 0)
        value = c[0] + u * (c[1] + u * (c[2] + u * c[3]))
        slope = c[1] + u * (2.0 * c[2] + 3.0 * u * c[3])
        return value, slope


def monotone_slopes(x: FloatArray, y: FloatArray) -> FloatArray:
    """Slopes at points with which cubic Hermite pieces never overshoot.

    Inner points take the weighted harmonic mean of the neighbouring secants, the ends a one-sided three-point
    slope held between 0 and three times the end secant.

    Parameters
    ----------
    x, y : ndarray, shape (k,), k >= 2
        `x` rising, `y` monotone.

    Returns
    -------
    ndarray, shape (k,)

    References
    ----------
    Fritsch and Carlson (1980) and Fritsch and Butland (1984), the form also used by scipy's PCHIP. Checked against
    it in tests/curves/test_piecewise.py.
    """
    width, secant = np.diff(x), np.diff(y) / np.diff(x)
    slopes = np.empty_like(y)
    if len(x) == 2:
        slopes[:] = secant[0]
        return slopes
    before, after = 2 * width[1:] + width[:-1], width[1:] + 2 * width[:-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (before + after) / (before / secant[:-1] + after / secant[1:])
    slopes[1:-1] = np.where(secant[:-1] * secant[1:] > 0, mean, 0.0)
    slopes[0] = _end_slope(width[0], width[1], secant[0], secant[1])
    slopes[-1] = _end_slope(width[-1], width[-2], secant[-1], secant[-2])
    return slopes


def _end_slope(near: float, far: float, secant: float, next_secant: float) -> float:
    slope = ((2 * near + far) * secant - near * next_secant) / (near + far)
    if slope * secant <= 0:
        return 0.0
    return slope if abs(slope) <= 3 * abs(secant) else 3 * secant
