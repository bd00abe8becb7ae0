"""Wall friction in round tubes, all regimes, with its derivative.

Everything is written in ``g(Re) = f Re^2``, which is the pressure drop without units: it rises with the flow through
all regimes, while the friction factor itself falls, jumps and falls again.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["LAMINAR_UP_TO", "TURBULENT_FROM", "colebrook", "friction_factor", "velocity", "wall_drop"]

FloatArray = NDArray[np.float64]

LAMINAR_UP_TO = 2000.0
TURBULENT_FROM = 4000.0
_LN10 = math.log(10.0)


def velocity(flow: ArrayLike, bore: ArrayLike) -> FloatArray:
    """Mean velocity [m/s] of a flow [m3/s] through a round bore [m]."""
    return np.asarray(flow) / (math.pi / 4 * np.asarray(bore) ** 2)


def friction_factor(reynolds: ArrayLike, relative_roughness: ArrayLike = 0.0) -> FloatArray:
    """Darcy friction factor of a round tube.

    Laminar ``64 / Re`` up to Re 2000, Colebrook's law from Re 4000; between them a smooth bridge on which the
    pressure drop rises with the flow. What really happens on the bridge depends on inlet and vibration.

    Parameters
    ----------
    reynolds : array_like
        Above 0.
    relative_roughness : array_like, broadcast against `reynolds`
        Height of the roughness over the bore, 0 to 0.05.

    Returns
    -------
    ndarray

    References
    ----------
    Colebrook (1939). Checked against the published cases in tests/reference/test_friction.py.
    """
    reynolds = np.asarray(reynolds, dtype=float)
    drop, _ = wall_drop(reynolds, np.asarray(relative_roughness, dtype=float))
    return np.asarray(drop / reynolds**2)


def wall_drop(reynolds: FloatArray, relative_roughness: FloatArray) -> tuple[FloatArray, FloatArray]:
    """``f Re^2`` and its derivative by Re, for `reynolds` >= 0; arrays that broadcast against each other."""
    reynolds, relative_roughness = np.broadcast_arrays(reynolds, relative_roughness)
    drop, slope = np.array(64.0 * reynolds), np.full(reynolds.shape, 64.0)
    turbulent = reynolds >= TURBULENT_FROM
    if turbulent.any():
        drop[turbulent], slope[turbulent] = _turbulent_drop(reynolds[turbulent], relative_roughness[turbulent])
    bridge = (reynolds > LAMINAR_UP_TO) & ~turbulent
    if bridge.any():
        drop[bridge], slope[bridge] = _bridge_drop(reynolds[bridge], relative_roughness[bridge])
    return drop, slope


def _turbulent_drop(reynolds: FloatArray, relative_roughness: FloatArray) -> tuple[FloatArray, FloatArray]:
    f, f_slope = colebrook(reynolds, relative_roughness)
    return f * reynolds**2, reynolds * (2 * f + reynolds * f_slope)


def _bridge_drop(reynolds: FloatArray, relative_roughness: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Cubic from the laminar to the turbulent end, value and slope continuous at both.

    With end slopes of about 0.1 to 0.3 and 1.1 times the secant it cannot overshoot (Fritsch and Carlson).
    """
    width = TURBULENT_FROM - LAMINAR_UP_TO
    low, low_slope = 64.0 * LAMINAR_UP_TO, 64.0
    high, high_slope = _turbulent_drop(np.full_like(reynolds, TURBULENT_FROM), relative_roughness)
    u = (reynolds - LAMINAR_UP_TO) / width
    rise = high - low
    square = 3 * rise - width * (2 * low_slope + high_slope)
    cube = width * (low_slope + high_slope) - 2 * rise
    value = low + u * (width * low_slope + u * (square + u * cube))
    slope = (width * low_slope + u * (2 * square + 3 * u * cube)) / width
    return value, slope


def colebrook(reynolds: FloatArray, relative_roughness: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Friction factor that satisfies Colebrook's equation to rounding, and its derivative by Re.

    With ``X = 1 / sqrt(f)`` Colebrook reads ``X = -2 log10(k / 3.7 + 2.51 X / Re)``. Freed of its constants it
    becomes ``z + ln(z + wall) = c``, which three third-order steps solve to rounding.

    Parameters
    ----------
    reynolds, relative_roughness : ndarray, one shape
        Turbulent: Re >= 2000.

    Returns
    -------
    f, slope : ndarray

    References
    ----------
    Colebrook (1939); the substitution follows Clamond (2009). Checked to 1e-12 against an independent library in
    tests/elements/test_friction.py.
    """
    # z = X ln(10)/2 obeys z + ln(z + wall) = c: the roughness is an offset in the logarithm.
    wall = relative_roughness * reynolds * (_LN10 / (2 * 2.51 * 3.7))
    right = np.log(reynolds * (_LN10 / (2 * 2.51)))
    z = right - np.log(right + wall)
    for _ in range(3):
        inverse = 1 / (z + wall)
        error, gradient, bend = z - np.log(inverse) - right, 1 + inverse, -(inverse**2)
        z = z - error * gradient / (gradient**2 - 0.5 * error * bend)  # Halley's step
    x = z * (2 / _LN10)
    argument = relative_roughness / 3.7 + 2.51 * x / reynolds
    gain = (2 / _LN10) / argument * (2.51 / reynolds)
    x_slope = gain * x / reynolds / (1 + gain)
    return 1 / x**2, -2 * x_slope / x**3
