"""A data curve as it is drawn: the line that is calculated with, and in words how it departs from the points."""

from dataclasses import dataclass
from functools import singledispatch

import numpy as np
from numpy.typing import NDArray

from loopsim.curves.air_data import AirDropCurve, FanCurve
from loopsim.curves.data import DataCurve, DropCurve, HeadCurve
from loopsim.curves.fits import ACCEPTED_MISFIT, FallingHead, RisingDrop, falling_head, rising_drop
from loopsim.units import GRAVITY, from_si

__all__ = ["DrawnCurve", "drawn"]

FloatArray = NDArray[np.float64]

_PLACES = 81
_EXACT = 5e-4  # a misfit that reads as none


@dataclass(frozen=True)
class DrawnCurve:
    """The line through a data curve's points, in the units of the points.

    Attributes
    ----------
    x, y : ndarray, shape (n,)
        First and second column of the points.
    words : str
        How the line follows the points of a restriction, for builders; empty where there is nothing to say.
    levelled : tuple of (float, float)
        Where the points of a head curve do not fall and the line was lowered, in units of `x`.
    lowered : float
        By how much at most, in units of `y`.
    """

    x: FloatArray
    y: FloatArray
    words: str = ""
    levelled: tuple[tuple[float, float], ...] = ()
    lowered: float = 0.0


@singledispatch
def drawn(curve: DataCurve) -> DrawnCurve | None:  # noqa: ARG001  for kinds of curves that have no line of their own
    """The line that is calculated with; None for a kind of curve that says nothing of its line.

    Raises
    ------
    PartDataError
        If no curve goes through the points.
    MediumError
        If the properties of the medium are not known at the temperature of the points.
    """
    return None


@drawn.register
def _(curve: HeadCurve) -> DrawnCurve:
    return _falling(falling_head(curve.flow, curve.head), from_si(1.0, "l_h"), 1.0)


@drawn.register
def _(curve: FanCurve) -> DrawnCurve:
    pa_per_m = curve.provenance.density_kg_m3 * GRAVITY
    return _falling(falling_head(curve.flow, curve.head), from_si(1.0, "m3_h"), pa_per_m)


@drawn.register
def _(curve: DropCurve) -> DrawnCurve:
    return _rising(curve, "l_h", "kpa")


@drawn.register
def _(curve: AirDropCurve) -> DrawnCurve:
    return _rising(curve, "m3_h", "pa")


def _falling(fit: FallingHead, across: float, up: float) -> DrawnCurve:
    """A head curve on axes of `across` units per m3/s and `up` units per metre."""
    flow = np.linspace(0.0, fit.last_flow, _PLACES)
    levelled = tuple((across * begin, across * end) for begin, end in fit.levelled_stretches)
    lowered = float((fit.raw_head - fit.curve(fit.raw_flow)[0]).max())
    return DrawnCurve(across * flow, up * fit.curve(flow)[0], levelled=levelled, lowered=max(up * lowered, 0.0))


def _rising(curve: DropCurve | AirDropCurve, flow_unit: str, dp_unit: str) -> DrawnCurve:
    """A drop curve in the medium of its points."""
    state = curve.provenance.state
    fit = rising_drop(curve.flow, curve.dp, state.density, state.viscosity, curve.exponent)
    flow = np.linspace(0.0, curve.flow[-1], _PLACES)
    dp = fit.in_medium(state.density, state.viscosity)(flow)[0]
    return DrawnCurve(flow * from_si(1.0, flow_unit), dp * from_si(1.0, dp_unit), _of_misfit(fit, curve))


def _of_misfit(fit: RisingDrop, curve: DropCurve | AirDropCurve) -> str:
    """How far the curve passes from the points, and whether its band covers that."""
    if len(curve.points) == 1:
        return f"One point, taken on with the exponent {curve.exponent:g}."
    if fit.misfit > _EXACT:
        beyond = "" if fit.misfit <= curve.relative_tolerance else ", more than the tolerance"
        return f"The fit misses the points by at most {100 * fit.misfit:.2g} %{beyond}."
    if len(curve.points) == 2:
        return "The curve passes through both points."
    return (
        f"The curve passes through every point; no smooth law comes within {100 * ACCEPTED_MISFIT:g} % of all of them."
    )
