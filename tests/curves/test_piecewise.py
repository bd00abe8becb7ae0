"""Piecewise cubics and the slopes that keep them monotone."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from loopsim.curves import CurveBank, PiecewiseCubic, monotone_slopes

steps = st.lists(st.floats(0.01, 10.0), min_size=2, max_size=8)


@given(steps, st.data())
def test_slopes_agree_with_an_independent_library(widths: list[float], data: st.DataObject) -> None:
    """The PCHIP of scipy has the same rule."""
    rises = data.draw(st.lists(st.floats(0.01, 10.0), min_size=len(widths), max_size=len(widths)))
    x, y = np.cumsum([0.0, *widths]), np.cumsum([0.0, *rises])
    assert monotone_slopes(x, y) == pytest.approx(PchipInterpolator(x, y).derivative()(x), rel=1e-9, abs=1e-12)


@given(steps, st.data())
def test_pieces_pass_through_their_points_with_their_slopes(widths: list[float], data: st.DataObject) -> None:
    values = data.draw(st.lists(st.floats(-5, 5), min_size=len(widths) + 1, max_size=len(widths) + 1))
    slopes = data.draw(st.lists(st.floats(-5, 5), min_size=len(widths) + 1, max_size=len(widths) + 1))
    x = np.cumsum([0.0, *widths])
    value, slope = PiecewiseCubic.through(x, np.array(values), np.array(slopes))(x)
    assert value == pytest.approx(values, abs=1e-9)
    assert slope == pytest.approx(slopes, abs=1e-9)


def test_the_slope_is_the_difference_quotient() -> None:
    x = np.array([0.0, 1.0, 2.5, 3.0])
    curve = PiecewiseCubic.through(x, np.array([4.0, 3.0, 1.0, 0.5]), np.array([-1.0, -1.2, -1.1, -1.0]), 0.5, -0.5)
    at, h = np.linspace(-2.0, 5.0, 57) + 0.013, 1e-6
    quotient = (curve(at + h)[0] - curve(at - h)[0]) / (2 * h)
    assert curve(at)[1] == pytest.approx(quotient, rel=1e-6, abs=1e-6)


def test_scaling_stretches_both_axes() -> None:
    curve = PiecewiseCubic.through(np.array([0.0, 1.0, 3.0]), np.array([0.0, 2.0, 3.0]), np.array([2.0, 1.0, 0.3]))
    at = np.linspace(-1.0, 5.0, 25)
    assert curve.scaled(2.0, 3.0)(2.0 * at)[0] == pytest.approx(3.0 * curve(at)[0])


def test_a_bank_evaluates_curves_of_different_length_as_each_alone() -> None:
    short = PiecewiseCubic.odd(1.0, 2.0)
    long = PiecewiseCubic.through(
        np.array([0.0, 1.0, 2.0, 4.0]), np.array([4.0, 3.0, 2.5, 0.0]), -np.ones(4), 0.1, -0.1
    )
    at = np.array([[-1.0, 0.0, 1.5], [-2.0, 3.0, 9.0]])
    value, slope = CurveBank([short, long]).evaluate(at)
    for row, curve in enumerate((short, long)):
        assert value[row] == pytest.approx(curve(at[row])[0])
        assert slope[row] == pytest.approx(curve(at[row])[1])


def test_two_odd_curves_join_at_zero() -> None:
    joined = PiecewiseCubic.joined_at_zero(PiecewiseCubic.odd(1.0, 5.0), PiecewiseCubic.odd(2.0, 3.0))
    assert joined(-2.0)[0] == pytest.approx(-2.0 - 20.0)
    assert joined(2.0)[0] == pytest.approx(4.0 + 12.0)
