"""Sentences whose quantities are read in SI as they stand, or in US customary units by `told`.

A study writes its sentences once, without knowing who reads them. A quantity goes into the text as a mark that holds
its value in SI; a `Sentence` is such a text, and reads as it would in SI wherever a plain string is asked for.
"""

import math
from functools import lru_cache

from loopsim.studies.rounding import with_band
from loopsim.units import UNITS, System, converted, more_decimals, unit_in

__all__ = ["Sentence", "bare_datum", "datum", "figure", "marked", "quantity", "read_marks", "told"]

_BEGINS, _ENDS = "\ufdd0", "\ufdd1"  # of a mark: noncharacters, which Unicode keeps for use within a program
_LEAST_DIGITS, _MOST_DIGITS = 2, 3  # of a figure in another system
_TYPED_DIGITS = 4  # of a number that was typed in one system and is read in the other


class Sentence(str):
    """A text with marks of quantities, which reads as it does in SI.

    Only the sentence itself holds the marks: what is made of it by the means of `str` is plain text in SI.

    Attributes
    ----------
    marked : str
        With its marks, to be put into another sentence.
    """

    marked: str

    def __new__(cls, text: str) -> "Sentence":
        whole = marked(text)
        made = super().__new__(cls, _read(whole, System.SI))
        made.marked = whole
        return made

    def __getnewargs__(self) -> tuple[str]:
        return (self.marked,)


def told(text: str, system: System) -> str:
    """A sentence as it reads in a system of units; any other text as it is."""
    return _read(text.marked, system) if isinstance(text, Sentence) else text


def marked(text: str) -> str:
    """A sentence with its marks, to be put into another one; any other text as it is."""
    return text.marked if isinstance(text, Sentence) else text


def read_marks(record: object, *names: str) -> None:
    """Make sentences of the texts with marks in these fields of a frozen record, which is being made."""
    for name in names:
        given = getattr(record, name)
        if isinstance(given, tuple):
            object.__setattr__(record, name, tuple(map(Sentence, given)))
        elif _BEGINS in given:
            object.__setattr__(record, name, Sentence(given))


def quantity(value: float, unit: str, decimals: int = 0, half: float = 0.0) -> str:
    """A figure with its unit, to stand in a `Sentence`: ``"48 L/h"``.

    Parameters
    ----------
    value : float
        In SI, temperatures in degrees Celsius.
    unit : str
        An ending from `loopsim.units.UNITS`.
    decimals : int
        In the unit that SI shows; a larger one gets more.
    half : float
        Half width of its band where there is one, by which it is rounded instead.
    """
    return f"{figure(value, unit, decimals, half)} {_BEGINS}unit {unit}{_ENDS}"


def figure(value: float, unit: str, decimals: int = 0, half: float = 0.0) -> str:
    """The same without the unit, which stands further on."""
    return f"{_BEGINS}figure {unit} {float(value)!r} {decimals} {float(half)!r}{_ENDS}"


def datum(value: float, unit: str, digits: int = 6) -> str:
    """A number of the drawing or of data with its unit, as it was typed: ``"9.5 mm"``; `value` is in `unit` itself."""
    return f"{bare_datum(value, unit, digits)} {_BEGINS}unit {unit}{_ENDS}"


def bare_datum(value: float, unit: str, digits: int = 6) -> str:
    """The same without the unit, which stands further on."""
    return f"{_BEGINS}typed {unit} {value:.{digits}g}{_ENDS}"


@lru_cache(maxsize=2048)  # while something is dragged, most sentences are said again
def _read(marked: str, system: System) -> str:
    """The text with every mark read."""
    first, *pieces = marked.split(_BEGINS)
    return first + "".join(_read_piece(piece, system) for piece in pieces)


def _read_piece(piece: str, system: System) -> str:
    """What follows the beginning of a mark: the mark read, and the plain text after it."""
    mark, _, rest = piece.partition(_ENDS)
    try:
        return _read_mark(mark, system) + rest
    except (KeyError, ValueError):  # a name that holds such characters
        return piece


def _read_mark(mark: str, system: System) -> str:
    match mark.split(" "):
        case ["unit", unit]:
            return unit_in(unit, system).label
        case ["figure", unit, value, decimals, half]:
            return _figure(float(value), unit, int(decimals), float(half), system)
        case ["typed", unit, value]:
            return _typed(float(value), unit, system)
    raise ValueError


def _figure(value: float, unit: str, decimals: int, half: float, system: System) -> str:
    own, wanted = UNITS[unit], unit_in(unit, system)
    shown = (value - wanted.zero) / wanted.factor
    if wanted is own:
        return with_band(shown, half / own.factor, decimals)
    decimals = _in_digits(decimals + more_decimals(own, wanted), shown)
    return with_band(round(shown, decimals) if not half else shown, half / wanted.factor, max(decimals, 0))


def _in_digits(decimals: int, value: float) -> int:
    """As many decimals, or a few more or fewer, that the figure has two to three digits; below zero for tens."""
    first = math.floor(math.log10(abs(value))) if value and math.isfinite(value) else 0
    return min(max(decimals, _LEAST_DIGITS - 1 - first), _MOST_DIGITS - 1 - first)


def _typed(value: float, unit: str, system: System) -> str:
    own, wanted = UNITS[unit], unit_in(unit, system)
    text = f"{value:g}" if wanted is own else f"{converted(value, own, wanted):.{_TYPED_DIGITS}g}"
    return text.replace("-", "−")
