"""Gas shut in over a coolant that swells."""

import CoolProp.CoolProp as CoolProp
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.media import Cushion, propylene_glycol, swell, water


def test_water_swells_as_an_open_library_has_it() -> None:
    cold, hot = (CoolProp.PropsSI("D", "T", 273.15 + each, "P", 101325, "Water") for each in (20, 60))
    assert swell(1e-3, water(), 20, 60) == pytest.approx(1e-3 * (cold / hot - 1), rel=2e-2)


def test_glycol_swells_more_than_water() -> None:
    assert swell(1e-3, propylene_glycol(0.4), 20, 60) > 1.3 * swell(1e-3, water(), 20, 60)


def test_air_over_water_by_hand() -> None:
    """1 L of water, 50 mL of air, 20 to 60 °C, steam tables: 998.2 to 983.2 kg/m3, vapour 2339 to 19946 Pa."""
    grown = 1e-3 * (998.2 / 983.2 - 1)
    by_hand = (101325 - 2339) * 333.15 / 293.15 * 50e-6 / (50e-6 - grown) + 19946 - 101325
    assert Cushion(50e-6).pressure(1e-3, water(), 20, 60) == pytest.approx(by_hand, rel=0.01)


def test_gas_behind_a_membrane_holds_no_vapour() -> None:
    """Ideal gas law alone, nothing swelling: 1 bar absolute at 20 °C is 333.15/293.15 bar at 60 °C."""
    held = Cushion(50e-6, touches_coolant=False).pressure(0.0, water(), 20, 60, ambient=1e5)
    assert held == pytest.approx(1e5 * (333.15 / 293.15 - 1))


def test_coolant_inside_squeezes_by_boyles_law() -> None:
    held = Cushion(200e-6, 0.5e5, taken_up=100e-6, touches_coolant=False).pressure(1e-3, water(), 20, 20, ambient=1e5)
    assert held == pytest.approx(2 * 1.5e5 - 1e5)


@given(st.floats(20e-6, 500e-6), st.floats(20, 90))
def test_warmer_is_never_lower_and_a_used_up_cushion_has_no_pressure_to_stop_at(gas: float, hot: float) -> None:
    cold, warm = (Cushion(gas).pressure(1e-3, water(), 20, each) for each in (20, hot))
    assert warm >= cold == pytest.approx(0.0, abs=1e-6)
    assert (warm == float("inf")) == (swell(1e-3, water(), 20, hot) >= gas)
