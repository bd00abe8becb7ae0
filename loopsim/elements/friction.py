"""Wall friction in round tubes, all regimes, with its derivative.

Everything is written in ``g(Re) = f Re^2``, which is the pressure drop without units: it rises with the flow through
all regimes, while the friction factor itself falls, jumps and falls again.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["LAMINAR_UP_TO", "TURBULENT_FROM", "WallFriction", "friction_factor", "velocity", "wall_drop"]

FloatArray = NDArray[np.float64]

LAMINAR_UP_TO = 2000.0
TURBULENT_FROM = 4000.0
_WIDTH = TURBULENT_FROM - LAMINAR_UP_TO
_LN10 = math.log(10.0)
_WALL = _LN10 / (2 * 2.51 * 3.7)  # see `_turbulent_drop`


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
    return WallFriction(relative_roughness).drop(reynolds)


class WallFriction:
    """Walls of given roughness, prepared for many evaluations.

    Parameters
    ----------
    relative_roughness : ndarray
        Height of the roughness over the bore.
    """

    def __init__(self, relative_roughness: FloatArray) -> None:
        self._wall = relative_roughness * _WALL
        self._square, self._cube = _bridge(self._wall)

    def drop(self, reynolds: FloatArray) -> tuple[FloatArray, FloatArray]:
        """``f Re^2`` and its derivative by Re, for `reynolds` >= 0 to which the roughness broadcasts."""
        turbulent = reynolds >= TURBULENT_FROM
        count = np.count_nonzero(turbulent)
        if count == reynolds.size:
            return _turbulent_drop(reynolds, self._wall)
        drop, slope = self._drop_below(reynolds)
        if count:
            wall = np.broadcast_to(self._wall, reynolds.shape)[turbulent]
            drop[turbulent], slope[turbulent] = _turbulent_drop(reynolds[turbulent], wall)
        return drop, slope

    def _drop_below(self, reynolds: FloatArray) -> tuple[FloatArray, FloatArray]:
        """The laminar line, with a cubic on top of it between the regimes."""
        above = reynolds - LAMINAR_UP_TO
        laminar, slope = 64.0 * reynolds, np.full_like(reynolds, 64.0)
        bridge = above > 0
        if not bridge.any():
            return laminar, slope
        u = np.clip(above, 0.0, _WIDTH)
        u /= _WIDTH
        square, cube = self._square * u, self._cube * u**2
        return laminar + u * (square + cube), slope + (2 * square + 3 * cube) / _WIDTH


def _bridge(wall: FloatArray) -> tuple[FloatArray, FloatArray]:
    """What the bridge adds to the laminar line, ``square u^2 + cube u^3`` with u from 0 to 1 across it.

    Value and slope are continuous at both ends. With end slopes of about 0.1 to 0.3 and 1.1 times the secant the sum
    cannot overshoot (Fritsch and Carlson).
    """
    high, high_slope = _turbulent_drop(np.full_like(wall, TURBULENT_FROM), wall)
    rise, steeper = high - 64.0 * TURBULENT_FROM, _WIDTH * (high_slope - 64.0)
    return 3 * rise - steeper, steeper - 2 * rise


def _turbulent_drop(reynolds: FloatArray, wall: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Colebrook's law to rounding, Re >= 2000; `wall` is the relative roughness times `_WALL`.

    With ``X = 1 / sqrt(f)`` Colebrook reads ``X = -2 log10(k / 3.7 + 2.51 X / Re)``. Freed of its constants, with
    ``z = X ln(10) / 2``, it becomes ``z + ln(z + wall Re) = ln(Re ln(10) / 5.02)``: the roughness is an offset in the
    logarithm. Two steps of fourth order, those for Wright's omega function, reach rounding.

    References
    ----------
    Colebrook (1939); the substitution follows Clamond (2009), the step Lawrence, Corless and Jeffrey (2012). Checked
    to 1e-12 against an independent library in tests/elements/test_friction.py.
    """
    offset = wall * reynolds
    right = np.log(reynolds * (_LN10 / (2 * 2.51)))
    z = right - np.log(right + offset)
    for _ in range(2):
        w = z + offset
        lack = right - z - np.log(w)
        bend = (w + 1.0) * (w + 1.0 + (2 / 3) * lack)
        z += w * lack / (w + 1.0) * ((bend - 0.5 * lack) / (bend - lack))
    w = z + offset
    drop = (0.5 * _LN10 * reynolds / z) ** 2
    return drop, 2 * drop * w / (reynolds * (1.0 + w))
