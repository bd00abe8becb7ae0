"""Whether running liquid carries air down a passage: published criteria, and their spread."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.media import Coolant
from loopsim.units import GRAVITY

__all__ = [
    "CLEARING_SOURCES",
    "HYDRONIC_PRACTICE",
    "LARGE_POCKET",
    "ClearingSpeeds",
    "Clears",
    "bubble_drift",
    "clearing_speed_wallingford",
    "clearing_speed_wisner",
    "clearing_speeds",
    "clears",
    "eotvos",
    "plug_drift",
    "surface_tension",
]

FloatArray = NDArray[np.float64]
Clears = Literal["clears", "may clear", "stays"]

HYDRONIC_PRACTICE = (
    0.4,
    0.61,
)  # speed in heating pipes that keeps air moving, 0.61 being 2 ft/s; common practice [m/s]
LARGE_POCKET = 0.61  # coefficient of the largest pockets in the Wallingford form
NO_RISE_BELOW = 3.37  # Eotvos number below which a plug in an upright tube no longer rises by itself
LEVEL = 0.01  # sine of the slope below which a passage counts as level, about half a degree

CLEARING_SOURCES = (
    "plug drift: Wallis, One-dimensional Two-phase Flow (1969), upright tubes; inclined by Bendiksen (1984)",
    "bubble drift: Harmathy (1960)",
    "clearing of pockets: Wisner, Mohsen and Kouwen (1975), as in Sanks, Pumping Station Design",
    "clearing of pockets: Escarameia, HR Wallingford (2007), for the largest pockets",
    "pockets were measured in pipes of 100 mm and more: below about 15 mm the result is only indicative",
)

_WATER_TC, _WATER_B, _WATER_MU, _WATER_SMALL_B = 647.096, 0.2358, 1.256, -0.625
_GLYCOL_TENSION = {"propylene_glycol": 0.036, "ethylene_glycol": 0.048}  # of the glycol alone near 20 °C, from memory
_KELVIN = 273.15


def surface_tension(coolant: Coolant, temperature_c: float) -> float:
    """Surface tension against air [N/m].

    Water as published. Mixes on a straight line by mass between water and the glycol alone, an estimate that is too
    high: glycol gathers at the surface.

    Parameters
    ----------
    coolant : Coolant
    temperature_c : float
        0 to 100 °C for water.

    References
    ----------
    IAPWS R1-76(2014), surface tension of ordinary water. Checked in tests/studies/fill/test_clearing.py.
    """
    tau = 1 - (temperature_c + _KELVIN) / _WATER_TC
    water = _WATER_B * tau**_WATER_MU * (1 + _WATER_SMALL_B * tau)
    share = coolant.glycol_mass_fraction
    return float(water + share * (_GLYCOL_TENSION.get(coolant.kind, water) - water))


def eotvos(bore: ArrayLike, density: ArrayLike, tension: ArrayLike) -> FloatArray:
    """Eotvos number ``rho g D^2 / sigma``: weight against surface tension, broadcast [-]."""
    D, rho, sigma = _arrays(bore, density, tension)
    return np.asarray(rho * GRAVITY * D**2 / sigma)


def plug_drift(
    bore: ArrayLike, density: ArrayLike, viscosity: ArrayLike, tension: ArrayLike, sine: ArrayLike = 1.0
) -> FloatArray:
    """Speed at which a plug of air rises by itself in still liquid.

    Below an Eotvos number of 3.37, a bore of 5 mm in water, a plug in an upright tube stays where it is.

    Parameters
    ----------
    bore, density, viscosity, tension : array_like, broadcast
        [m], [kg/m3], [Pa s], [N/m].
    sine : array_like
        Of the slope above the horizontal: 1 upright, 0 level.

    Returns
    -------
    ndarray
        [m/s].

    References
    ----------
    Upright: G. B. Wallis, One-dimensional Two-phase Flow (1969), with the inertial limit 0.345 also of Zukoski (1966);
    level: Weber (1981), ``0.54 - 1.76 Eo^-0.56``; between: Bendiksen (1984), ``level cos + upright sin``. From memory.
    """
    D, rho, mu = _arrays(bore, density, viscosity)
    inertial = np.sqrt(GRAVITY * D)
    bond = eotvos(bore, density, tension)
    inverse_viscosity = inertial * D * rho / mu
    m = np.clip(69.0 * np.maximum(inverse_viscosity, 1.0) ** -0.35, 10.0, 25.0)  # 10 above 250, 25 below 18
    weight = np.maximum(1 - np.exp((NO_RISE_BELOW - bond) / m), 0.0)
    upright = 0.345 * (1 - np.exp(-0.01 * inverse_viscosity / 0.345)) * weight
    level = np.maximum(0.54 - 1.76 * np.maximum(bond, 1e-9) ** -0.56, 0.0)
    sin = np.clip(np.asarray(sine, dtype=float), 0.0, 1.0)
    return np.asarray(inertial * (level * np.sqrt(1 - sin**2) + upright * sin))


def bubble_drift(density: ArrayLike, tension: ArrayLike) -> FloatArray:
    """Speed at which bubbles of a few millimetres rise in wide passages, about 0.25 m/s in water [m/s].

    References
    ----------
    T. Z. Harmathy, AIChE Journal 6 (1960) 281: ``1.53 (sigma g / rho)^(1/4)``, from memory.
    """
    rho, sigma = _arrays(density, tension)
    return np.asarray(1.53 * (sigma * GRAVITY / rho) ** 0.25)


def clearing_speed_wisner(bore: ArrayLike, sine: ArrayLike, gravity: float = GRAVITY) -> FloatArray:
    """Mean speed of liquid that carries a pocket down a pipe: ``sqrt(g D) (0.825 + 0.25 sqrt(sin))`` [m/s].

    Parameters
    ----------
    bore : array_like
        [m].
    sine : array_like
        Of the slope below the horizontal, 0 to 1.
    gravity : float
        [m/s2].

    References
    ----------
    Wisner, Mohsen and Kouwen, ASCE J. Hydraulics 101 (1975); Sanks, Pumping Station Design. Checked in
    tests/reference/test_air_removal.py.
    """
    D, sin = _arrays(bore, sine)
    return np.asarray(np.sqrt(gravity * D) * (0.825 + 0.25 * np.sqrt(sin)))


def clearing_speed_wallingford(
    bore: ArrayLike, sine: ArrayLike, pocket: ArrayLike = LARGE_POCKET, gravity: float = GRAVITY
) -> FloatArray:
    """The same by another laboratory: ``sqrt(g D) (a + 0.56 sqrt(sin))``, a growing with the pocket, 0.45 to 0.61.

    References
    ----------
    M. Escarameia, Proc. ICE Water Management 160 (2007). Checked in tests/reference/test_air_removal.py.
    """
    D, sin, a = _arrays(bore, sine, pocket)
    return np.asarray(np.sqrt(gravity * D) * (a + 0.56 * np.sqrt(sin)))


@dataclass(frozen=True)
class ClearingSpeeds:
    """The spread of the criteria on each passage, for flow from its start to its end; shape (m,) [m/s].

    Attributes
    ----------
    stays_below : ndarray
        The lowest of all: slower liquid surely leaves the air where it is.
    clears_above : ndarray
        The highest of all: faster liquid surely carries it away.
    """

    stays_below: FloatArray
    clears_above: FloatArray


def clearing_speeds(
    bore: ArrayLike, sine: ArrayLike, density: ArrayLike, viscosity: ArrayLike, tension: ArrayLike
) -> ClearingSpeeds:
    """Between which speeds it is open whether liquid carries air along a passage.

    Parameters
    ----------
    bore, density, viscosity, tension : array_like, broadcast to shape (m,)
        [m], [kg/m3], [Pa s], [N/m].
    sine : array_like
        Of the slope downwards in the direction of flow; below 0 where it leads up, and air goes by itself.
    """
    down = np.clip(np.asarray(sine, dtype=float), 0.0, 1.0)
    bubble = bubble_drift(density, tension) * down
    plug = plug_drift(bore, density, viscosity, tension, down)
    slow = np.where(down > LEVEL, np.minimum(plug, bubble), 0.0)
    pocket = np.maximum(clearing_speed_wisner(bore, down), clearing_speed_wallingford(bore, down))
    level = np.where(np.abs(sine) <= LEVEL, clearing_speed_wallingford(bore, 0.0), 0.0)
    fast = np.where(down > LEVEL, np.maximum(pocket, bubble), level)
    return ClearingSpeeds(np.asarray(slow), np.asarray(fast))


def clears(speed: float, stays_below: float, clears_above: float) -> Clears:
    """The verdict on one passage; still liquid clears nothing."""
    if speed <= 0 or speed < stays_below:
        return "stays"
    return "clears" if speed >= clears_above else "may clear"


def _arrays(*values: ArrayLike) -> tuple[FloatArray, ...]:
    return tuple(np.asarray(value, dtype=float) for value in values)
