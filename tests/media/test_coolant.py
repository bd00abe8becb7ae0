"""What a coolant gives and refuses, and that a lookup stays cheap."""

import math
import pickle
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.errors import MediumError
from loopsim.media import COOLANT_KINDS, Coolant, State, ethylene_glycol, propylene_glycol, water
from loopsim.media.tables import PROPERTIES

ROOT = Path(__file__).parents[2]
EVERY_KIND = [water(), propylene_glycol(0.3), ethylene_glycol(0.45)]
glycols = st.sampled_from([propylene_glycol, ethylene_glycol])
mass_fractions = st.floats(0.0, 0.6)
every_kind = pytest.mark.parametrize("coolant", EVERY_KIND, ids=lambda coolant: coolant.kind)


def test_the_kinds_have_names_in_words():
    assert tuple(coolant.kind for coolant in EVERY_KIND) == COOLANT_KINDS
    assert water().name == "water"
    assert propylene_glycol(0.30).name == "30 % propylene glycol in water"
    assert ethylene_glycol(0.29).name == "29 % ethylene glycol in water"


def test_equal_coolants_are_equal_and_survive_pickling():
    used = propylene_glycol(0.3)
    used.at(20.0)
    assert used == Coolant("propylene_glycol", 0.3)
    assert hash(used) == hash(propylene_glycol(0.3))
    assert pickle.loads(pickle.dumps(used)).at(20.0) == used.at(20.0)


@every_kind
def test_a_state_holds_plain_numbers_also_for_a_numpy_temperature(coolant):
    state = coolant.at(np.float64(25))
    assert state.temperature_c == 25.0
    assert all(type(getattr(state, name)) is float for name in (*PROPERTIES, "temperature_c"))


@every_kind
@pytest.mark.parametrize("name", PROPERTIES)
def test_arrays_of_any_shape_agree_with_single_lookups(coolant, name):
    temperatures = np.linspace(coolant.lowest_temperature_c, coolant.highest_temperature_c, 24).reshape(2, 3, 4)
    single = [getattr(coolant.at(t), name) for t in temperatures.ravel()]
    assert getattr(coolant, name)(temperatures) == pytest.approx(np.reshape(single, (2, 3, 4)), rel=1e-13)


@every_kind
@pytest.mark.parametrize("name", PROPERTIES)
def test_properties_have_no_step_and_no_kink_at_the_rows_of_the_table(coolant, name):
    rows = np.arange(5.0, 100.0, 5.0)
    below, at, above = (getattr(coolant, name)(rows + offset) for offset in (-1e-3, 0.0, 1e-3))
    # Straight lines between the rows would leave a second difference of 2e-8 and more; curvature alone is below 1e-9.
    assert np.all(np.abs(above - 2 * at + below) < 1e-8 * np.abs(at))


@given(glycols, mass_fractions, st.floats(0.0, 1.0), st.floats(0.01, 1.0))
def test_a_warmer_mix_is_thinner_and_boils_more_easily(glycol, mass_fraction, from_share, step_share):
    coolant = glycol(mass_fraction)
    span = coolant.highest_temperature_c - coolant.lowest_temperature_c
    cold = coolant.lowest_temperature_c + 0.99 * from_share * span
    warm = cold + step_share * (coolant.highest_temperature_c - cold)
    assert coolant.at(warm).viscosity < coolant.at(cold).viscosity
    assert coolant.at(warm).vapour_pressure > coolant.at(cold).vapour_pressure


@given(glycols, st.floats(0.0, 0.55))
def test_more_glycol_lowers_the_freezing_point_and_thickens(glycol, mass_fraction):
    lean, rich = glycol(mass_fraction), glycol(mass_fraction + 0.05)
    assert rich.freezing_point_c < lean.freezing_point_c <= 0.0
    assert rich.at(20.0).viscosity > lean.at(20.0).viscosity
    assert rich.at(20.0).density > lean.at(20.0).density


def test_only_the_vapour_pressure_of_a_mix_is_marked_as_estimated():
    assert not water().at(50.0).vapour_pressure_estimated
    assert propylene_glycol(0.3).at(50.0).vapour_pressure_estimated
    assert ethylene_glycol(0.3).at(50.0).vapour_pressure_estimated


def test_a_coolant_below_its_freezing_point_is_refused_with_the_way_out():
    message = (
        r"^30 % propylene glycol in water: temperature -15 °C lies below the freezing point of -12\.79 °C; "
        r"allowed -12\.79 to 100 °C; keep it warmer, or use more glycol$"
    )
    with pytest.raises(MediumError, match=message) as caught:
        propylene_glycol(0.30).at(-15.0)
    assert caught.value.field == "temperature_c"
    with pytest.raises(MediumError, match=r"^water: .* -0\.1 °C lies below the freezing point .*keep it warmer$"):
        water().at(-0.1)


@pytest.mark.parametrize(
    ("coolant", "temperature_c", "message"),
    [
        (water(), 100.1, "water: temperature 100.1 °C lies outside the data; allowed 0 to 100 °C"),
        (ethylene_glycol(0.6), -21.0, "60 % .*: temperature -21 °C lies outside the data; allowed -20 to 100 °C"),
        (water(), math.nan, "water: temperature nan °C lies outside the data"),
        (water(), math.inf, "water: temperature inf °C lies outside the data"),
    ],
)
def test_a_temperature_outside_the_data_is_refused(coolant, temperature_c, message):
    with pytest.raises(MediumError, match=message):
        coolant.at(temperature_c)
    with pytest.raises(MediumError, match=message):
        coolant.viscosity([20.0, temperature_c])


@every_kind
def test_both_ends_of_the_allowed_range_are_allowed(coolant):
    for temperature_c in (coolant.lowest_temperature_c, coolant.highest_temperature_c):
        assert coolant.at(temperature_c).density == pytest.approx(float(coolant.density(temperature_c)))


def test_rounding_does_not_push_a_value_over_its_limit():
    assert 0.55 + 0.05 > 0.6
    richest = ethylene_glycol(0.55 + 0.05)
    assert richest.at(100.0 + 1e-10).density == pytest.approx(ethylene_glycol(0.6).at(100.0).density)
    assert richest.viscosity([-20.0 - 1e-10]) == pytest.approx(ethylene_glycol(0.6).at(-20.0).viscosity)


@pytest.mark.parametrize(
    ("kind", "mass_fraction", "field", "message"),
    [
        ("propylene_glycol", 0.61, "glycol_mass_fraction", r"^propylene glycol: .* 0\.61 .*; allowed 0 to 0\.6$"),
        ("ethylene_glycol", -0.1, "glycol_mass_fraction", r"^ethylene glycol: .* -0\.1 .*; allowed 0 to 0\.6$"),
        ("ethylene_glycol", math.nan, "glycol_mass_fraction", r"nan .*; allowed 0 to 0\.6$"),
        ("propylene_glycol", 30.0, "glycol_mass_fraction", r"allowed 0 to 0\.6; write 30 % as 0\.3$"),
        ("water", 0.3, "glycol_mass_fraction", r"^water: .* 0\.3 is not allowed, only 0; for a mix, choose a glycol"),
        ("watr", 0.0, "kind", r"unknown kind 'watr'; known are water, propylene_glycol, .*; did you mean 'water'\?$"),
    ],
)
def test_a_coolant_that_does_not_exist_is_refused(kind, mass_fraction, field, message):
    with pytest.raises(MediumError, match=message) as caught:
        Coolant(kind, mass_fraction)
    assert caught.value.field == field


def test_a_state_can_be_stated_by_density_and_viscosity_alone():
    state = State(density=998.0, viscosity=1.0e-3)
    assert (state.density, state.viscosity) == (998.0, 1.0e-3)
    assert math.isnan(state.heat_capacity)
    assert math.isnan(state.vapour_pressure)
    assert not state.vapour_pressure_estimated


@pytest.mark.parametrize("field", ["density", "viscosity"])
@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_a_state_without_positive_density_and_viscosity_is_refused(field, value):
    with pytest.raises(MediumError, match=f"{field} must be above 0 .*, got {value:g}") as caught:
        State(**{"density": 998.0, "viscosity": 1e-3, field: value})
    assert caught.value.field == field


@pytest.mark.slow
def test_a_lookup_loads_neither_coolprop_nor_scipy():
    code = (
        "import sys; from loopsim.media import propylene_glycol; propylene_glycol(0.3).at(25.0); "
        "print(*sorted({name.split('.')[0] for name in sys.modules} & {'CoolProp', 'scipy', 'loopsim'}))"
    )
    result = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert result.stdout.split() == ["loopsim"]


def test_a_lookup_takes_less_than_ten_microseconds(benchmark):
    coolant = propylene_glycol(0.3)
    benchmark.pedantic(coolant.at, args=(25.3,), rounds=20, iterations=1000, warmup_rounds=1)
    assert benchmark.stats.stats.min < 10e-6
