"""Conversion at the edges, against published factors and an open library's constants."""

import pytest
from scipy import constants

from loopsim.units import GRAVITY, KV_PER_CV, UNITS, Unit, converted, unit_of, unit_written, usual_units

# NIST Special Publication 811 (2008), appendix B.8: factor to the SI unit, as printed there (from memory).
NIST_SP_811 = {
    ("l_h", "US gal/min"): 6.309020e-05,
    ("l_h", "ft³/min"): 4.719474e-04,
    ("kpa", "psi"): 6.894757e03,
    ("kpa", "bar"): 1.0e05,
    ("kpa", "mbar"): 1.0e02,
    ("kpa", "ft of water"): 2.989067e03,  # foot of water, conventional
    ("kpa", "in of water"): 2.490889e02,  # inch of water, conventional
    ("kpa", "mmHg"): 1.333224e02,  # millimetre of mercury, conventional
    ("kpa", "inHg"): 3.386389e03,  # inch of mercury, conventional
    ("kpa", "kgf/cm²"): 9.80665e04,
    ("kpa", "mm of water"): 9.80665e00,  # millimeter of water, conventional
    ("m", "ft"): 3.048e-01,
    ("mm", "in"): 2.54e-02,
    ("w", "hp"): 7.456999e02,  # 550 foot pounds-force per second
    ("ml", "US gal"): 3.785412e-03,
}


def named(label: str, unit: str) -> Unit:
    return next(each for each in usual_units(unit) if each.label == label)


@pytest.mark.parametrize(("unit", "label"), NIST_SP_811)
def test_factors_are_those_printed_in_nist_sp_811(unit: str, label: str) -> None:
    """Seven digits are printed."""
    assert named(label, unit).factor == pytest.approx(NIST_SP_811[unit, label], rel=1e-6)


@pytest.mark.parametrize(
    ("unit", "label", "factor"),
    [
        ("l_h", "L/min", constants.liter / constants.minute),
        ("l_h", "m³/h", 1 / constants.hour),
        ("l_h", "mL/s", constants.milli * constants.liter),
        ("l_h", "US gal/h", constants.gallon_US / constants.hour),
        ("l_h", "UK gal/min", constants.gallon_imp / constants.minute),
        ("kpa", "psi", constants.psi),
        ("kpa", "m of water", 1000 * constants.g),
        ("mm", "in", constants.inch),
    ],
)
def test_factors_are_those_of_an_open_library(unit: str, label: str, factor: float) -> None:
    assert named(label, unit).factor == pytest.approx(factor, rel=1e-12)


@pytest.mark.parametrize(("label", "boiling", "freezing"), [("°F", 212.0, 32.0), ("K", 373.15, 273.15)])
def test_temperatures_keep_the_fixed_points_of_water(label: str, boiling: float, freezing: float) -> None:
    """Definitions of the degree Fahrenheit and of the degree Celsius."""
    assert converted(boiling, named(label, "c"), UNITS["c"]) == pytest.approx(100.0)
    assert converted(0.0, UNITS["c"], named(label, "c")) == pytest.approx(freezing)


def test_a_head_from_a_pressure_follows_the_density_of_the_liquid() -> None:
    """Hydrostatics: ``p = rho g H``; one bar lifts 10.197 m of water at 1000 kg/m3."""
    bar, metre = UNITS["bar"], UNITS["m"]
    assert converted(1.0, bar, metre) == pytest.approx(10.19716, rel=1e-6)
    assert converted(1.0, bar, metre, 1050.0) == pytest.approx(1e5 / (1050.0 * GRAVITY))
    assert converted(converted(0.4, bar, metre, 1050.0), metre, bar, 1050.0) == pytest.approx(0.4)


def test_cv_is_0_865_kv() -> None:
    """IEC 60534-1; the gallon and the pound make it 0.8650."""
    cv = named("Cv", "kv_m3_h")
    assert converted(2.0, cv, UNITS["kv_m3_h"]) == pytest.approx(1.73)
    exact = constants.gallon_US / constants.minute * constants.hour * (constants.bar / constants.psi) ** 0.5
    assert pytest.approx(exact, rel=1e-3) == KV_PER_CV


def test_a_conversion_leaves_no_noise_in_the_file() -> None:
    assert converted(3.5, named("L/min", "l_h"), UNITS["l_h"]) == 210.0
    assert converted(0.1, named("m³/h", "l_h"), UNITS["l_h"]) == 100.0


def test_unlike_units_do_not_convert() -> None:
    with pytest.raises(ValueError, match="L/h measures flow, kPa pressure: they do not convert"):
        converted(1.0, UNITS["l_h"], UNITS["kpa"])


@pytest.mark.parametrize(
    ("text", "unit", "label"),
    [
        ("GPM", "l_h", "US gal/min"),
        ("US gal / min", "l_h", "US gal/min"),
        ("l/min", "l_h", "L/min"),
        ("m^3/h", "l_h", "m³/h"),
        ("LPM", "l_h", "L/min"),
        ("PSI", "kpa", "psi"),
        ("mH2O", "m", "m"),
        ("mH₂O", "kpa", "m of water"),
        ("ft", "kpa", "ft of water"),
        ("ft. of water", "m", "ft"),
        ("kPa", "m", "kPa"),
        ("° F", "c", "°F"),
        ("Cv", "kv_m3_h", "Cv"),
        ("cmH2O", "m", "cm"),
        ("inHg", "m", "inHg"),
        ("kg/cm²", "kpa", "kgf/cm²"),
    ],
)
def test_a_unit_is_known_as_people_write_it(text: str, unit: str, label: str) -> None:
    assert unit_written(text, usual_units(unit)).label == label


@pytest.mark.parametrize("unit", UNITS)
def test_the_units_of_a_column_convert_and_are_told_apart(unit: str) -> None:
    offered = usual_units(unit)
    assert offered[0] is UNITS[unit]
    assert len({each.label for each in offered}) == len(offered)
    for each in offered:
        assert unit_written(each.label, offered) is each
        assert converted(converted(1.0, each, offered[0]), offered[0], each) == pytest.approx(1.0)


def test_an_unknown_unit_is_none() -> None:
    assert unit_written("furlongs", usual_units("l_h")) is None


def test_a_name_ends_in_its_unit_the_longest_that_fits() -> None:
    assert (unit_of("flow_l_h"), unit_of("leak_kv_m3_h"), unit_of("flow_m3_h")) == ("l_h", "kv_m3_h", "m3_h")
    assert unit_of("kv_m3_h") == "kv_m3_h"
    assert unit_of("name") is None
