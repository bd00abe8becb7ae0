"""What the figures of a study of tolerance are called."""

from loopsim.studies.figures import FIGURES
from loopsim.units import UNITS, from_si, unit_of

__all__ = ["heading_of", "label_of", "shown"]

_LABELS = {figure.key: figure.label for figure in FIGURES}
_DIGITS = {"l_h": 0, "w": 0}


def label_of(key: str) -> str:
    """A figure's name without its unit: ``"flow"``, ``"Processor"`` for its temperature, ``"Processor, flow"``."""
    return _LABELS.get(key) or key.removesuffix(f"_{unit_of(key)}").removesuffix(", temperature")


def heading_of(key: str) -> str:
    """Name and unit: ``"flow, L/h"``."""
    unit = unit_of(key)
    return f"{label_of(key)}, {UNITS[unit].label}" if unit else label_of(key)


def shown(key: str, value: float) -> str:
    """A value in SI in the unit of its key, with as many digits as a band tells; a minus as one is written."""
    unit = unit_of(key) or ""
    number = from_si(value, unit) if unit else value
    digits = _DIGITS.get(unit, 1)
    return f"{round(number, digits) + 0.0:.{digits}f}".replace("-", "−")
