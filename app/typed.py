"""Numbers as builders type and paste them: decimal comma or point, thousands in groups, fractions, any usual unit."""

import math
import re
from typing import NamedTuple

from loopsim.fields import FieldDescription
from loopsim.units import UNITS, Unit, converted, converted_from, unit_written, usual_units

__all__ = ["BLANKS", "Typed", "figure", "typed"]

BLANKS = " \u00a0\u2007\u2009\u202f"  # plain, unbroken, of a figure's width, thin, thin and unbroken
_SKIPPED = str.maketrans("−", "-", f"{BLANKS}'’")
_FRACTION = re.compile(r"([+\-−]?)(?:(\d+)[\s\-]+)?(\d+)\s*/\s*(\d+)(?!\d)(.*)")
_FIGURE = re.compile(r"([+\-−]?[\d.,'’\s]*\d(?:[eE][+\-]?\d+)?)(.*)")
_WORD = re.compile(r"[^\W\d_]|[°\"']")  # how a unit begins
_DIGITS = 6  # of what was understood


class Typed(NamedTuple):
    """A number in its field's unit, and how it was understood, where that does not go without saying."""

    value: float
    understood: str = ""


def figure(text: str) -> float:
    """The number that a text stands for; of comma and point, the later one is the decimal sign.

    Raises
    ------
    ValueError
        Without words, if it is no finite number.
    """
    bare = text.translate(_SKIPPED)
    if "," in bare and "." in bare:
        bare = bare.replace(min(",.", key=bare.rfind), "")
    number = float(bare.replace(",", "."))
    if not math.isfinite(number):
        raise ValueError
    return number


def typed(text: str, field: FieldDescription, shown: Unit | None = None, density: float = 1000.0) -> Typed:
    """The number that a builder typed for a field: ``"3/8 in"``, ``"1.2 gpm"``, ``"4 psi"``, or without a unit.

    Parameters
    ----------
    text : str
    field : FieldDescription
    shown : Unit, optional
        The unit in which a bare number is meant; the field's own if not given.
    density : float
        Of the liquid whose head may be typed as a pressure [kg/m3].

    Raises
    ------
    ValueError
        With a sentence that says what is allowed, in the unit shown.
    """
    own = UNITS[field.unit] if field.unit else None
    shown = shown or own
    try:
        number, word = _parted(text.strip())
        value, unit = _in_own(number, word, own, shown, density)
    except ValueError as error:
        why = f" ({error})" if str(error) else ""
        raise ValueError(f"{field.label} is {text.strip()!r}, must be {_numbers(field, shown)}{why}") from None
    if not field.allows(value):
        given = text.strip() if word or shown is None else f"{text.strip()} {shown.label}"
        raise ValueError(f"{field.label} is {given}, must be {field.allowed_in(shown)}")
    if unit is shown or own is None or shown is None:
        return Typed(value)
    return Typed(value, f"{text.strip()} is {converted(value, own, shown):.{_DIGITS}g} {shown.label}")


def _parted(text: str) -> tuple[float, str]:
    """The number and what follows it."""
    fraction = _FRACTION.fullmatch(text)
    if fraction is not None:
        sign, whole, over, under, word = fraction.groups()
        number = int(whole or 0) + figure(over) / (figure(under) or math.nan)
        if not math.isfinite(number):
            raise ValueError
        return -number if sign in ("-", "−") and sign else number, word.strip()
    plain = _FIGURE.fullmatch(text)
    if plain is None:
        raise ValueError
    return figure(plain[1]), plain[2].strip()


def _in_own(
    number: float, word: str, own: Unit | None, shown: Unit | None, density: float
) -> tuple[float, Unit | None]:
    """A number in a field's own unit, and the unit in which it was given; None for one that no table lists."""
    if own is None or shown is None:
        if word:
            raise ValueError("it has no unit")
        return number, None
    unit = shown if not word or unit_written(word, (shown,)) else unit_written(word, usual_units(_ending(own)))
    if unit is None and not _WORD.match(word):
        raise ValueError
    if unit is None:
        return converted_from(number, word, own), None
    return converted(number, unit, own, density), unit


def _ending(own: Unit) -> str:
    return next(ending for ending, unit in UNITS.items() if unit is own)


def _numbers(field: FieldDescription, shown: Unit | None) -> str:
    bounds = field.allowed_in(shown)
    if bounds == "a number":
        return f"a number in {shown.label}" if shown is not None else bounds
    return f"a number {bounds}"
