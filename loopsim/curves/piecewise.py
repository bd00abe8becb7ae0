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
        different = list({id(curve): curve for curve in curves}.values())  # racks hold one block many times
        most = max(len(curve.knots) for curve in different)
        knots = np.full((most, len(different)), np.inf)
        pieces = np.zeros((5, len(different), most + 1))  # origin, then coefficients
        for row, curve in enumerate(different):
            count = len(curve.knots)
            knots[:count, row] = curve.knots
            pieces[0, row, 0], pieces[0, row, 1 : count + 1] = curve.knots[0], curve.knots
            pieces[1:, row, : count + 1] = curve.coefficients.T
        row_of = {id(curve): row for row, curve in enumerate(different)}
        rows = np.array([row_of[id(curve)] for curve in curves], dtype=np.intp)
        self._knots = knots[:, rows, None]
        self._first_piece = (rows * (most + 1))[:, None]
        self._pieces = pieces.reshape(5, -1)

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
        piece = self._first_piece + np.add.reduce(x >= self._knots, dtype=np.intp)
        origin, c0, c1, c2, c3 = self._pieces.take(piece, axis=1, mode="clip")  # all there; "clip" spares the check
        u = x - origin
        value = c0 + u * (c1 + u * (c2 + u * c3))
        slope = c1 + u * (2.0 * c2 + 3.0 * u * c3)
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
