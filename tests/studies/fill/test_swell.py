"""Swell from cold to hot: where it goes in a vented loop, what a sealed one bears, how large a vessel is."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import CoolProp.CoolProp as CoolProp
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.build import Build, edits, load
from loopsim.errors import MediumError, PartDataError
from loopsim.media import Cushion, least_gas, water
from loopsim.studies import heat_points, operating_point
from loopsim.studies.fill import CircuitSwell, expansion_vessel, fill_plan, swell_sheet

Make = Callable[..., Build]
AIR_ML = 150 * 80 * 6 / 1000  # inside a reservoir of 160 by 90 mm and 5 mm walls, 6 mm between level and lid


def sheet(build: Build, hot_c: float = 60.0) -> CircuitSwell:
    (found,) = swell_sheet(operating_point(build), hot_c=hot_c)
    return found


def sealed(build: Build, **values: object) -> Build:
    return edits.change_part(build, "vessel", air_above="sealed", **values).build


def rated(build: Build, kpa: float) -> Build:
    return edits.change_part(build, "pump", rating_kpa=kpa).build


def swell_of(found: CircuitSwell, hot_c: float) -> float:
    """By the densities of an open library."""
    cold, hot = (CoolProp.PropsSI("D", "T", 273.15 + each, "P", 101325, "Water") for each in (found.cold_c, hot_c))
    return found.volume * (cold / hot - 1)


def test_a_vented_level_rises_by_the_swell_over_its_area(loop: Make) -> None:
    found = sheet(loop(50))
    assert found.swell == pytest.approx(swell_of(found, 60), rel=0.02)
    (rise,) = found.rises
    assert rise.rise == pytest.approx(found.swell / (0.150 * 0.080))
    assert rise.room == pytest.approx(0.006)
    assert found.verdict == "holds"


def test_a_level_just_under_the_lid_overflows(loop: Make) -> None:
    full = edits.change_part(loop(50), "vessel", level_mm=49.9).build
    found = sheet(full)
    assert found.verdict == "overflows"
    assert "Vessel overflows" in found.sentences[1]


def test_a_sealed_loop_stands_at_the_pressure_of_its_cushion(loop: Make) -> None:
    found = sheet(sealed(loop(50)))
    held = Cushion(AIR_ML * 1e-6).pressure(found.volume, water(), found.cold_c, 60.0)
    assert found.gas == pytest.approx(AIR_ML * 1e-6)
    assert (found.cold, found.hot) == (pytest.approx(0.0, abs=1e-6), pytest.approx(held))
    assert found.verdict == "holds"
    assert "the usual test pressure" in found.sentences[1]


def test_the_weakest_rating_counts_less_what_the_pump_adds_there(loop: Make) -> None:
    build = rated(sealed(loop(50)), 40.0)
    point = operating_point(build)
    found = sheet(build)
    held = point.pressures["vessel.outlet"] - found.cold
    adds = max(point.pressures["pump.inlet"], point.pressures["pump.outlet"])
    assert found.weakest == "Pump"
    assert 40e3 - adds < found.most < 40e3 - adds + held + 2e3
    assert sheet(rated(sealed(loop(50)), 20.0)).verdict == "too high"


def test_a_cushion_smaller_than_the_swell_bursts(loop: Make) -> None:
    found = sheet(sealed(loop(50), level_mm=49.9), 90.0)
    assert (found.verdict, found.hot) == ("bursts", float("inf"))


def test_of_a_vented_loop_the_sheet_says_what_sealing_it_would_take(loop: Make) -> None:
    found = sheet(loop(50))
    as_sealed = sheet(sealed(loop(50)))
    assert (found.hot, found.least_gas) == (as_sealed.hot, as_sealed.least_gas)
    assert any("sealed as it is drawn" in each for each in found.sentences)


def test_where_no_air_keeps_it_below_the_limit_it_is_not_told_as_if_none_were_needed(loop: Make) -> None:
    """At 99 °C vapour alone stands near 1 bar, so gas above the coolant passes 0.5 bar whatever its volume."""
    found = sheet(loop(50), 99.0)
    assert found.least_gas == float("inf")
    assert found.sentences[-1].endswith("no amount of air alone is enough")


@given(st.floats(5e3, 300e3), st.floats(0.2e-3, 5e-3), st.floats(40, 80))
def test_the_least_gas_ends_just_at_what_is_allowed(most: float, volume: float, hot: float) -> None:
    least = least_gas(volume, water(), 20, hot, most)
    if least == float("inf"):  # hotter gas and vapour alone exceed it, whatever the size
        assert Cushion(1e3 * volume).pressure(volume, water(), 20, hot) > most
    else:
        assert Cushion(least).pressure(volume, water(), 20, hot) == pytest.approx(most, rel=1e-6)
        assert Cushion(0.9 * least).pressure(volume, water(), 20, hot) > most


def test_an_expansion_vessel_by_the_standards_formula() -> None:
    """EN 12828, from memory: 20 mL between 0.5 and 1.5 bar takes 20 (1.5 + 1) / (1.5 - 0.5) = 50 mL."""
    assert expansion_vessel(20e-6, 50e3, 150e3, ambient=100e3) == pytest.approx(50e-6)
    with pytest.raises(PartDataError, match=r"must be above the precharge of 1 bar, got 0\.5 bar"):
        expansion_vessel(20e-6, 100e3, 50e3)


def test_the_hottest_coolant_of_all_load_cases_counts(loop: Make) -> None:
    build = loop(50)
    heats = heat_points(build)
    much = tuple(replace(heat, streams={"pump": (71.0, 70.0), "elsewhere": (99.0, 99.0)}) for heat in heats)
    (found,) = swell_sheet(operating_point(build), much)
    assert found.hot_c == 71.0
    (boiling,) = swell_sheet(operating_point(build), [replace(heats[0], streams={"pump": (1e9, 1e9)})])
    assert boiling.hot_c == 100.0
    (cool,) = swell_sheet(operating_point(build), [replace(heats[0], streams={})])
    assert cool.hot_c == build.coolant.temperature_c


def test_a_temperature_beyond_the_coolant_is_refused(loop: Make) -> None:
    with pytest.raises(MediumError, match="lies outside the data"):
        sheet(loop(50), 130.0)


def test_a_sealed_vessel_is_closed_cold_at_the_end_of_its_fill(plinth_path: Path) -> None:
    plinth = load(plinth_path)
    closed = edits.change_part(plinth, "reservoir", air_above="sealed", sealed_bar=0.2).build
    vented, last = fill_plan(plinth).steps[-1], fill_plan(closed).steps[-1]
    assert vented.action == "check"
    assert last.action == "cap"
    assert "Close the lid of Reservoir for good while the loop is cold: 48 mL of air" in last.sentence
    assert "0.20 bar" in last.sentence
