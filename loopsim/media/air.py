"""Air, dry."""

import math

from loopsim.errors import MediumError
from loopsim.media.state import State
from loopsim.units import STANDARD_ATMOSPHERE, ZERO_C

__all__ = ["STANDARD_AIR_DENSITY", "air"]

STANDARD_AIR_DENSITY = 1.2  # of the air to which data of fans are converted [kg/m3]; ISO 5801

LOWEST_C, HIGHEST_C = -40.0, 120.0
LOWEST_PRESSURE, HIGHEST_PRESSURE = 2e4, 2e5  # [Pa]

_GAS_CONSTANT = 287.05287  # of dry air [J/(kg K)]; ISO 2533

_CP = (1005.67, 0.01493, 4.068e-4)  # parabola in °C through heat capacities at one atmosphere

# Viscosity and conductivity of the thin gas: Lemmon and Jacobsen, Int. J. Thermophysics 25 (2004) 21-69.
_MOLAR_MASS, _COLLISION_NM, _WELL_K = 28.9586, 0.360, 103.3
_COLLISION = (0.431, -0.4623, 0.08406, 0.005341, -0.00331)
_CRITICAL_K = 132.6312


def air(temperature_c: float, pressure: float = STANDARD_ATMOSPHERE) -> State:
    """Dry air at a temperature and an absolute pressure.

    Density within 0.15 % of CoolProp, viscosity within 0.15 %, conductivity within 0.25 % and heat capacity within
    0.1 %, from sea level to 3,000 m. Moist air of 40 °C is up to 3 % lighter than dry air.

    Parameters
    ----------
    temperature_c : float
        -40 to 120 [°C].
    pressure : float
        Absolute, 20 to 200 kPa [Pa].

    Returns
    -------
    State
        Without a vapour pressure.

    Raises
    ------
    MediumError
        If a value lies outside, or is not a number.

    References
    ----------
    Density: ideal gas with the constant of ISO 2533. Viscosity and conductivity: E. W. Lemmon and R. T. Jacobsen,
    Int. J. Thermophysics 25 (2004) 21-69, at low density. Heat capacity: own parabola through E. W. Lemmon et al.,
    J. Phys. Chem. Ref. Data 29 (2000) 331-385, at one atmosphere. Checked in tests/media/test_air.py.
    """
    if not LOWEST_C <= temperature_c <= HIGHEST_C:
        allowed = f"allowed {LOWEST_C:g} to {HIGHEST_C:g} °C"
        raise MediumError(
            f"air: temperature {temperature_c:g} °C lies outside the data; {allowed}", field="temperature_c"
        )
    if not LOWEST_PRESSURE <= pressure <= HIGHEST_PRESSURE:
        allowed = f"allowed {LOWEST_PRESSURE / 1e3:g} to {HIGHEST_PRESSURE / 1e3:g} kPa, absolute"
        raise MediumError(f"air: pressure {pressure / 1e3:g} kPa lies outside the data; {allowed}", field="pressure")
    kelvin = temperature_c + ZERO_C
    viscosity = _viscosity(kelvin)
    return State(
        density=pressure / (_GAS_CONSTANT * kelvin),
        viscosity=viscosity,
        heat_capacity=_CP[0] + _CP[1] * temperature_c + _CP[2] * temperature_c**2,
        conductivity=_conductivity(kelvin, viscosity),
        temperature_c=temperature_c,
    )


def _viscosity(kelvin: float) -> float:
    """Of molecules that meet two at a time [Pa s]."""
    log_t = math.log(kelvin / _WELL_K)
    collision = math.exp(sum(b * log_t**power for power, b in enumerate(_COLLISION)))
    return 2.66958e-8 * math.sqrt(_MOLAR_MASS * kelvin) / (_COLLISION_NM**2 * collision)


def _conductivity(kelvin: float, viscosity: float) -> float:
    tau = _CRITICAL_K / kelvin
    return float(1e-3 * (1.308 * viscosity / 1e-6 + 1.405 * tau**-1.1 - 1.036 * tau**-0.3))
