"""The band found at once agrees with the band of draws."""

import pytest

import sample_loops
from loopsim.build import load
from loopsim.studies.rounding import with_band
from loopsim.studies.tolerance import tolerance
from loopsim.studies.tolerance.quick import quick_bands


@pytest.mark.parametrize("name", ["render-plinth", "kiln-lamp"])
def test_the_band_at_once_is_that_of_the_draws(name: str) -> None:
    """Two standard deviations of 4,000 draws are sure to within 2 %; first order stays within a tenth."""
    spread = tolerance(load(sample_loops.sample(name)), draws=4_000, seed=1)
    found = quick_bands(spread.heat)
    bands = {band.key: band for band in spread.bands}
    assert {"flow_l_h", "coolant_rise_k"} <= set(found) <= set(bands)
    for key in found:
        assert found[key] == pytest.approx(2 * bands[key].deviation, rel=0.12), key


@pytest.mark.parametrize(
    ("value", "half", "words"),
    [
        (332.4, 21.3, "330 ± 20"),
        (332.4, 15.2, "332 ± 15"),
        (332.4, 9.6, "332 ± 10"),
        (31.52, 1.84, "31.5 ± 1.8"),
        (31.52, 3.2, "32 ± 3"),
        (0.512, 0.048, "0.51 ± 0.05"),
        (-2.44, 3.1, "−2 ± 3"),
        (1234.0, 130.0, "1230 ± 130"),
        (332.4, 0.0, "332"),
        (7.31, 0.0, "7.3"),
    ],
)
def test_a_figure_has_no_more_digits_than_its_band_allows(value: float, half: float, words: str) -> None:
    """Common practice: one digit of an uncertainty, two where the first is a 1, and the value to the same place."""
    assert with_band(value, half) == words
