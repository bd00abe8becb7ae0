"""The law that every element keeps: odd or two-sided, strictly rising, its slope the difference quotient."""

import math

import numpy as np
import pytest

from loopsim.elements import (
    Channel,
    CheckValve,
    Element,
    Opening,
    PowerLaw,
    Pump,
    Restriction,
    StoppedPump,
    Tube,
    Valve,
)
from loopsim.errors import PartDataError
from loopsim.media import State, water
from loopsim.units import GRAVITY

WATER = water().at(20.0)
POINTS = ([1e-5, 3e-5, 6e-5], [3e2, 2.4e3, 9e3])
ELEMENTS = {
    "tube": Tube(0.01, 1.5, 1.5e-6, 2.0),
    "tube with one-sided losses": Tube(0.01, 0.3, 0.0, 0.5, 3.0),
    "tube with losses that grow at low flow": Tube(0.01, 0.3, 0.0, 0.5, None, 800.0),
    "channel": Channel(0.006, 0.004, 0.4, 1e-6, 2.4),
    "channel with one-sided losses that grow at low flow": Channel(0.003, 0.012, 0.4, 0.0, 0.5, 3.0, 800.0),
    "valve": Valve(1.5),
    "check valve": CheckValve(1.5, 2000.0),
    "leaky check valve": CheckValve(1.5, 500.0, 0.05),
    "opening": Opening(5e-5, 2.7),
    "power law": PowerLaw(1e12, 1.85),
    "restriction": Restriction.from_points(*POINTS, WATER),
    "restriction that needs an interpolant": Restriction.from_points([1e-5, 2e-5, 4e-5], [1e2, 1e3, 1.2e3], WATER),
    "pump": Pump.from_points([0, 4e-5, 8e-5, 1.3e-4], [4.0, 3.8, 3.0, 0.6]),
    "slow pump": Pump.from_points([0, 4e-5, 8e-5, 1.3e-4], [4.0, 3.8, 3.0, 0.6], speed=0.4),
    "polynomial pump": Pump.from_polynomial([4.0, 0.0, -3.6e7]),
    "stopped pump": Pump.from_polynomial([4.0, 0.0, -3.6e7]).stopped(),
    "stopped pump by coefficients": StoppedPump.from_coefficients(7e7, 9e7),
}


@pytest.fixture(params=ELEMENTS.values(), ids=ELEMENTS.keys())
def element(request: pytest.FixtureRequest) -> Element:
    return request.param


def test_drop_rises_with_flow_in_both_directions(element: Element) -> None:
    flow = np.linspace(-3e-4, 3e-4, 1201)
    dp, slope = element.dp(flow, WATER)
    assert (np.diff(dp) > 0).all()
    assert (slope >= 0).all()
    assert np.isfinite(slope).all()


@pytest.mark.parametrize("name", [name for name in ELEMENTS if "pump" not in name])
def test_passive_elements_keep_a_slope_at_rest(name: str) -> None:
    """Tiny flows, where a square law alone would be flat."""
    flow = np.concatenate((-np.geomspace(1e-7, 1e-13, 61), [0.0], np.geomspace(1e-13, 1e-7, 61)))
    dp, slope = ELEMENTS[name].dp(flow, WATER)
    assert (np.diff(dp) > 0).all()
    assert (slope > 0).all()


def test_slope_is_the_difference_quotient(element: Element) -> None:
    flow = np.array([-2.2e-4, -6.1e-5, -1.3e-5, 1.7e-5, 5.3e-5, 1.9e-4])
    h = 1e-6 * np.abs(flow)
    quotient = (element.dp(flow + h, WATER)[0] - element.dp(flow - h, WATER)[0]) / (2 * h)
    assert element.dp(flow, WATER)[1] == pytest.approx(quotient, rel=1e-5)


def test_many_at_once_give_what_each_gives_alone(element: Element) -> None:
    flow = np.array([[-1e-4, 2e-5, 7e-5]] * 3)
    ones = np.ones((3, 1))
    dp, slope = type(element).bank([element] * 3).evaluate(flow, ones * WATER.density, ones * WATER.viscosity)
    for row in range(3):
        assert dp[row] == pytest.approx(element.dp(flow[row], WATER)[0], rel=1e-14)
        assert slope[row] == pytest.approx(element.dp(flow[row], WATER)[1], rel=1e-14)


@pytest.mark.parametrize(
    "name", ["tube", "channel", "valve", "opening", "power law", "restriction", "restriction that needs an interpolant"]
)
def test_passive_elements_without_a_direction_are_odd(name: str) -> None:
    flow = np.linspace(1e-6, 2e-4, 50)
    forward, back = ELEMENTS[name].dp(flow, WATER)[0], ELEMENTS[name].dp(-flow, WATER)[0]
    assert forward == pytest.approx(-back)


def test_a_laminar_tube_follows_hagen_and_poiseuille() -> None:
    """``dp = 128 mu L Q / (pi D^4)``, closed form."""
    tube, flow = Tube(0.004, 2.0), 1e-6
    expected = 128 * WATER.viscosity * 2.0 * flow / (math.pi * 0.004**4)
    assert tube.dp(flow, WATER)[0] == pytest.approx(expected, rel=1e-12)


def test_a_turbulent_tube_follows_darcy_with_colebrooks_factor() -> None:
    """The factor by plain iteration of Colebrook's equation."""
    bore, length, roughness, flow = 0.01, 2.0, 1e-5, 1.5e-4
    v = flow / (math.pi / 4 * bore**2)
    reynolds, x = WATER.density * v * bore / WATER.viscosity, 7.0
    for _ in range(200):
        x = -2 * math.log10(roughness / bore / 3.7 + 2.51 * x / reynolds)
    expected = length / bore / x**2 * WATER.density * v**2 / 2
    assert Tube(bore, length, roughness).dp(flow, WATER)[0] == pytest.approx(expected, rel=1e-10)


def test_an_opening_costs_velocity_heads_of_its_free_area() -> None:
    """``K rho v^2 / 2``, closed form; the rounding about rest adds less than 0.1 % from 0.05 Pa on."""
    air, speed = State(1.2, 1.8e-5), np.array([-0.2, 0.2, 3.0])
    dp = Opening(2e-3, 2.5).dp(speed * 2e-3, air)[0]
    assert dp == pytest.approx(2.5 * 1.2 / 2 * speed * np.abs(speed), rel=1.01e-3)


def test_a_power_law_is_exact_down_to_tiny_flows() -> None:
    flow = np.array([1e-8, 1e-5, 0.3])
    assert PowerLaw(2e9, 1.85).dp(flow, WATER)[0] == pytest.approx(2e9 * flow**1.85, rel=1e-8)


def test_a_pump_lifts_metres_of_what_it_pumps() -> None:
    pump = Pump.from_points([0, 5e-5, 1e-4], [4.0, 3.0, 1.0])
    brine = State(1200.0, 2e-3)
    assert -pump.dp(5e-5, brine)[0] == pytest.approx(1200.0 * GRAVITY * 3.0)


def test_speed_moves_flow_and_head_by_the_affinity_laws() -> None:
    pump = Pump.from_points([0, 5e-5, 1e-4], [4.0, 3.0, 1.0])
    flow = np.linspace(0, 1e-4, 11)
    assert pump.at_speed(0.6).curve(0.6 * flow)[0] == pytest.approx(0.36 * pump.curve(flow)[0])


def test_a_standing_impeller_resists_both_ways_and_more_backward() -> None:
    """The zero-speed lines of radial pumps: 0.56 and 0.69 heads at the best point's flow (from memory)."""
    pump = Pump.from_polynomial([4.0, 0.0, -3.6e7])
    flow, head = pump.law.best_point()
    forward, backward = (pump.stopped().dp(sign * flow, WATER)[0] / (WATER.density * GRAVITY) for sign in (1, -1))
    assert forward == pytest.approx(0.56 * head, rel=2e-3)
    assert -backward == pytest.approx(0.69 * head, rel=2e-3)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Tube(0.0, 1.0), "bore must be above 0 m, got 0 m"),
        (lambda: Tube(0.01, float("nan")), "length must be above 0 m, got nan m"),
        (lambda: Tube(0.01, 1.0, -1e-6), "roughness must not be negative"),
        (lambda: Tube(0.01, 1.0, laminar_coefficient=-1.0), "laminar_coefficient must not be negative, got -1"),
        (lambda: Channel(0.01, 0.0, 1.0), "channel: depth must be above 0 m, got 0 m"),
        (lambda: Valve(0.0), "valve: kv must be above 0 m3/h, got 0 m3/h; a shut valve is left out of the network"),
        (lambda: CheckValve(float("inf"), 100.0), "check valve: kv must be above 0 m3/h, got inf"),
        (lambda: CheckValve(1.0, 0.0), "cracking must be above 0 Pa, got 0 Pa; a flap without spring opens at"),
        (lambda: CheckValve(1.0, 100.0, 1.0), r"leak_kv must be above 0 and below kv \(1 m3/h\), got 1 m3/h"),
        (lambda: Opening(0.0, 1.0), "opening: area must be above 0 m2, got 0 m2"),
        (lambda: Opening(1e-3, -1.0), "opening: loss_coefficient must be above 0, got -1"),
        (lambda: PowerLaw(-1.0), "k must be above 0, got -1"),
        (lambda: PowerLaw(1.0, 5.0), "between 1 and 3, got 5"),
        (lambda: Pump.from_points([0, 1e-5], [1.0, 2.0]), "the head never falls"),
        (lambda: Pump.from_points([0, 1e-5], [2.0, 1.0], speed=0.0), "speed must be above 0, got 0"),
        (lambda: StoppedPump.from_coefficients(0.0, 1.0), "must be above 0, got 0 and 1"),
    ],
)
def test_values_out_of_range_are_refused_with_the_range(make, words: str) -> None:
    with pytest.raises(PartDataError, match=words):
        make()
