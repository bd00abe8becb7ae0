"""Numbers as they are written on the screen: in the builder's units, with no more digits than help."""

import re
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from app.measures import System, measures
from loopsim.studies.rounding import with_band
from loopsim.studies.sentence import told as told_in
from loopsim.units import UNITS, Unit, converted, customary, more_decimals

__all__ = [
    "NONE",
    "NOTHING",
    "all_in_own",
    "amount",
    "banded",
    "bare_length",
    "capitalised",
    "change",
    "from_own",
    "heading",
    "in_own",
    "in_unit",
    "in_units",
    "label",
    "length_mm",
    "lengths_mm",
    "localised",
    "number",
    "percent",
    "plain",
    "sentence",
    "shown",
    "signed",
    "told",
    "unbroken",
    "use_decimal_sign",
    "watts",
]

FloatArray = NDArray[np.float64]

_SHOWN = 6  # digits of a value in another unit than the file's
_OF_INCHES = 4  # digits of a length in the drawing
_DECIMAL_POINT = re.compile(r"(?<=\d)\.(?=\d)")
_decimal_sign = "."
_BREAKABLE = sorted(
    {unit.label for ending in UNITS for unit in (UNITS[ending], customary(ending)) if {" ", "/"} & {*unit.label}},
    key=lambda label: -len(label),  # one may begin another
)
NOTHING = 1e-6  # a share below it is none
NONE = "–"  # where there is no number


class _Digits(NamedTuple):
    """How a figure is rounded: `decimals` of them, `below` the limit in size so many."""

    limit: float
    decimals: int
    below: int


# Of each unit that names end in: in itself, and in what US customary practice reads in its place.
_DIGITS = {
    "l_h": (_Digits(10.0, 0, 1), _Digits(10.0, 1, 2)),
    "m3_h": (_Digits(100.0, 0, 1), _Digits(100.0, 0, 1)),
    "c": (_Digits(0.0, 1, 1), _Digits(0.0, 1, 1)),
    "k": (_Digits(10.0, 0, 1), _Digits(10.0, 0, 1)),
    "pa": (_Digits(100.0, 0, 1), _Digits(0.1, 2, 3)),
    "m": (_Digits(0.0, 2, 2), _Digits(10.0, 1, 2)),
    "kpa": (_Digits(1.0, 1, 2), _Digits(1.0, 1, 2)),
    "bar": (_Digits(0.0, 2, 2), _Digits(10.0, 1, 2)),
    "mm": (_Digits(0.0, 0, 0), _Digits(0.0, 2, 2)),
    "percent": (_Digits(0.0, 0, 0), _Digits(0.0, 0, 0)),
    "ml": (_Digits(2.0, 0, 1), _Digits(10.0, 1, 2)),
    "l": (_Digits(0.0, 2, 2), _Digits(0.0, 2, 2)),
    "m_s": (_Digits(0.0, 2, 2), _Digits(0.0, 2, 2)),
}


class _Labels(dict[str, str]):
    """The builder's units by their endings; only those that are asked for are looked up."""

    def __missing__(self, ending: str) -> str:
        return label(ending)


_LABELS = _Labels()


def number(value: float | None, unit: str) -> str:
    """A figure in the builder's unit, without it; a dash where there is none.

    Parameters
    ----------
    value : float or None
        In SI, temperatures in degrees Celsius.
    unit : str
        An ending from `loopsim.units.UNITS`: the unit that SI shows.
    """
    if value is None:
        return NONE
    text = _rounded(in_own(value, unit), *_DIGITS[unit][measures.system is System.CUSTOMARY])
    return "0" if unit in ("l_h", "ml") and not any(digit in text for digit in "123456789") else text


def label(unit: str) -> str:
    """The builder's unit: ``"L/h"`` for ``"l_h"``."""
    return measures.unit(unit).label


def in_own(value: float, unit: str) -> float:
    """The same unrounded, for an axis or a bar."""
    wanted = measures.unit(unit)
    return (value - wanted.zero) / wanted.factor


def all_in_own(values: FloatArray, unit: str) -> FloatArray:
    """The same of many values, shape (n,)."""
    wanted = measures.unit(unit)
    return (values - wanted.zero) / wanted.factor


def from_own(value: float, unit: str) -> float:
    """In SI again, what an axis shows."""
    wanted = measures.unit(unit)
    return value * wanted.factor + wanted.zero


def banded(value: float, unit: str, half: float) -> str:
    """The same to a tenth, with the half width of its band where there is one, and no more digits than that allows."""
    scale = measures.unit(unit).factor
    return localised(with_band(in_own(value, unit), half / scale, 1))


def amount(value: float | None, unit: str) -> str:
    """The same with its unit: ``"235 L/h"``; the dash stands alone."""
    return NONE if value is None else f"{number(value, unit)} {label(unit)}"


def change(value: float, unit: str, decimals: int) -> str:
    """A difference of figures with its sign, in the builder's unit; empty where it is less than shows.

    `value` is in SI; `decimals` are those of the unit that SI shows, and a larger unit gets more.
    """
    own, wanted = UNITS[unit], measures.unit(unit)
    rounded = round(value / wanted.factor, max(0, decimals + more_decimals(own, wanted)) or None)
    return localised(signed(rounded)) if rounded else ""


def heading(words: str, unit: str | None) -> str:
    """Words with the builder's unit: ``"flow, L/h"``; as they are for a number without one."""
    return f"{words}, {label(unit)}" if unit else words


def in_units(words: str) -> str:
    """A heading or caption with the builder's unit in place of each ending in braces: ``"flow, {l_h}"``."""
    return words.format_map(_LABELS)


def signed(change: float) -> str:
    """A change with its sign, a true minus among them: ``"+6"``, ``"−0.3"``."""
    return f"{change:+g}".replace("-", "−")


def watts(heat: float) -> str:
    """Heat or power in W: whole numbers, one decimal below 10."""
    return _rounded(heat, 10.0, 0, 1)


def percent(share: float) -> str:
    """A share of 1 in whole per cent; what is little, but not nothing, reads ``< 1``."""
    return "< 1" if NOTHING < share < 0.005 else f"{share * 100:.0f}"


def plain(value: float) -> str:
    """A number as a builder would type it: no trailing zeros, no exponent, the system's decimal sign."""
    text = f"{value:.10g}"
    return localised(f"{value:.10f}".rstrip("0").rstrip(".") if "e" in text else text)


def use_decimal_sign(sign: str) -> None:
    """Write this between whole numbers and decimals from now on; both signs are read all the same."""
    global _decimal_sign
    _decimal_sign = sign


def localised(text: str) -> str:
    """A sentence or a figure with the system's decimal sign."""
    return text if _decimal_sign == "." else _DECIMAL_POINT.sub(_decimal_sign, text)


def shown(value: float, unit: str, half: float = 0.0) -> str:
    """A figure with its unit, in the builder's own units, and with no more digits than its band allows.

    `value` and the half width of its band are in `unit`, an ending from `loopsim.units.UNITS`.
    """
    own, wanted = UNITS[unit], measures.unit(unit)
    if wanted is not own:
        value, half = converted(value, own, wanted), half * own.factor / wanted.factor
    number = with_band(value, half) if half > 0 or wanted is own else f"{value:.3g}"
    return f"{localised('0' if number == '0.0' else number)} {wanted.label}"


def lengths_mm(values: Iterable[float], between: str = " x ", is_change: bool = False) -> str:
    """Lengths of the drawing with their unit: as they are in millimetres, to four digits in inches.

    Those of a change have their sign.
    """
    numbers = map(_in_drawing, values)
    texts = (localised(signed(number)) if is_change else plain(number) for number in numbers)
    return f"{between.join(texts)} {label('mm')}"


def length_mm(value: float) -> str:
    """One of them."""
    return lengths_mm((value,))


def bare_length(value: float) -> str:
    """One of them where its unit is said already."""
    return plain(_in_drawing(value))


def _in_drawing(value: float) -> float:
    own, wanted = UNITS["mm"], measures.unit("mm")
    return float(f"{converted(value, own, wanted):.{_SHOWN if wanted is own else _OF_INCHES}g}")


def in_unit(value: float, unit: str | None, shown: Unit | None) -> str:
    """A field's value in the unit shown for it, as a builder would type it."""
    if shown is None or unit is None or shown is UNITS[unit]:
        return plain(value)
    return plain(float(f"{converted(value, UNITS[unit], shown):.{_SHOWN}g}"))


def _rounded(value: float, limit: float, decimals: int, below: int) -> str:
    text = f"{value:.{below if abs(value) < limit else decimals}f}"
    return localised(text.removeprefix("-") if float(text) == 0 else text.replace("-", "−"))


def told(text: str) -> str:
    """A sentence of a study in the builder's units, and with the system's decimal sign."""
    return localised(told_in(text, measures.system))


def capitalised(text: str) -> str:
    """The same with a capital."""
    text = told(text)
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """The same with a capital and a full stop; empty where there is nothing to say."""
    return f"{capitalised(text)}." if text else ""


def unbroken(text: str) -> str:
    """The same text, in which no line break parts a number from its unit or band, or a unit within."""
    text = told(text)
    joined = re.sub(r"(?<=\d) (?=[%a-zA-Z°±])|(?<=±) ", "\u00a0", text)
    for label in _BREAKABLE:
        joined = joined.replace(label, label.replace(" ", "\u00a0").replace("/", "/\u2060"))
    return joined
