"""How numbers are rounded on their way into JSON."""

from typing import Any

from loopsim.units import from_si, unit_of

__all__ = ["in_its_unit", "rounded"]

_DIGITS = 6  # behind the point


def rounded(value: Any, digits: int) -> Any:
    """Without the noise of the last digits, and without a minus before zero; None stays none."""
    return round(value, digits) + 0.0 if isinstance(value, float) else value


def in_its_unit(key: str, value: float) -> float:
    """A figure in SI in the unit that its key ends in, rounded."""
    unit = unit_of(key)
    return float(rounded(from_si(value, unit) if unit else value, _DIGITS))
