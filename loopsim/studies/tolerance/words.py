"""What the figures of a study of tolerance are called."""

from loopsim.studies.figures import FIGURES
from loopsim.units import from_si, unit_of

__all__ = ["digits_of", "label_of", "shown"]

_LABELS = {figure.key: figure.label for figure in FIGURES}
_DIGITS = {"l_h": 0, "w": 0}


def label_of(key: str) -> str:
    """A figure's name without its unit: ``"flow"``, ``"Processor"`` for its temperature, ``"Processor, flow"``."""
    return _LABELS.get(key) or key.removesuffix(f"_{unit_of(key)}").removesuffix(", temperature")


def digits_of(unit: str) -> int:
    """Decimals that a band tells of a figure in a unit."""
    return _DIGITS.get(unit, 1)


def shown(key: str, value: float) -> str:
    """A value in SI in the unit of its key, with as many digits as a band tells; a minus as one is written."""
    unit = unit_of(key) or ""
    number = from_si(value, unit) if unit else value
    digits = digits_of(unit)
    return f"{round(number, digits) + 0.0:.{digits}f}".replace("-", "−")
