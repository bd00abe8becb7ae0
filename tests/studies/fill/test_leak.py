"""Reading a leak test, and lids under test pressure."""

import pytest

from loopsim.errors import PartDataError
from loopsim.media import water
from loopsim.studies.fill import (
    ACRYLIC,
    POLYCARBONATE,
    USUAL_TEST_PRESSURE,
    air_test_pressure,
    expected_pressure,
    leak_test,
    lid_load,
    plate_coefficients,
)


def test_a_wet_loop_gains_more_than_a_dry_one_by_its_vapour() -> None:
    """From 20 to 30 °C: dry air by a thirtieth; vapour from 2.34 to 4.25 kPa, of steam tables."""
    dry = expected_pressure(50e3, 20, 30)
    wet = expected_pressure(50e3, 20, 30, coolant=water())
    by_hand = (50e3 + 101325 - 2340) * 303.15 / 293.15 + 4247 - 101325
    assert wet == pytest.approx(by_hand, abs=10)
    assert wet > dry


def test_a_falling_barometer_looks_like_a_gain() -> None:
    test = leak_test(50e3, 51e3, 20, 20, ambient=101e3, ambient_end=100e3)
    assert test.by_barometer == pytest.approx(1000)
    assert test.unexplained == pytest.approx(0)
    assert test.verdict == "tight"


@pytest.mark.parametrize(("end", "verdict"), [(49.5e3, "tight"), (48.0e3, "doubtful"), (40e3, "leaks")])
def test_what_is_missing_is_judged_by_what_reading_errors_hide(end: float, verdict: str) -> None:
    test = leak_test(50e3, end, 20, 20, volume=0.5e-3, seconds=600)
    assert test.verdict == verdict
    assert test.unexplained == pytest.approx(50e3 - end)
    assert test.leak == pytest.approx(0.5e-3 * (50e3 - end) / 600)


def test_parts_of_the_change_add_up() -> None:
    test = leak_test(50e3, 50e3, 20, 26, 101e3, 100.4e3, water())
    assert 50e3 + test.by_temperature + test.by_vapour + test.by_barometer == pytest.approx(test.expected)


def test_the_weakest_part_less_its_column_sets_the_pressure() -> None:
    assert air_test_pressure([200e3, 30e3], 0.0, 1000) == 30e3
    assert air_test_pressure([200e3], 0.0, 1000) == USUAL_TEST_PRESSURE == 50e3  # common practice, no source
    assert air_test_pressure([], 0.0, 1000) == USUAL_TEST_PRESSURE
    assert air_test_pressure([20e3], 1.0, 1000) == pytest.approx(20e3 - 9806.65)
    assert air_test_pressure([5e3], 1.0, 1000) == 0


def test_a_lid_by_hand() -> None:
    """100 by 100 mm of 8 mm acrylic at 0.5 bar, free to turn: beta 0.2874 at nu 0.3, some more at 0.37; Roark."""
    load = lid_load(0.1, 0.1, 0.008, 50e3)
    assert load.stress == pytest.approx(0.2874 * (1 + 0.37) / 1.3 * 50e3 * (100 / 8) ** 2, rel=1e-3)
    assert load.lasting_margin == pytest.approx(ACRYLIC.long_time / load.stress)
    assert load.verdict == "fine"
    assert load.is_stiff


def test_a_thin_lid_fails_and_a_thick_one_holds() -> None:
    assert lid_load(0.2, 0.15, 0.003, 50e3).verdict == "too thin"
    assert lid_load(0.2, 0.15, 0.008, 50e3).verdict == "for the test only"
    assert lid_load(0.2, 0.15, 0.015, 50e3).verdict == "fine"


def test_stiffer_edges_bend_less_and_turning_the_lid_changes_nothing() -> None:
    free, clamped = (lid_load(0.2, 0.1, 0.01, 50e3, edges=edges) for edges in ("free to turn", "clamped"))
    assert clamped.deflection < 0.4 * free.deflection
    assert lid_load(0.1, 0.2, 0.01, 50e3) == free


def test_polycarbonate_bends_more_and_bears_more_for_long() -> None:
    acrylic, other = (lid_load(0.2, 0.1, 0.01, 50e3, plastic) for plastic in (ACRYLIC, POLYCARBONATE))
    assert other.deflection > acrylic.deflection
    assert other.lasting_margin > acrylic.lasting_margin


def test_a_long_clamped_plate_is_a_clamped_strip() -> None:
    """By hand q b^4 / (384 D) and q b^2 / 12: alpha = 12 (1 - nu^2) / 384, beta = 1/2, as in every book on strength."""
    alpha, beta = plate_coefficients(4.0, "clamped", 0.3)
    assert alpha == pytest.approx(12 * 0.91 / 384, rel=0.02)
    assert beta == pytest.approx(0.5, rel=0.02)


def test_a_lid_without_a_thickness_is_refused() -> None:
    with pytest.raises(PartDataError, match="thickness must be above 0 mm, got 0 mm"):
        lid_load(0.1, 0.1, 0.0, 50e3)
