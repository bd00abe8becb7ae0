"""Constants, and conversion at the edges.

Inside Loopsim a bare name is SI. At every edge (file keys, labels, exports) a name ends in its unit, as in
`flow_l_h`; this table says what each ending means.
"""

from dataclasses import dataclass

__all__ = ["GRAVITY", "STANDARD_ATMOSPHERE", "UNITS", "Unit", "from_si", "to_si", "unit_of"]

GRAVITY = 9.80665  # standard gravity [m/s2], ISO 80000-3
STANDARD_ATMOSPHERE = 101_325.0  # [Pa], ISO 2533


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit used at the edges: how it is written, what quantity it measures, its size in SI units."""

    label: str
    quantity: str
    factor: float


UNITS: dict[str, Unit] = {
    "mm": Unit("mm", "length", 1e-3),
    "um": Unit("µm", "length", 1e-6),
    "m": Unit("m", "head", 1.0),
    "l_h": Unit("L/h", "flow", 1e-3 / 3600.0),
    "m3_h": Unit("m³/h", "flow coefficient", 1.0 / 3600.0),  # of a valve: flow of water at 1 bar
    "kpa": Unit("kPa", "pressure", 1e3),
    "pa": Unit("Pa", "pressure", 1.0),
    "bar": Unit("bar", "pressure", 1e5),
    "w": Unit("W", "power", 1.0),
    "ml": Unit("mL", "volume", 1e-6),
    "l": Unit("L", "volume", 1e-3),
    "m_s": Unit("m/s", "velocity", 1.0),
    "kg_s": Unit("kg/s", "mass flow", 1.0),
    "c": Unit("°C", "temperature", 1.0),
    "deg": Unit("°", "angle", 1.0),
    "percent": Unit("%", "share", 1e-2),
}


def to_si(value: float, unit: str) -> float:
    """Value in SI, given in `unit` (an ending from `UNITS`)."""
    return value * UNITS[unit].factor


def from_si(value: float, unit: str) -> float:
    """Value in `unit` (an ending from `UNITS`), given in SI."""
    return value / UNITS[unit].factor


def unit_of(name: str) -> str | None:
    """The unit that a name ends in: ``"l_h"`` for ``"flow_l_h"``, None for ``"name"``."""
    endings = [unit for unit in UNITS if name.endswith(f"_{unit}")]
    return max(endings, key=len, default=None)
