"""First-order Sobol indices against closed forms."""

import numpy as np
import pytest

from loopsim.studies.tolerance.sensitivity import first_order


def test_the_function_of_ishigami_and_homma() -> None:
    """``sin x + 7 sin^2 y + 0.1 z^4 sin x`` on -pi to pi; Ishigami and Homma (1990).

    By integration ``V = a^2/8 + b pi^4/5 + b^2 pi^8/18 + 1/2``, of which x explains ``(1 + b pi^4/5)^2 / 2``, y
    ``a^2/8`` and z nothing by itself: 0.3139, 0.4424, 0.
    """
    x, y, z = inputs = np.random.default_rng(1).uniform(-np.pi, np.pi, (3, 20_000))
    found = first_order(inputs, np.sin(x) + 7 * np.sin(y) ** 2 + 0.1 * z**4 * np.sin(x))
    a, b = 7, 0.1
    whole = a**2 / 8 + b * np.pi**4 / 5 + b**2 * np.pi**8 / 18 + 0.5
    assert found == pytest.approx([(1 + b * np.pi**4 / 5) ** 2 / 2 / whole, a**2 / 8 / whole, 0.0], abs=0.02)


def test_of_a_sum_each_explains_its_share_of_the_variance() -> None:
    inputs = np.random.default_rng(2).standard_normal((3, 20_000))
    found = first_order(inputs, inputs[0] + 2 * inputs[1])
    assert found == pytest.approx([0.2, 0.8, 0.0], abs=0.02)


def test_what_does_not_vary_and_few_draws_tell_nothing() -> None:
    inputs = np.random.default_rng(3).standard_normal((2, 1000))
    assert first_order(inputs, np.full(1000, 3.0)).tolist() == [0, 0]
    assert first_order(inputs[:, :50], inputs[0, :50]).tolist() == [0, 0]
