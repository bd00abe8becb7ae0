"""Friction in all regimes."""

import fluids
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.elements import friction_factor, wall_drop

ROUGHNESS = (0.0, 1e-6, 1e-4, 1e-3, 1e-2, 0.05)


@pytest.mark.parametrize("roughness", ROUGHNESS)
@pytest.mark.filterwarnings("ignore:overflow encountered:RuntimeWarning")  # inside the other library
def test_turbulent_factor_is_that_of_an_independent_library(roughness: float) -> None:
    """`fluids` solves the same equation in another way; Re 4e3 to 1e8."""
    reynolds = np.geomspace(4.0e3, 1e8, 60)
    expected = [fluids.friction.Colebrook(each, roughness) for each in reynolds]
    assert friction_factor(reynolds, roughness) == pytest.approx(expected, rel=1e-12)


def test_laminar_factor_is_64_over_reynolds() -> None:
    reynolds = np.array([1e-3, 1.0, 500.0, 2000.0])
    assert friction_factor(reynolds) == pytest.approx(64 / reynolds)


@given(st.sampled_from(ROUGHNESS))
def test_drop_rises_through_the_transition_without_a_jump(roughness: float) -> None:
    reynolds = np.linspace(1500.0, 4500.0, 6001)
    drop, slope = wall_drop(reynolds, np.full_like(reynolds, roughness))
    assert (np.diff(drop) > 0).all()
    assert (slope > 0).all()
    assert np.abs(np.diff(drop)).max() < 1e-3 * drop[-1]


@pytest.mark.parametrize("roughness", [0.0, 1e-4, 1e-2])
@pytest.mark.parametrize("reynolds", [0.0, 10.0, 1999.0, 2500.0, 3999.0, 4001.0, 1e5])
def test_slope_is_the_difference_quotient(reynolds: float, roughness: float) -> None:
    h = 1e-4 * max(reynolds, 1.0)
    around = np.array([reynolds + h, max(reynolds - h, 0.0)])
    drop, _ = wall_drop(around, np.full(2, roughness))
    _, slope = wall_drop(np.array([reynolds]), np.array([roughness]))
    assert slope[0] == pytest.approx((drop[0] - drop[1]) / (around[0] - around[1]), rel=1e-3)
