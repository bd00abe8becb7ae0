"""The spread of values that come in portions is that of all of them together."""

import numpy as np
import pytest

from loopsim.studies.tolerance.tally import Tally


def tallied(values: np.ndarray, portion: int = 1000) -> Tally:
    tally = Tally()
    for first in range(0, len(values), portion):
        tally.add(values[first : first + portion])
    return tally


@pytest.mark.parametrize("skew", [0.0, 1.0])
def test_mean_deviation_and_quantiles_are_those_of_numpy(skew: float) -> None:
    normal = np.random.default_rng(0).standard_normal(50_300)
    values = 70.0 + 3.0 * (np.exp(skew * normal) if skew else normal)
    found = tallied(values)
    assert found.count == len(values)
    assert found.mean == pytest.approx(values.mean(), rel=1e-13)
    assert found.deviation == pytest.approx(values.std(ddof=1), rel=1e-12)
    for share in (0.025, 0.5, 0.975):
        assert found.quantile(share) == pytest.approx(np.quantile(values, share), abs=2e-3 * values.std())


def test_quantiles_of_a_normal_distribution_are_those_of_the_tables() -> None:
    """Handbook: 1.959964 standard deviations leave 2.5 % outside on either side."""
    found = tallied(np.random.default_rng(1).standard_normal(400_000))
    error = 3 * np.sqrt(0.025 * 0.975 / 400_000) / 0.05845  # of a quantile, by the density there
    assert found.quantile(0.025) == pytest.approx(-1.959964, abs=error)
    assert found.quantile(0.975) == pytest.approx(1.959964, abs=error)


def test_far_values_are_counted_though_no_bin_holds_them() -> None:
    values = np.concatenate((np.random.default_rng(2).standard_normal(1000), np.full(1000, 1e6)))
    found = tallied(values)
    assert found.most == 1e6
    assert found.quantile(0.9) > 10
    assert found.mean == pytest.approx(values.mean(), rel=1e-12)


def test_what_does_not_vary_has_no_spread() -> None:
    band = tallied(np.full(3000, 55.0)).band("margin_k", 55.0)
    assert (band.mean, band.deviation, band.low, band.median, band.high) == (55.0, 0.0, 55.0, 55.0, 55.0)


def test_one_value_is_its_own_band() -> None:
    band = tallied(np.array([-3.0])).band("margin_k", 1.0)
    assert (band.low, band.median, band.high, band.deviation) == (-3.0, -3.0, -3.0, 0.0)
