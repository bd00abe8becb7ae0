"""A sealed loop from cold to hot."""

import CoolProp.CoolProp as CoolProp
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.errors import PartDataError
from loopsim.media import propylene_glycol, water
from loopsim.studies.fill import expansion_vessel, least_cushion, sealed_loop, swell


def test_water_swells_as_an_open_library_has_it() -> None:
    cold, hot = (CoolProp.PropsSI("D", "T", 273.15 + each, "P", 101325, "Water") for each in (20, 60))
    assert swell(1e-3, water(), 20, 60) == pytest.approx(1e-3 * (cold / hot - 1), rel=2e-2)


def test_glycol_swells_more_than_water() -> None:
    assert swell(1e-3, propylene_glycol(0.4), 20, 60) > 1.3 * swell(1e-3, water(), 20, 60)


def test_the_cushion_by_hand() -> None:
    """1 L of water, 50 mL of air, 20 to 60 °C: swell 15.3 mL of steam tables (998.2 to 983.2 kg/m3)."""
    loop = sealed_loop(1e-3, 50e-6, water(), 20, 60, rating=100e3)
    grown = 1e-3 * (998.2 / 983.2 - 1)
    by_hand = (101325 - 2339) * 333.15 / 293.15 * 50e-6 / (50e-6 - grown) + 19946 - 101325
    assert loop.swell == pytest.approx(grown, rel=0.01)
    assert loop.pressure == pytest.approx(by_hand, rel=0.01)
    assert loop.holds


@given(st.floats(5e3, 300e3), st.floats(0.2e-3, 5e-3), st.floats(40, 80))
def test_the_least_cushion_ends_just_at_the_rating(rating: float, volume: float, hot: float) -> None:
    least = least_cushion(volume, water(), 20, hot, rating)
    if least == float("inf"):  # hotter gas and vapour alone exceed the rating, whatever the size
        assert not sealed_loop(volume, 1e3 * volume, water(), 20, hot, rating).holds
    else:
        assert sealed_loop(volume, least, water(), 20, hot, rating).pressure == pytest.approx(rating, rel=1e-6)
        assert not sealed_loop(volume, 0.9 * least, water(), 20, hot, rating).holds


def test_a_full_loop_has_no_pressure_that_it_stops_at() -> None:
    assert sealed_loop(1e-3, 10e-6, water(), 20, 60, rating=100e3).pressure == float("inf")
    with pytest.raises(PartDataError, match="gas cushion must be above 0 mL, got 0 mL"):
        sealed_loop(1e-3, 0.0, water(), 20, 60, rating=100e3)


def test_an_expansion_vessel_by_the_standards_formula() -> None:
    """EN 12828, from memory: 20 mL between 0.5 and 1.5 bar takes 20 (1.5 + 1) / (1.5 - 0.5) = 50 mL."""
    assert expansion_vessel(20e-6, 50e3, 150e3, ambient=100e3) == pytest.approx(50e-6)
    with pytest.raises(PartDataError, match=r"must be above the precharge of 1 bar, got 0\.5 bar"):
        expansion_vessel(20e-6, 100e3, 50e3)
