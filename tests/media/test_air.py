"""Dry air against CoolProp, the standard atmosphere and what is refused."""

import math

import pytest

from loopsim.build import Ambient
from loopsim.errors import MediumError
from loopsim.media import STANDARD_AIR_DENSITY, air

TEMPERATURES = range(-40, 121, 10)
OF_COOLPROP = {"density": "D", "viscosity": "V", "heat_capacity": "C", "conductivity": "L"}
WITHIN = {"density": 1.5e-3, "viscosity": 1.5e-3, "heat_capacity": 1e-3, "conductivity": 2.5e-3}


@pytest.mark.parametrize("pressure", [70_000.0, 101_325.0])
@pytest.mark.parametrize("name", OF_COOLPROP)
def test_air_is_that_of_coolprop(name: str, pressure: float) -> None:
    """Independent library: Lemmon et al. (2000), Lemmon and Jacobsen (2004), with the forces of a real gas."""
    from CoolProp.CoolProp import PropsSI

    for temperature_c in TEMPERATURES:
        expected = PropsSI(OF_COOLPROP[name], "T", temperature_c + 273.15, "P", pressure, "Air")
        assert getattr(air(temperature_c, pressure), name) == pytest.approx(expected, rel=WITHIN[name])


@pytest.mark.parametrize("altitude_m", [0.0, 500.0, 1000.0, 2400.0, 5000.0])
def test_air_at_altitude_is_that_of_the_standard_atmosphere(altitude_m: float) -> None:
    """Independent library: the U.S. Standard Atmosphere 1976 of fluids, which below 11 km is that of ISO 2533.

    Ours counts height as standard gravity sees it (geopotential), 0.1 % more pressure than geometric at 5 km.
    """
    from fluids import ATMOSPHERE_1976

    standard = ATMOSPHERE_1976(altitude_m)
    pressure = Ambient(altitude_m=altitude_m).pressure
    assert pressure == pytest.approx(standard.P, rel=1e-3)
    ours = air(standard.T - 273.15, pressure)
    assert ours.density == pytest.approx(standard.rho, rel=1e-3)
    assert ours.viscosity == pytest.approx(standard.mu, rel=6e-3)  # the standard's Sutherland law is an older fit


@pytest.mark.parametrize(("altitude_m", "kpa"), [(0, 101.325), (1000, 89.875), (2000, 79.495), (3000, 70.109)])
def test_pressure_at_altitude_is_that_of_iso_2533(altitude_m: float, kpa: float) -> None:
    """ISO 2533, table of geopotential altitude; from memory, as printed to the pascal."""
    assert Ambient(altitude_m=altitude_m).pressure / 1e3 == pytest.approx(kpa, abs=5e-3)


def test_standard_air_is_that_of_a_room() -> None:
    """ISO 5801 converts fan data to 1.2 kg/m3: about 20 °C at sea level."""
    assert air(20.0).density == pytest.approx(STANDARD_AIR_DENSITY, rel=5e-3)


def test_density_follows_the_gas_law() -> None:
    assert air(20.0, 5e4).density == pytest.approx(air(20.0, 1e5).density / 2)
    assert air(100.0).density / air(0.0).density == pytest.approx(273.15 / 373.15)


def test_air_does_not_boil() -> None:
    assert math.isnan(air(20.0).vapour_pressure)


@pytest.mark.parametrize(
    ("temperature_c", "pressure", "words"),
    [
        (-41.0, 1e5, "air: temperature -41 °C lies outside the data; allowed -40 to 120 °C"),
        (120.5, 1e5, "temperature 120.5 °C lies outside"),
        (math.nan, 1e5, "temperature nan °C lies outside"),
        (20.0, 1.0, "air: pressure 0.001 kPa lies outside the data; allowed 20 to 200 kPa, absolute"),
        (20.0, math.nan, "pressure nan kPa"),
    ],
)
def test_what_lies_outside_is_refused_with_the_range(temperature_c: float, pressure: float, words: str) -> None:
    with pytest.raises(MediumError, match=words):
        air(temperature_c, pressure)
