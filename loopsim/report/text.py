"""Numbers and names as they stand in a report."""

import math
from collections.abc import Iterable

__all__ = ["aligned", "printable", "scientific", "shortened", "significant"]

_NOTHING = 1e-6
_SUPERSCRIPT = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def printable(text: str) -> str:
    """Text on one line, without characters that no drawing or page can hold."""
    plain = "".join(char if char.isprintable() or char.isspace() else "\N{REPLACEMENT CHARACTER}" for char in text)
    return " ".join(plain.split())


def shortened(text: str, most: int) -> str:
    """Text of at most so many characters; where the rest is missing, three dots say so."""
    text = printable(text)
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def significant(value: float, digits: int = 3) -> str:
    """A number with so many significant digits, and no exponent; what is left of zero after rounding errors is 0."""
    if abs(value) < _NOTHING:
        return "0"
    return _rounded(value, digits - 1 - _exponent(value, digits))


def aligned(values: Iterable[float | None], digits: int = 3) -> list[str]:
    """Numbers of one column with the same decimals: the largest shows `digits` significant digits; None is a dash."""
    numbers = list(values)
    largest = max((abs(value) for value in numbers if value is not None), default=0.0)
    places = max(0, digits - 1 - _exponent(largest, digits))
    return ["–" if value is None else _rounded(value, places) for value in numbers]


def scientific(value: float) -> str:
    """A very small number, as in ``3.1 × 10⁻¹⁶``."""
    if value == 0:
        return "0"
    mantissa, exponent = f"{value:.1e}".split("e")
    return f"{mantissa} × 10{str(int(exponent)).translate(_SUPERSCRIPT)}"


def _exponent(value: float, digits: int) -> int:
    """Power of ten of the first digit, once rounded to so many digits."""
    return int(f"{value:.{digits - 1}e}".split("e")[1]) if value and math.isfinite(value) else 0


def _rounded(value: float, places: int) -> str:
    """Rounded to so many decimals, or to tens and hundreds where `places` is below 0; no minus before a zero."""
    text = f"{round(value, places):.{max(0, places)}f}"
    return text.replace("-", "−" if float(text) else "")
