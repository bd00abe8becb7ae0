"""The shipped table against CoolProp, and against the script that makes it."""

import json
from importlib.resources import files

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from loopsim.media import COOLANT_KINDS, Coolant, ethylene_glycol, propylene_glycol, water
from loopsim.media.generate import as_text, make_tables
from loopsim.media.tables import TABLE_FILE

ATMOSPHERE = 101_325.0
SYMBOLS = {"density": "D", "viscosity": "V", "heat_capacity": "C", "conductivity": "L"}
RTOL = {"density": 5e-4, "viscosity": 2e-3, "heat_capacity": 5e-4, "conductivity": 5e-4, "vapour_pressure": 2e-3}
MIXES = {propylene_glycol: "MPG", ethylene_glycol: "MEG"}
# [g/mol], standard atomic weights of IUPAC: H 1.008, C 12.011, O 15.999
MOLAR_MASS = {
    "water": 2 * 1.008 + 15.999,
    propylene_glycol: 3 * 12.011 + 8 * 1.008 + 2 * 15.999,
    ethylene_glycol: 2 * 12.011 + 6 * 1.008 + 2 * 15.999,
}

mixes = pytest.mark.parametrize("glycol", MIXES, ids=lambda glycol: glycol.__name__)
every_property = pytest.mark.parametrize("name", SYMBOLS)


def random_mixes(glycol, count):
    """Mixes and temperatures all over the allowed range, among them points hard by the freezing curve."""
    random = np.random.default_rng(20)
    points = []
    for x, share in zip(random.uniform(0.0, 0.6, count), random.uniform(0.0, 1.0, count) ** 2, strict=True):
        coolant = glycol(x)
        coldest = coolant.lowest_temperature_c + 0.01
        points.append((coolant, coldest + share * (99.99 - coldest)))
    return points


def saturated_water_pressure(temperature_c):
    return PropsSI("P", "T", temperature_c + 273.15, "Q", 0, "HEOS::Water")


@every_property
def test_water_follows_coolprop_between_the_rows(name):
    for t in [0.01, *np.random.default_rng(10).uniform(0.01, 99.9, 150)]:
        expected = PropsSI(SYMBOLS[name], "T", t + 273.15, "P", ATMOSPHERE, "HEOS::Water")
        assert getattr(water().at(t), name) == pytest.approx(expected, rel=RTOL[name]), f"{t} °C"


@every_property
def test_water_at_100_c_is_the_liquid(name):
    expected = PropsSI(SYMBOLS[name], "T", 373.15, "Q", 0, "HEOS::Water")
    assert getattr(water().at(100.0), name) == pytest.approx(expected, rel=RTOL[name])


def test_water_boils_where_coolprop_says():
    for t in np.random.default_rng(30).uniform(0.01, 100.0, 150):
        expected = saturated_water_pressure(t)
        assert water().at(t).vapour_pressure == pytest.approx(expected, rel=RTOL["vapour_pressure"]), f"{t} °C"


@mixes
@every_property
def test_mixes_follow_coolprop_between_rows_and_columns(glycol, name):
    for coolant, t in random_mixes(glycol, 200):
        fluid = f"INCOMP::{MIXES[glycol]}[{coolant.glycol_mass_fraction}]"
        expected = PropsSI(SYMBOLS[name], "T", t + 273.15, "P", 2 * ATMOSPHERE, fluid)
        assert getattr(coolant.at(t), name) == pytest.approx(expected, rel=RTOL[name]), f"{coolant.name}, {t} °C"


@mixes
def test_mixes_freeze_where_coolprop_says(glycol):
    for coolant, _ in random_mixes(glycol, 100):
        fluid = f"INCOMP::{MIXES[glycol]}[{coolant.glycol_mass_fraction}]"
        expected = PropsSI("T_freeze", "T", 300.0, "P", ATMOSPHERE, fluid) - 273.15
        assert coolant.freezing_point_c == pytest.approx(expected, abs=0.01), coolant.name


@mixes
def test_the_allowed_mass_fractions_are_those_of_coolprop(glycol):
    fluid = f"INCOMP::{MIXES[glycol]}[0.3]"
    assert PropsSI("fraction_min", fluid) == 0.0
    assert PropsSI("fraction_max", fluid) == 0.6
    assert PropsSI("Tmax", fluid) - 273.15 == pytest.approx(glycol(0.3).highest_temperature_c)


@mixes
def test_the_vapour_pressure_of_a_mix_is_raoults_law(glycol):
    for coolant, t in random_mixes(glycol, 100):
        x = coolant.glycol_mass_fraction
        moles_water, moles_glycol = (1 - x) / MOLAR_MASS["water"], x / MOLAR_MASS[glycol]
        share = moles_water / (moles_water + moles_glycol)
        if t > 0.01:
            expected = share * saturated_water_pressure(t)
            assert coolant.at(t).vapour_pressure == pytest.approx(expected, rel=RTOL["vapour_pressure"]), coolant.name


@pytest.mark.slow
@pytest.mark.parametrize("kind", COOLANT_KINDS)
def test_the_shipped_table_is_what_the_script_generates(kind):
    # To one unit in the last of seven digits: another release of CoolProp or processor may round a digit differently.
    shipped = json.loads(files("loopsim.media").joinpath(TABLE_FILE).read_text(encoding="utf-8"))[kind]
    generated = make_tables()[kind]
    assert list(shipped) == list(generated)
    for name in set(generated) - {"source"}:
        np.testing.assert_allclose(shipped[name], generated[name], rtol=1.1e-6, atol=1e-9, err_msg=name)


def test_the_shipped_table_is_laid_out_as_the_script_writes_it():
    text = files("loopsim.media").joinpath(TABLE_FILE).read_text(encoding="utf-8")
    assert text == as_text(json.loads(text)) + "\n"


@pytest.mark.parametrize("kind", COOLANT_KINDS)
def test_every_kind_has_a_table_that_spans_the_allowed_range(kind):
    raw = json.loads(files("loopsim.media").joinpath(TABLE_FILE).read_text(encoding="utf-8"))[kind]
    fractions = raw["glycol_mass_fraction"]
    for fraction in fractions:
        coolant = Coolant(kind, fraction)
        assert raw["temperature_c"][0] <= coolant.lowest_temperature_c
        assert raw["temperature_c"][-1] == coolant.highest_temperature_c
