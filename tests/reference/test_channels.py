"""Rectangular channels against exact and published work."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from loopsim.elements import Channel, Tube, friction_factor, laminar_friction_constant
from loopsim.media import State

from .conftest import Case, published

WATER = State(998.0, 1e-3)


def _friction_times_reynolds(channel: Channel, flow: float) -> float:
    """Darcy factor times Reynolds number, both on the hydraulic diameter, out of the element's drop."""
    v = flow / channel.area
    f = channel.dp(flow, WATER)[0] * channel.diameter / channel.length / (WATER.density * v**2 / 2)
    return float(f * WATER.density * v * channel.diameter / WATER.viscosity)


@published("fr-rect-laminar-fre-table")
def test_laminar_friction_by_aspect_ratio(case: Case) -> None:
    aspects = case.given["aspect_short_over_long"]
    case.check("darcy_f_times_re", [laminar_friction_constant(aspect) for aspect in aspects])
    channels = [Channel(0.01, 0.01 * aspect, 0.5) for aspect in aspects]
    case.check("darcy_f_times_re", [_friction_times_reynolds(channel, 1e-6) for channel in channels])


@pytest.mark.parametrize("aspect", [1.0, 0.7, 0.3, 0.08])
def test_laminar_flow_is_that_of_the_exact_series(aspect: float) -> None:
    """Velocity field of a rectangle as a Fourier series, in any textbook on viscous flow."""
    width, depth = 0.01, 0.01 * aspect
    odd = np.arange(1, 400, 2)
    series = 1 - 192 / math.pi**5 * aspect * np.sum(np.tanh(odd * math.pi / 2 / aspect) / odd**5)
    resistance = 12 * WATER.viscosity / (width * depth**3 * series)  # dp/L over the flow
    assert Channel(width, depth, 1.0).dp(1e-7, WATER)[0] == pytest.approx(1e-7 * resistance, rel=1e-3)


@published("fr-square-duct-equivalent")
def test_a_square_duct_of_the_same_head_loss(case: Case) -> None:
    bore, nu = case.given["round_diameter"], case.given["kinematic_viscosity"]
    air = State(1.2, 1.2 * nu)
    flow = case.given["mean_velocity"] * math.pi / 4 * bore**2
    wanted = Tube(bore, 1.0, case.given["roughness"]).dp(flow, air)[0]
    case.check("side", brentq(lambda side: float(Channel(side, side, 1.0).dp(flow, air)[0] - wanted), 0.1, 0.3))
    case.check("darcy_f_round", float(friction_factor(case.given["mean_velocity"] * bore / nu)))


@pytest.mark.parametrize("aspect", [1.0, 0.5, 0.2, 0.05, 0.01])
def test_the_factor_on_the_reynolds_number_is_that_of_jones(aspect: float) -> None:
    """Jones (1976) fits it by ``2/3 + 11/24 a (2 - a)``, within 2 %; formula from memory."""
    fit = 2 / 3 + 11 / 24 * aspect * (2 - aspect)
    assert Channel(1.0, aspect, 1.0).laminar_equivalent == pytest.approx(fit, rel=0.02)


@pytest.mark.parametrize("reynolds", [1e4, 1e5])
def test_turbulent_flow_between_wide_plates_lies_near_deans_law(reynolds: float) -> None:
    """Dean, J. Fluids Engineering 100 (1978): Fanning ``0.073 Re^-0.25``, Re on the gap; from memory, scatter 5 %."""
    gap = 0.002
    channel = Channel(1.0, gap, 1.0)
    v = reynolds * WATER.viscosity / (WATER.density * gap)
    expected = 4 * 0.073 * reynolds**-0.25 / channel.diameter * WATER.density * v**2 / 2
    assert channel.dp(v * channel.area, WATER)[0] == pytest.approx(expected, rel=0.07)
