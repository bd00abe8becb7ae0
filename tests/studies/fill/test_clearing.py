"""Speeds that carry air along, against published numbers."""

import CoolProp.CoolProp as CoolProp
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.media import propylene_glycol, water
from loopsim.studies.fill.clearing import (
    HYDRONIC_PRACTICE,
    bubble_drift,
    clearing_speeds,
    clears,
    eotvos,
    plug_drift,
    surface_tension,
)

WATER = {"density": 998.0, "viscosity": 1.0e-3, "tension": 0.0728}


def test_surface_tension_of_water_is_that_of_an_open_library() -> None:
    for temperature in (5, 20, 40, 60, 90):
        other = CoolProp.PropsSI("surface_tension", "T", temperature + 273.15, "Q", 0, "Water")
        assert surface_tension(water(), temperature) == pytest.approx(other, rel=2e-3)


def test_glycol_lowers_surface_tension() -> None:
    assert 0.036 < surface_tension(propylene_glycol(0.4), 20) < surface_tension(water(), 20)


def test_a_plug_in_an_upright_tube_of_five_millimetres_no_longer_rises() -> None:
    """Bretherton (1961): a bubble in a sealed tube stays where rho g R^2 / sigma is below 0.842; from memory."""
    limit = 2 * np.sqrt(0.842 * WATER["tension"] / (WATER["density"] * 9.80665))
    assert limit == pytest.approx(5.0e-3, rel=0.01)
    assert plug_drift(0.98 * limit, **WATER) == 0
    assert plug_drift(1.10 * limit, **WATER) > 0


def test_a_plug_in_a_wide_upright_tube_rises_as_dumitrescu_and_davies_and_taylor_found() -> None:
    """0.35 sqrt(g D), Dumitrescu (1943), Davies and Taylor (1950), from memory; 0.345 in Wallis's form."""
    assert plug_drift(0.1, **WATER) == pytest.approx(0.35 * np.sqrt(9.80665 * 0.1), rel=0.02)


def test_a_plug_rises_fastest_in_a_sloping_tube() -> None:
    """Zukoski (1966): the largest speed lies between 30 and 60 degrees; from memory."""
    angles = np.arange(0, 91)
    speeds = plug_drift(0.1, **WATER, sine=np.sin(np.radians(angles)))
    assert 30 <= angles[speeds.argmax()] <= 60


def test_bubbles_rise_in_water_by_a_quarter_of_a_metre_per_second() -> None:
    """Clift, Grace and Weber, Bubbles, Drops and Particles (1978): 0.2 to 0.3 m/s from 2 to 10 mm; from memory."""
    assert 0.2 < bubble_drift(998.0, 0.0728) < 0.3


def test_common_practice_lies_above_what_tubes_of_ten_millimetres_need_for_sure() -> None:
    """0.4 to 0.6 m/s keep air moving in heating pipes: common practice, no source."""
    speeds = clearing_speeds(0.010, 1.0, **{name: WATER[name] for name in ("density", "viscosity", "tension")})
    assert speeds.stays_below < speeds.clears_above < HYDRONIC_PRACTICE[0]


@given(st.floats(1e-3, 0.05), st.floats(-1, 1))
def test_the_spread_is_a_spread(bore: float, sine: float) -> None:
    speeds = clearing_speeds(bore, sine, **WATER)
    assert 0 <= speeds.stays_below <= speeds.clears_above
    if sine < -0.02:
        assert speeds.clears_above == 0  # upwards it goes by itself


def test_verdicts() -> None:
    assert clears(0.0, 0.0, 0.0) == "stays"
    assert clears(0.05, 0.1, 0.3) == "stays"
    assert clears(0.2, 0.1, 0.3) == "may clear"
    assert clears(0.3, 0.1, 0.3) == "clears"


def test_eotvos_by_hand() -> None:
    """998 kg/m3 * 9.80665 m/s2 * (10 mm)^2 / 0.0728 N/m."""
    assert eotvos(0.010, 998.0, 0.0728) == pytest.approx(998 * 9.80665 * 1e-4 / 0.0728)
