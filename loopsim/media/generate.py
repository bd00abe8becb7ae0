"""Make the coolant table from CoolProp: ``python -m loopsim.media.generate``.

The only module of the package that needs CoolProp. Its numbers are rounded to seven digits, so that the file stays
the same from run to run and reads like a handbook table.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from CoolProp import __version__ as coolprop_version
from CoolProp.CoolProp import PropsSI, saturation_ancillary
from numpy.typing import NDArray

from loopsim.media.tables import LOGARITHMIC, PROPERTIES, TABLE_FILE
from loopsim.units import STANDARD_ATMOSPHERE

__all__ = ["as_text", "main", "make_tables"]

ZERO_C = 273.15  # [K]
TRIPLE_POINT_C = 0.01
STEP_K = 5.0
WATER_C = np.arange(0.0, 100.1, STEP_K)
MIX_C = np.arange(-20.0, 100.1, STEP_K)
MASS_FRACTIONS = np.round(np.arange(0.0, 0.601, 0.05), 2)
COOLPROP_NAMES = {"density": "D", "viscosity": "V", "heat_capacity": "C", "conductivity": "L"}
# [kg/mol], from the standard atomic weights of IUPAC
MOLAR_MASS = {"water": 18.015e-3, "propylene_glycol": 76.094e-3, "ethylene_glycol": 62.068e-3}

FloatArray = NDArray[np.float64]


def make_tables() -> dict[str, dict[str, Any]]:
    """The whole content of the table file: kind of coolant -> name -> numbers, rows by temperature."""
    return {
        "water": _water_table(),
        "propylene_glycol": _mix_table("propylene_glycol", "MPG"),
        "ethylene_glycol": _mix_table("ethylene_glycol", "MEG"),
    }


def _water_table() -> dict[str, Any]:
    properties = {
        name: np.array([[_water_property(symbol, t)] for t in WATER_C]) for name, symbol in COOLPROP_NAMES.items()
    }
    properties["vapour_pressure"] = _water_vapour_pressure(WATER_C)[:, np.newaxis]
    source = "HEOS::Water at 1 atm, saturated liquid where it would boil"
    return _table(source, False, WATER_C, np.zeros(1), np.zeros(1), properties)


def _water_property(symbol: str, temperature_c: float) -> float:
    # CoolProp's melting line lies 2.5 mK above 0 °C at 1 atm and it refuses ice; the row of 0 °C is taken just above.
    kelvin = max(temperature_c, 0.004) + ZERO_C
    if temperature_c < 99.9:
        return float(PropsSI(symbol, "T", kelvin, "P", STANDARD_ATMOSPHERE, "HEOS::Water"))
    return float(PropsSI(symbol, "T", kelvin, "Q", 0, "HEOS::Water"))


@np.vectorize
def _water_vapour_pressure(temperature_c: float) -> float:
    """Saturation pressure over liquid water [Pa]; below the triple point, over supercooled water.

    Ice is not what a mix above its own freezing point holds: there the equation of the saturation line is continued.
    """
    kelvin = temperature_c + ZERO_C
    if temperature_c < TRIPLE_POINT_C:
        return float(saturation_ancillary("Water", "P", 0, "T", kelvin))
    return float(PropsSI("P", "T", kelvin, "Q", 0, "HEOS::Water"))


def _mix_table(kind: str, fluid: str) -> dict[str, Any]:
    freezing = np.array([_freezing_point(fluid, x) for x in MASS_FRACTIONS])
    mixes = list(zip(MASS_FRACTIONS, freezing, strict=True))
    properties = {name: np.stack([_mix_column(name, fluid, *mix) for mix in mixes], axis=1) for name in COOLPROP_NAMES}
    # CoolProp has no vapour pressure for these mixes: Raoult's law, with a glycol that does not evaporate.
    share = _water_mole_fraction(MASS_FRACTIONS, MOLAR_MASS[kind])
    properties["vapour_pressure"] = np.outer(_water_vapour_pressure(MIX_C), share)
    source = f"INCOMP::{fluid}; vapour pressure by Raoult's law; continued below the freezing point for interpolation"
    return _table(source, True, MIX_C, MASS_FRACTIONS, freezing, properties)


def _freezing_point(fluid: str, mass_fraction: float) -> float:
    kelvin = PropsSI("T_freeze", "T", 300, "P", STANDARD_ATMOSPHERE, f"INCOMP::{fluid}[{mass_fraction}]")
    return min(float(kelvin) - ZERO_C, 0.0)  # the fit for ethylene glycol starts 0.3 mK above water's own


def _mix_column(name: str, fluid: str, mass_fraction: float, freezing_c: float) -> FloatArray:
    """One property down the rows; those below the freezing point continue the liquid's own law.

    The law is a cubic in temperature (of the logarithm, for viscosity), so a cubic through liquid points is the law
    itself; a law of another form would show here as a misfit.
    """

    def liquid(t: float) -> float:
        mix = f"INCOMP::{fluid}[{mass_fraction}]"
        return float(PropsSI(COOLPROP_NAMES[name], "T", t + ZERO_C, "P", STANDARD_ATMOSPHERE, mix))

    inside = freezing_c < MIX_C
    values = np.array([liquid(t) for t in MIX_C[inside]])
    forward, back = _scale(name)
    law = np.polynomial.Polynomial.fit(MIX_C[inside], forward(values), deg=3)
    if not np.allclose(back(law(MIX_C[inside])), values, rtol=1e-9):
        raise ValueError(f"{fluid}: {name} is no longer a cubic in temperature; change how it is continued")
    return np.concatenate([back(law(MIX_C[~inside])), values])


def _scale(name: str) -> tuple[Callable[[FloatArray], FloatArray], Callable[[FloatArray], FloatArray]]:
    return (np.log, np.exp) if name in LOGARITHMIC else (np.asarray, np.asarray)


def _water_mole_fraction(glycol_mass_fraction: FloatArray, glycol_molar_mass: float) -> FloatArray:
    water = (1 - glycol_mass_fraction) / MOLAR_MASS["water"]
    return water / (water + glycol_mass_fraction / glycol_molar_mass)


def _table(
    source: str,
    vapour_pressure_estimated: bool,
    temperature_c: FloatArray,
    mass_fraction: FloatArray,
    freezing_point_c: FloatArray,
    properties: dict[str, FloatArray],
) -> dict[str, Any]:
    return {
        "source": f"CoolProp {coolprop_version}, {source}",
        "vapour_pressure_estimated": vapour_pressure_estimated,
        "temperature_c": temperature_c.tolist(),
        "glycol_mass_fraction": mass_fraction.tolist(),
        "freezing_point_c": _rounded(freezing_point_c),
        **{name: _rounded(properties[name]) for name in PROPERTIES},
    }


def _rounded(values: FloatArray) -> Any:
    return np.vectorize(lambda value: float(f"{value:.7g}"))(values).tolist()


def as_text(value: Any, indent: str = "") -> str:
    """JSON with one line per row of numbers, so that a change of data reads well in a comparison of versions."""
    inner = indent + " "
    if isinstance(value, dict):
        body = ",\n".join(f"{inner}{json.dumps(key)}: {as_text(item, inner)}" for key, item in value.items())
        return f"{{\n{body}\n{indent}}}"
    if isinstance(value, list) and isinstance(value[0], list):
        body = ",\n".join(inner + json.dumps(row) for row in value)
        return f"[\n{body}\n{indent}]"
    return json.dumps(value)


def main() -> None:
    """Write the table beside this module."""
    Path(__file__).with_name(TABLE_FILE).write_text(as_text(make_tables()) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
