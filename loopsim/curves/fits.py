"""From points to curves with the one shape the network equations need: heads that fall, drops that rise."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loopsim.curves.piecewise import PiecewiseCubic, monotone_slopes
from loopsim.errors import PartDataError

__all__ = ["FallingHead", "RisingDrop", "falling_head", "falling_polynomial", "rising_drop"]

FloatArray = NDArray[np.float64]

LEAST_FALL = 0.005  # least slope of a levelled stretch: share of shut-off head over largest flow
ACCEPTED_MISFIT = 0.05  # largest relative misfit with which two coefficients stand for measured points
KNOTS_OF_POLYNOMIAL = 65


@dataclass(frozen=True)
class FallingHead:
    """A head curve that falls everywhere, from reverse flow to beyond the last point.

    Attributes
    ----------
    curve : PiecewiseCubic
        Head [m] against flow [m3/s].
    last_flow : float
        Largest flow that the data cover; the curve beyond it, and at reverse flow, is an estimate [m3/s].
    raw_flow, raw_head : ndarray, shape (k,)
        The points as given [m3/s], [m].
    levelled_stretches : tuple of (float, float)
        Where the points are flat or rise: from the flow at which the levelled head begins to that at which the raw
        curve, straight from point to point, has come down to the same head again [m3/s].
    """

    curve: PiecewiseCubic
    last_flow: float
    raw_flow: FloatArray
    raw_head: FloatArray
    levelled_stretches: tuple[tuple[float, float], ...] = ()

    @property
    def levelled(self) -> bool:
        """True if a flat or rising stretch had to be levelled."""
        return bool(self.levelled_stretches)

    def stretch_at(self, flow: float) -> tuple[float, float] | None:
        """The levelled stretch in which a flow lies, as its two flows; None where the curve falls by itself [m3/s]."""
        return next((ends for ends in self.levelled_stretches if ends[0] <= flow <= ends[1]), None)

    def head(self, flow: float) -> float:
        """Head at one flow [m]."""
        return float(self.curve(flow)[0])

    def best_point(self) -> tuple[float, float]:
        """Flow [m3/s] and head [m] at which flow times head is largest within the data."""
        flows = np.linspace(0.0, self.last_flow, 201)[1:]
        heads = self.curve(flows)[0]
        best = int(np.argmax(flows * heads))
        return float(flows[best]), float(heads[best])


def falling_head(flow: Sequence[float], head: Sequence[float]) -> FallingHead:
    """Monotone curve through the points of a pump curve.

    Flat and rising stretches are levelled to a least fall of 0.5 % of the shut-off head over the largest flow, by
    lowering the later point: the result promises no head that the points do not show. In reverse the head goes on
    to rise, and beyond the last point to fall, with the end slopes and the curvature of a parabola from shut-off
    head to zero over the range of the data. Both continuations are estimates.

    Parameters
    ----------
    flow : sequence of float, length k >= 2
        Rising, first at least 0 [m3/s].
    head : sequence of float, length k
        In metres of the pumped liquid.

    Raises
    ------
    PartDataError
        Fewer than two points, flows that do not rise, or a head that never falls.
    """
    x, y = np.asarray(flow, dtype=float), np.asarray(head, dtype=float)
    _check_points(x, y, least=2)
    if not (np.diff(y) < 0).any():
        raise PartDataError(
            f"pump curve: the head never falls (from {y[0]:g} m to {y[-1]:g} m); it must fall with flow"
        )
    least_fall = LEAST_FALL * y.max() / x[-1]
    level = _levelled(x, y, least_fall)
    slopes = np.minimum(monotone_slopes(x, level), -least_fall)
    curvature = float(y.max()) / x[-1] ** 2
    curve = PiecewiseCubic.through(x, level, slopes, curvature, -curvature)
    return FallingHead(curve, float(x[-1]), x, y, tuple(_stretches(x, y, level)))


def falling_polynomial(coefficients: Sequence[float]) -> FallingHead:
    """Pump curve from a polynomial ``H = c0 + c1 Q + c2 Q^2 + ...``, from zero flow to where the head is zero.

    Exact up to the third degree where the polynomial falls; otherwise through 65 of its points, levelled.

    Parameters
    ----------
    coefficients : sequence of float
        Constant term first, head in m and flow in m3/s.

    Raises
    ------
    PartDataError
        If the head at zero flow is not above 0 or the polynomial never comes down to zero head.
    """
    polynomial = np.polynomial.Polynomial(coefficients)
    last_flow = _first_zero(polynomial)
    flows = np.linspace(0.0, last_flow, KNOTS_OF_POLYNOMIAL)
    sampled = falling_head(flows.tolist(), polynomial(flows).tolist())
    if sampled.levelled or polynomial.degree() > 3:
        return sampled
    inner = np.zeros(4)
    inner[: len(coefficients)] = coefficients
    ends = sampled.curve.coefficients[[0, -1]]
    ends[0, 1] = min(float(inner[1]), ends[0, 1])
    curve = PiecewiseCubic(np.array([0.0, last_flow]), np.vstack((ends[0], inner, ends[1])))
    return replace(sampled, curve=curve)


def _first_zero(polynomial: "np.polynomial.Polynomial") -> float:
    roots = polynomial.roots()
    real = roots[np.abs(roots.imag) < 1e-9 * np.abs(roots)].real
    if not polynomial(0.0) > 0 or not (real > 0).any():
        raise PartDataError(
            "pump polynomial: the head must start above 0 m at zero flow and come down to 0 m at some flow; "
            f"got coefficients {[float(c) for c in polynomial.coef]}"
        )
    return float(real[real > 0].min())


def _levelled(x: FloatArray, y: FloatArray, least_fall: float) -> FloatArray:
    """Lower every point that is not at least `least_fall` per flow below all points before it."""
    tilted = y + least_fall * x
    lowest = np.minimum.accumulate(tilted)
    return np.where(lowest < tilted, lowest - least_fall * x, y)


def _stretches(x: FloatArray, y: FloatArray, level: FloatArray) -> Iterator[tuple[float, float]]:
    """Both ends of each row of lowered points, see `FallingHead.levelled_stretches`."""
    lowered = np.flatnonzero(level != y)
    for row in np.split(lowered, np.flatnonzero(np.diff(lowered) > 1) + 1):
        if len(row):  # the first point is never lowered, so one lies before
            begin, last = row[0] - 1, row[-1]
            yield float(x[begin]), _comes_down_to(float(y[begin]), x[last:], y[last:])


def _comes_down_to(head: float, x: FloatArray, y: FloatArray) -> float:
    """Where the line from the last lowered point to the next falls to a head; at that point if it never lies above."""
    if len(x) == 1 or y[0] <= head:
        return float(x[0])
    return float(np.interp(-head, -y[:2], x[:2]))


@dataclass(frozen=True)
class RisingDrop:
    """A pressure drop curve that rises everywhere and is odd in the flow, in coordinates free of the medium.

    Attributes
    ----------
    curve : PiecewiseCubic
        ``dp rho / mu^2`` [1/m2] against ``rho Q / mu`` [m].
    first, last : float
        Range of ``rho Q / mu`` that the data cover [m].
    misfit : float
        Largest relative distance of the curve from a point; 0 where it passes through all of them.
    """

    curve: PiecewiseCubic
    first: float
    last: float
    misfit: float

    def in_medium(self, density: float, viscosity: float) -> PiecewiseCubic:
        """Pressure drop [Pa] against flow [m3/s] of a medium of this density [kg/m3] and viscosity [Pa s]."""
        return self.curve.scaled(viscosity / density, viscosity**2 / density)

    def beyond_data(self, flow: float, density: float, viscosity: float) -> bool:
        """True where a flow in this medium lies above the range of the data."""
        return abs(density * flow / viscosity) > self.last * (1 + 1e-9)


def rising_drop(
    flow: Sequence[float], dp: Sequence[float], density: float, viscosity: float, exponent: float = 1.85
) -> RisingDrop:
    """Pressure drop curve from points, ready for any medium.

    Similarity: in a part of fixed shape ``dp rho / mu^2`` depends on ``rho Q / mu`` alone. In these coordinates the
    curve is ``a x + b x|x|`` with a and b from least squares of relative distances, neither below 0; where that
    misses a point by more than 5 %, a monotone interpolant through all of them. One point gives the same form with
    the stated exponent at that point.

    Parameters
    ----------
    flow, dp : sequence of float, length k >= 1
        Both rising and above 0 [m3/s], [Pa].
    density, viscosity : float
        Of the medium on which the points were taken [kg/m3], [Pa s].
    exponent : float
        Slope of log dp over log flow at a single point, 1 to 2.

    Raises
    ------
    PartDataError
        No points, or flows or drops that do not rise from above 0.
    """
    q, drop = np.asarray(flow, dtype=float), np.asarray(dp, dtype=float)
    _check_points(q, drop, least=1)
    if not (q[0] > 0 and drop[0] > 0 and (np.diff(drop) > 0).all()):
        raise PartDataError("pressure drop curve: flows and drops must rise from point to point, from above 0")
    x, y = density * q / viscosity, drop * density / viscosity**2
    if len(x) == 1:
        a, b = (2 - exponent) * y[0] / x[0], (exponent - 1) * y[0] / x[0] ** 2
    else:
        a, b = _two_coefficients(x, y)
    # A purely quadratic curve would have no slope at rest; 0.1 % of the first point's drop is linear then.
    a = max(a, 1e-3 * y[0] / x[0])
    misfit = float(np.abs((a * x + b * x**2) / y - 1).max())
    if misfit <= ACCEPTED_MISFIT:
        return RisingDrop(PiecewiseCubic.odd(a, b), float(x[0]), float(x[-1]), misfit)
    return RisingDrop(_odd_interpolant(x, y), float(x[0]), float(x[-1]), 0.0)


def _two_coefficients(x: FloatArray, y: FloatArray) -> tuple[float, float]:
    """Least squares of ``(a x + b x^2) / y - 1`` with a, b >= 0."""
    u, v = x / y, x**2 / y
    uu, uv, vv = u @ u, u @ v, v @ v
    determinant = uu * vv - uv**2
    if determinant > 1e-12 * uu * vv:
        a, b = (vv * u.sum() - uv * v.sum()) / determinant, (uu * v.sum() - uv * u.sum()) / determinant
        if a >= 0 and b >= 0:
            return float(a), float(b)
    only_a, only_b = u.sum() / uu, v.sum() / vv
    a_is_better = ((only_a * u - 1) ** 2).sum() < ((only_b * v - 1) ** 2).sum()
    return (float(only_a), 0.0) if a_is_better else (0.0, float(only_b))


def _odd_interpolant(x: FloatArray, y: FloatArray) -> PiecewiseCubic:
    """Monotone interpolant through the points and, mirrored, through the origin.

    Near rest it bends as its exponent at the first point asks; beyond the last point it goes on as a parabola whose
    exponent there is 1 to 2.
    """
    knots, values = np.concatenate((-x[::-1], [0.0], x)), np.concatenate((-y[::-1], [0.0], y))
    slopes = np.maximum(monotone_slopes(knots, values), 1e-3 * y[-1] / x[-1])
    first, middle = len(x) + 1, len(x)
    exponent_first, exponent_last = slopes[first] * x[0] / y[0], slopes[-1] * x[-1] / y[-1]
    slopes[middle] = np.clip(2 - exponent_first, 0.05, 1.0) * y[0] / x[0]
    beyond = float(np.clip(exponent_last - 1, 0.0, 1.0) * y[-1] / x[-1] ** 2)
    return PiecewiseCubic.through(knots, values, slopes, -beyond, beyond)


def _check_points(x: FloatArray, y: FloatArray, least: int) -> None:
    if x.shape != y.shape or x.ndim != 1 or len(x) < least:
        raise PartDataError(f"curve: needs at least {least} points, each with a flow and a value, got {len(x)}")
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        raise PartDataError("curve: every flow and value must be a finite number")
    if x[0] < 0 or (np.diff(x) <= 0).any():
        raise PartDataError("curve: flows must rise from point to point and not be negative")
