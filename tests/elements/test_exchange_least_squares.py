"""Least squares within bounds against an independent library."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from loopsim.elements.exchange.least_squares import least_squares

X = np.array([0.3, 0.7, 1.1, 1.6, 2.4, 3.5])
LOW, HIGH = np.array([-np.inf, 0.0, 0.0]), np.array([np.inf, 1.0, 1.0])


@given(
    scale=st.floats(-1.0, 1.0),
    exponent=st.floats(-0.8, 1.8),
    share=st.floats(0.0, 1.0),
    noise=st.lists(st.floats(-0.1, 0.1), min_size=6, max_size=6),
)
def test_it_ends_where_an_independent_library_ends(
    scale: float, exponent: float, share: float, noise: list[float]
) -> None:
    """A power law with an offset; true exponents beyond the bounds press against them."""
    data = np.exp(scale) * (share + X**exponent) * (1 + np.array(noise))

    def misses(values: np.ndarray) -> np.ndarray:
        model = np.exp(values[0]) * (values[2] + X ** values[1])
        return np.append(np.log(model / data), 0.05 * (values[1:] - 0.5))

    start = np.array([0.0, 0.5, 0.5])
    ours = least_squares(misses, start, LOW, HIGH)
    theirs = optimize.least_squares(misses, start, bounds=(LOW, HIGH), xtol=1e-14, ftol=1e-14, gtol=1e-14).x
    assert np.all((ours >= LOW) & (ours <= HIGH))
    assert misses(ours) @ misses(ours) == pytest.approx(misses(theirs) @ misses(theirs), rel=1e-5, abs=1e-10)


def test_a_straight_line_is_met_at_once() -> None:
    def misses(values: np.ndarray) -> np.ndarray:
        return values[0] + values[1] * X + values[2] * X**2 - (0.2 + 0.4 * X + 0.6 * X**2)

    wide = np.full(3, np.inf)
    assert least_squares(misses, np.zeros(3), -wide, wide) == pytest.approx([0.2, 0.4, 0.6])
