"""Heads that fall and drops that rise, whatever the points."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.curves import falling_head, falling_polynomial, rising_drop
from loopsim.errors import PartDataError

FLOWS = [0.0, 3e-5, 6e-5, 9e-5, 1.2e-4]
WATER = (998.2, 1.002e-3)


@given(st.lists(st.floats(0.0, 5.0), min_size=5, max_size=5).filter(lambda heads: min(np.diff(heads)) < -1e-3))
def test_any_pump_curve_with_a_falling_stretch_falls_everywhere(heads: list[float]) -> None:
    law = falling_head(FLOWS, heads)
    flow = np.linspace(-3e-4, 4e-4, 301)
    head, slope = law.curve(flow)
    assert (slope < 0).all()
    assert (np.diff(head) < 0).all()


def test_a_falling_curve_passes_through_its_points() -> None:
    heads = [4.1, 3.9, 3.2, 2.0, 0.4]
    law = falling_head(FLOWS, heads)
    assert law.curve(FLOWS)[0] == pytest.approx(heads)
    assert not law.levelled


def test_a_dip_is_levelled_and_promises_no_more_than_the_points() -> None:
    heads = [4.0, 3.5, 3.8, 2.0, 0.5]
    law = falling_head(FLOWS, heads)
    assert law.levelled
    assert (law.curve(FLOWS)[0] <= np.array(heads) + 1e-12).all()


def test_head_rises_in_reverse_flow_and_falls_below_zero_beyond_the_last_point() -> None:
    law = falling_head(FLOWS, [4.0, 3.8, 3.0, 1.8, 0.2])
    assert law.head(-5e-5) > 4.0
    assert law.head(3e-4) < 0.0


@pytest.mark.parametrize("coefficients", [[4.0, 0.0, -3.6e7], [4.0, -1e4, -1e7, -1e11]])
def test_a_polynomial_is_taken_as_it_is(coefficients: list[float]) -> None:
    law = falling_polynomial(coefficients)
    flow = np.linspace(0.0, law.last_flow, 50)
    assert law.curve(flow)[0] == pytest.approx(np.polynomial.Polynomial(coefficients)(flow), abs=1e-12)
    assert law.head(law.last_flow) == pytest.approx(0.0, abs=1e-9)


def test_a_polynomial_that_rises_first_is_levelled() -> None:
    law = falling_polynomial([4.0, 2e4, -4e8])
    assert law.levelled
    assert (law.curve(np.linspace(0, law.last_flow, 99))[1] < 0).all()


def test_a_polynomial_of_fourth_degree_is_followed_closely() -> None:
    coefficients = [4.0, -1e3, -1e7, -1e10, -1e15]
    law = falling_polynomial(coefficients)
    flow = np.linspace(0.0, law.last_flow, 500)
    assert law.curve(flow)[0] == pytest.approx(np.polynomial.Polynomial(coefficients)(flow), abs=2e-4)


@pytest.mark.parametrize("coefficients", [[-1.0, 0.0, -1.0], [4.0, 0.0, 1.0], [4.0]])
def test_a_polynomial_without_a_range_is_refused(coefficients: list[float]) -> None:
    with pytest.raises(PartDataError, match="start above 0 m at zero flow and come down to 0 m"):
        falling_polynomial(coefficients)


def test_points_of_an_exact_two_term_law_are_found_again() -> None:
    flow = np.array([1e-5, 3e-5, 8e-5])
    dp = 2e6 * flow + 4e12 * flow**2
    law = rising_drop(flow, dp, *WATER)
    probe = np.linspace(-1e-4, 1e-4, 41)
    assert law.in_medium(*WATER)(probe)[0] == pytest.approx(2e6 * probe + 4e12 * probe * np.abs(probe), rel=1e-9)
    assert law.misfit < 1e-9


def test_points_that_two_terms_miss_are_interpolated() -> None:
    flow, dp = [1e-5, 2e-5, 4e-5, 8e-5], [1e2, 1e3, 1.2e3, 2e4]
    law = rising_drop(flow, dp, *WATER)
    assert law.in_medium(*WATER)(flow)[0] == pytest.approx(dp)
    assert law.misfit == 0.0


@given(st.lists(st.floats(0.02, 3.0), min_size=1, max_size=6), st.data())
def test_any_drop_curve_rises_everywhere_and_is_odd(flow_steps: list[float], data: st.DataObject) -> None:
    drop_steps = data.draw(st.lists(st.floats(0.02, 3.0), min_size=len(flow_steps), max_size=len(flow_steps)))
    flow, dp = np.cumsum(flow_steps) * 1e-5, np.cumsum(drop_steps) * 1e3
    curve = rising_drop(flow, dp, *WATER).in_medium(*WATER)
    probe = np.linspace(-3 * flow[-1], 3 * flow[-1], 201)
    value, slope = curve(probe)
    assert (slope > 0).all()
    assert value == pytest.approx(-curve(-probe)[0], rel=1e-9, abs=1e-9)


def test_one_point_follows_its_exponent_there() -> None:
    law = rising_drop([5e-5], [1e4], *WATER, exponent=1.85).in_medium(*WATER)
    value, slope = law(5e-5)
    assert value == pytest.approx(1e4)
    assert slope * 5e-5 / value == pytest.approx(1.85)


def test_similarity_carries_water_data_to_another_liquid() -> None:
    """``dp rho / mu^2`` depends on ``rho Q / mu`` alone; the two-term law shows it: viscous term ~ mu, other ~ rho."""
    flow = np.array([1e-5, 3e-5, 8e-5])
    law = rising_drop(flow, 2e6 * flow + 4e12 * flow**2, *WATER)
    glycol = (1030.0, 3.0e-3)
    expected = 2e6 * glycol[1] / WATER[1] * 2e-5 + 4e12 * glycol[0] / WATER[0] * 2e-5**2
    assert float(law.in_medium(*glycol)(2e-5)[0]) == pytest.approx(expected, rel=1e-9)


def test_beyond_the_data_is_judged_free_of_the_medium() -> None:
    law = rising_drop([2e-5, 5e-5], [1e3, 6e3], *WATER)
    assert not law.beyond_data(4.9e-5, *WATER)
    assert law.beyond_data(5.1e-5, *WATER)
    assert law.beyond_data(4e-5, WATER[0], WATER[1] / 2)  # hot, thin liquid: twice the Reynolds number


@pytest.mark.parametrize(
    ("flow", "dp"), [([], []), ([0.0, 1e-5], [1.0, 2.0]), ([2e-5, 1e-5], [1.0, 2.0]), ([1e-5, 2e-5], [2.0, 1.0])]
)
def test_points_that_do_not_rise_are_refused(flow: list[float], dp: list[float]) -> None:
    with pytest.raises(PartDataError):
        rising_drop(flow, dp, *WATER)
