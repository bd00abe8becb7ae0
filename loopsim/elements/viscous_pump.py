"""How far a liquid thicker than water takes a centrifugal pump off its curve."""

import math

from loopsim.units import from_si

__all__ = ["viscosity_parameter", "viscous_head_factor"]

_THINNEST, _THICKEST = 1.0, 40.0  # range of the parameter for which the correction is published
_MM2_S = 1e6


def viscosity_parameter(flow: float, head: float, kinematic_viscosity: float, speed_rpm: float) -> float:
    """The parameter B by which pumps on thick liquids are corrected; no correction below 1, none published above 40.

    Parameters
    ----------
    flow, head : float
        At the pump's best point, on water, above 0 [m3/s], [m].
    kinematic_viscosity : float
        Of the liquid [m2/s].
    speed_rpm : float
        Of the impeller [1/min]; it enters with the power 1/4.

    References
    ----------
    ANSI/HI 9.6.7, Rotodynamic pumps, guideline for effects of liquid viscosity on performance; from memory. Meant for
    radial pumps far larger than those of a coolant loop, so here it only tells when a curve stops being trustworthy.
    Checked in tests/reference/test_pumps.py.
    """
    thickness, flow_m3_h = kinematic_viscosity * _MM2_S, from_si(flow, "m3_h")
    return float(16.5 * thickness**0.5 * head**0.0625 / (flow_m3_h**0.375 * speed_rpm**0.25))


def viscous_head_factor(parameter: float) -> float:
    """Head at the best flow over that on water, 0 to 1, for a viscosity parameter; see `viscosity_parameter`."""
    within = min(max(parameter, _THINNEST), _THICKEST)
    return math.exp(-0.165 * math.log10(within) ** 3.15)
