"""Constants, and conversion at the edges.

Inside Loopsim a bare name is SI. At every edge (file keys, labels, exports) a name ends in its unit, as in
`flow_l_h`; `UNITS` says what each ending means. Tables that a builder brings along come in other units as well;
`usual_units` lists those of a quantity, `unit_written` recognises one as people write it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from math import ceil, log10
from typing import Any

__all__ = [
    "GRAVITY",
    "KV_PER_CV",
    "STANDARD_ATMOSPHERE",
    "UNITS",
    "ZERO_C",
    "System",
    "Unit",
    "converted",
    "converted_from",
    "customary",
    "from_si",
    "more_decimals",
    "to_si",
    "unit_in",
    "unit_of",
    "unit_written",
    "usual_units",
]

GRAVITY = 9.80665  # standard gravity [m/s2], ISO 80000-3
ZERO_C = 273.15  # [K]
STANDARD_ATMOSPHERE = 101_325.0  # [Pa], ISO 2533
KV_PER_CV = 0.865  # m3/h at 1 bar over US gal/min at 1 psi, IEC 60534-1

_WORTH_A_DECIMAL = 0.4  # a unit 2.5 times as large needs one more
_DIGITS = 12  # a conversion keeps; what lies behind is noise of binary fractions
_HOUR, _MINUTE = 3600.0, 60.0
_LITRE, _US_GALLON, _UK_GALLON, _FOOT, _INCH = 1e-3, 3.785411784e-3, 4.54609e-3, 0.3048, 0.0254
_PSI = 0.45359237 * GRAVITY / _INCH**2
_WATER_COLUMN = 1000.0 * GRAVITY  # of one metre of "conventional" water, 1000 kg/m3 [Pa]


class System(StrEnum):
    """What quantities are told in."""

    SI = "SI"
    CUSTOMARY = "US customary"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit used at the edges.

    Attributes
    ----------
    label : str
        As it is written on screen.
    quantity : str
        What it measures.
    factor, zero : float
        Its size, and where its zero lies, in the SI unit of the quantity (°C for temperatures).
    spellings : tuple of str
        How else people write it, small, without blanks.
    """

    label: str
    quantity: str
    factor: float
    zero: float = 0.0
    spellings: tuple[str, ...] = ()


UNITS: dict[str, Unit] = {
    "mm": Unit("mm", "length", 1e-3),
    "um": Unit("µm", "roughness", 1e-6),
    "m": Unit("m", "head", 1.0, spellings=("mh2o", "mwc", "mws", "mofwater", "metres", "meters")),
    "l_h": Unit("L/h", "flow", _LITRE / _HOUR, spellings=("lph", "l/hr", "ltr/h", "litres/h", "liters/h")),
    "m3_h": Unit("m³/h", "flow", 1.0 / _HOUR, spellings=("m3/hr", "cbm/h", "cmh")),
    "kv_m3_h": Unit("m³/h", "flow coefficient", 1.0 / _HOUR, spellings=("kv",)),  # flow of water at 1 bar
    "kpa": Unit("kPa", "pressure", 1e3),
    "pa": Unit("Pa", "pressure", 1.0),
    "bar": Unit("bar", "pressure", 1e5),
    "mpa": Unit("MPa", "pressure", 1e6),
    "w": Unit("W", "power", 1.0),
    "ml": Unit("mL", "volume", 1e-6),
    "l": Unit("L", "volume", 1e-3),
    "m_s": Unit("m/s", "velocity", 1.0),
    "kg_s": Unit("kg/s", "mass flow", 1.0),
    "c": Unit("°C", "temperature", 1.0, spellings=("degc",)),
    "k": Unit("K", "temperature difference", 1.0),
    "w_k": Unit("W/K", "heat conductance", 1.0),
    "k_w": Unit("K/W", "thermal resistance", 1.0, spellings=("c/w", "degc/w")),
    "j_k": Unit("J/K", "heat capacity", 1.0),
    "rpm": Unit("1/min", "speed", 1.0 / _MINUTE, spellings=("rpm", "r/min", "u/min")),
    "deg": Unit("°", "angle", 1.0),
    "percent": Unit("%", "share", 1e-2),
    "mm2": Unit("mm²", "area", 1e-6),
    "minutes": Unit("min", "time", _MINUTE),
    "kg_m3": Unit("kg/m³", "density", 1.0),
    "dba": Unit("dB(A)", "sound level", 1.0),
}

# Units of tables, beside those that names end in.
_OF_TABLES: tuple[Unit, ...] = (
    Unit("L/min", "flow", _LITRE / _MINUTE, spellings=("lpm", "l/m", "ltr/min", "litres/min", "liters/min")),
    Unit("L/s", "flow", _LITRE, spellings=("lps", "litres/s", "liters/s")),
    Unit("mL/min", "flow", 1e-6 / _MINUTE, spellings=("ccm", "cc/min", "cm3/min")),
    Unit("mL/s", "flow", 1e-6, spellings=("cc/s", "cm3/s")),
    Unit("US gal/min", "flow", _US_GALLON / _MINUTE, spellings=("gpm", "usgpm", "gal/min", "gallons/min")),
    Unit("US gal/h", "flow", _US_GALLON / _HOUR, spellings=("gph", "usgph", "gal/h", "gal/hr", "gallons/h")),
    Unit("UK gal/min", "flow", _UK_GALLON / _MINUTE, spellings=("impgal/min", "igpm", "ukgpm", "impgpm")),
    Unit("ft³/min", "flow", _FOOT**3 / _MINUTE, spellings=("cfm", "cuft/min")),
    Unit("Cv", "flow coefficient", KV_PER_CV / _HOUR, spellings=("usgal/min", "gpm", "usgpm", "gal/min")),
    Unit("mbar", "pressure", 1e2, spellings=("hpa", "millibar")),
    Unit("psi", "pressure", _PSI, spellings=("psid", "psig", "lbf/in2", "lb/in2")),
    Unit("m of water", "pressure", _WATER_COLUMN, spellings=("m", "mh2o", "mwc", "mws", "mwater")),
    Unit("mm of water", "pressure", _WATER_COLUMN / 1e3, spellings=("mm", "mmh2o", "mmwc", "mmws", "mmwater")),
    Unit("ft of water", "pressure", _WATER_COLUMN * _FOOT, spellings=("ft", "feet", "fth2o", "ftwc", "ftwater")),
    Unit("in of water", "pressure", _WATER_COLUMN * _INCH, spellings=("in", "inh2o", "inwc", "inwg", "inwater")),
    Unit("mmHg", "pressure", 133.3224, spellings=("torr", "mmofmercury")),
    Unit("inHg", "pressure", 3386.389, spellings=("inofmercury",)),
    Unit("kgf/cm²", "pressure", 98066.5, spellings=("kg/cm2", "kp/cm2")),
    Unit("cm", "head", 1e-2, spellings=("cmh2o", "cmwc", "cmws", "cmofwater", "cmwater")),
    Unit("ft", "head", _FOOT, spellings=("feet", "foot", "fth2o", "ftwc", "ftofwater", "ftwater")),
    Unit("cm", "length", 1e-2),
    Unit("in", "length", _INCH, spellings=("inch", "inches", '"')),
    Unit("°F", "temperature", 5 / 9, -160 / 9, spellings=("degf",)),
    Unit("K", "temperature", 1.0, -ZERO_C, spellings=("kelvin",)),
    Unit("hp", "power", 550 * 0.45359237 * GRAVITY * _FOOT),
    Unit("US gal", "volume", _US_GALLON, spellings=("gal", "gallons")),
    Unit("US fl oz", "volume", _US_GALLON / 128, spellings=("floz", "oz")),
    Unit("ft/s", "velocity", _FOOT, spellings=("fps",)),
    Unit("°F", "temperature difference", 5 / 9, spellings=("degf",)),
    Unit("mil", "roughness", _INCH / 1e3, spellings=("thou",)),
)

# What people who think in inches and gallons read in place of each unit that names end in.
_CUSTOMARY = {
    "mm": "in", "um": "mil", "m": "ft", "l_h": "US gal/min", "m3_h": "ft³/min", "kv_m3_h": "Cv", "kpa": "psi",
    "bar": "psi", "mpa": "psi", "pa": "in of water", "ml": "US fl oz", "l": "US gal",
    "m_s": "ft/s", "c": "°F", "k": "°F",
}  # fmt: skip

# The SI unit of each quantity as the package pint writes it, for units that no table of ours lists.
_IN_PINT = {
    "length": "m", "head": "m", "roughness": "m", "flow": "m**3/s", "pressure": "Pa", "power": "W", "volume": "m**3",
    "velocity": "m/s", "mass flow": "kg/s", "temperature": "degC", "temperature difference": "delta_degC",
    "heat conductance": "W/K", "thermal resistance": "K/W", "heat capacity": "J/K", "area": "m**2", "time": "s",
    "density": "kg/m**3",
}  # fmt: skip

_ALIKE = str.maketrans(
    {"³": "3", "²": "2", "₂": "2", "µ": "u", "μ": "u", "°": "deg", "·": "", "^": "", ".": "", " ": ""}
)


def to_si(value: float, unit: str) -> float:
    """Value in SI, given in `unit` (an ending from `UNITS`)."""
    return value * UNITS[unit].factor


def from_si(value: float, unit: str) -> float:
    """Value in `unit` (an ending from `UNITS`), given in SI."""
    return value / UNITS[unit].factor


def unit_of(name: str) -> str | None:
    """The unit that a name ends in: ``"l_h"`` for ``"flow_l_h"``, None for ``"name"``."""
    endings = [unit for unit in UNITS if f"_{name}".endswith(f"_{unit}")]
    return max(endings, key=len, default=None)


def usual_units(unit: str) -> tuple[Unit, ...]:
    """The units in which a column of `unit` (an ending from `UNITS`) may come, its own first.

    A head may come as a pressure too, which takes the density of the pumped liquid to convert.
    """
    own = UNITS[unit]
    alike = [each for each in (*UNITS.values(), *_OF_TABLES) if each.quantity == own.quantity and each is not own]
    gauges = [
        UNITS["kpa"],
        *(each for each in _OF_TABLES if each.label in ("mbar", "psi", "mmHg", "inHg", "kgf/cm²")),
        UNITS["bar"],
    ]
    return (own, *alike, *(gauges if own.quantity == "head" else ()))


@cache
def customary(unit: str) -> Unit:
    """What US customary practice reads in place of `unit` (an ending from `UNITS`); the same where there is nothing."""
    return next(each for each in usual_units(unit) if each.label == _CUSTOMARY.get(unit, UNITS[unit].label))


def unit_in(unit: str, system: System) -> Unit:
    """The unit that a system shows for one that names end in."""
    return customary(unit) if system is System.CUSTOMARY else UNITS[unit]


def more_decimals(own: Unit, wanted: Unit) -> int:
    """How many more decimals a figure needs in `wanted` to say as much as in `own`; fewer where that is smaller."""
    return ceil(log10(wanted.factor / own.factor) - _WORTH_A_DECIMAL)


def converted_from(value: float, text: str, wanted: Unit) -> float:
    """A value in a unit that no table here lists, such as ``"yards"`` or ``"cL"``, in `wanted`, to twelve digits.

    Raises
    ------
    ValueError
        If there is no such unit, or it measures something else.
    """
    import pint  # slow to load

    try:
        quantity = _registry().Quantity(value, text).to(_IN_PINT[wanted.quantity])
    except (pint.PintError, KeyError, AttributeError, TypeError, ValueError, AssertionError) as error:
        raise ValueError(f"{text} is no unit of {wanted.quantity} that is known") from error
    return float(f"{(float(quantity.magnitude) - wanted.zero) / wanted.factor:.{_DIGITS}g}")


@cache
def _registry() -> Any:
    import pint

    return pint.UnitRegistry()


def unit_written(text: str, among: Iterable[Unit]) -> Unit | None:
    """The unit that `text` stands for, whatever its blanks and capitals: ``"gpm"``, ``"m3 / h"``; None if none."""
    wanted = _plain(text)
    return next((unit for unit in among if wanted in (_plain(unit.label), *unit.spellings)), None)


def converted(value: float, given: Unit, wanted: Unit, density: float = 1000.0) -> float:
    """A value in another unit, to twelve digits.

    Parameters
    ----------
    value : float
        In `given`.
    given, wanted : Unit
        Of one quantity; or one a head and the other a pressure.
    density : float
        Of the liquid whose head it is; counts only between head and pressure [kg/m3].

    Raises
    ------
    ValueError
        If the two measure different things.

    References
    ----------
    Factors: NIST Special Publication 811, appendix B; checked in tests/test_units.py.
    """
    si = value * given.factor + given.zero
    match given.quantity, wanted.quantity:
        case "head", "pressure":
            si *= density * GRAVITY
        case "pressure", "head":
            si /= density * GRAVITY
        case one, other if one != other:
            raise ValueError(f"{given.label} measures {one}, {wanted.label} {other}: they do not convert")
    return float(f"{(si - wanted.zero) / wanted.factor:.{_DIGITS}g}")


def _plain(text: str) -> str:
    return text.translate(_ALIKE).lower()
