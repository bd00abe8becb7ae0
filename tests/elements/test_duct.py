"""Tubes and channels: fittings at low Reynolds numbers, and limits in which a channel must meet a known law."""

import math

import fluids
import numpy as np
import pytest

from loopsim.elements import Channel, Tube
from loopsim.media import State, water

WATER = water().at(20.0)
INCH = 0.0254


@pytest.mark.parametrize("reynolds", [5.0, 120.0, 1900.0, 2e4, 3e5])
@pytest.mark.parametrize(("k1", "k"), [(800.0, 0.4), (500.0, 0.2), (2000.0, 10.0)])
def test_fitting_losses_are_those_of_the_two_k_form(reynolds: float, k1: float, k: float) -> None:
    """`fluids` on a bore of 2 inches; the size factor 1 + 1/D belongs in our K."""
    bore = 2 * INCH
    flow = reynolds * WATER.viscosity / (WATER.density * bore) * math.pi / 4 * bore**2
    bare, fitted = Tube(bore, 1.0), Tube(bore, 1.0, 0.0, k * (1 + INCH / bore), None, k1)
    extra = fitted.dp(flow, WATER)[0] - bare.dp(flow, WATER)[0]
    heads = extra / (WATER.density * (flow / fitted.area) ** 2 / 2)
    assert heads == pytest.approx(fluids.fittings.Hooper2K(Di=2.0, Re=reynolds, K1=k1, Kinfty=k), rel=2e-3)


def test_the_laminar_share_of_a_fitting_is_linear_in_the_flow() -> None:
    flow = np.array([-2e-4, -1e-6, 1e-9, 3e-5])
    extra = Tube(0.01, 1.0, 0.0, 0.0, None, 800.0).dp(flow, WATER)[0] - Tube(0.01, 1.0).dp(flow, WATER)[0]
    assert extra / flow == pytest.approx(np.full(4, extra[0] / flow[0]), rel=1e-6)


def test_a_thin_gap_follows_the_law_of_two_wide_plates() -> None:
    """``dp = 12 mu L Q / (w h^3)``, closed form; the sides of a gap of 1000:1 add about 0.1 %."""
    width, gap, length, flow = 0.5, 0.0005, 0.2, 1e-6
    expected = 12 * WATER.viscosity * length * flow / (width * gap**3)
    assert Channel(width, gap, length).dp(flow, WATER)[0] == pytest.approx(expected, rel=2e-3)


def test_width_and_depth_may_be_swapped() -> None:
    flow = np.linspace(-1e-4, 1e-4, 21)
    one, other = Channel(0.008, 0.003, 0.2, 1e-6, 1.2), Channel(0.003, 0.008, 0.2, 1e-6, 1.2)
    assert one.dp(flow, WATER)[0] == pytest.approx(other.dp(flow, WATER)[0], rel=1e-12)


@pytest.mark.parametrize("depth", [0.005, 0.002, 0.0005])
def test_a_channel_loses_its_heads_on_its_mean_velocity(depth: float) -> None:
    state, flow = State(998.0, 1e-3), 5e-5
    bare, fitted = Channel(0.005, depth, 0.3), Channel(0.005, depth, 0.3, 0.0, 2.0)
    extra = fitted.dp(flow, state)[0] - bare.dp(flow, state)[0]
    assert extra == pytest.approx(2.0 * 998.0 * (flow / (0.005 * depth)) ** 2 / 2, rel=1e-9)


@pytest.mark.parametrize("aspect", [1.0, 0.4, 0.1, 0.01])
def test_a_channel_rises_through_the_transition_without_a_jump(aspect: float) -> None:
    channel = Channel(0.01, 0.01 * aspect, 1.0)
    reynolds = np.linspace(1000.0, 6000.0, 5001)
    flow = reynolds * WATER.viscosity / (WATER.density * channel.diameter) * channel.area
    dp, slope = channel.dp(flow, WATER)
    assert (np.diff(dp) > 0).all()
    assert (slope > 0).all()
    assert np.diff(dp).max() < 2e-3 * dp[-1]
