"""Numbers as builders type and paste them: decimal comma or point, thousands in groups, blanks of every kind."""

import math

from loopsim.fields import FieldDescription

__all__ = ["BLANKS", "figure", "number_from"]

BLANKS = " \u00a0\u2007\u2009\u202f"  # plain, unbroken, of a figure's width, thin, thin and unbroken
_SKIPPED = str.maketrans("−", "-", f"{BLANKS}'’")


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


def number_from(text: str, field: FieldDescription, unit_label: str | None = None) -> float:
    """The number that a builder typed for a field, with or without its unit.

    Raises
    ------
    ValueError
        With a sentence that says what is allowed.
    """
    unit = field.unit_label if unit_label is None else unit_label
    try:
        return figure(text.strip().removesuffix(unit))
    except ValueError:
        raise ValueError(f"{field.label} is {text.strip()!r}, must be {_numbers(field)}") from None


def _numbers(field: FieldDescription) -> str:
    bounds = field.allowed
    return "a number" if bounds == "a number" else f"a number {bounds}"
