"""Tables and sentences in a terminal."""

import sys
from collections.abc import Iterable
from contextvars import ContextVar
from enum import StrEnum

from rich.console import Console
from rich.table import Table
from rich.text import Text

from loopsim.studies import Finding
from loopsim.studies.harm import by_harm
from loopsim.studies.sentence import Sentence, marked, told
from loopsim.units import UNITS, System, more_decimals, unit_in

__all__ = [
    "Units", "bar", "console", "fixed", "label", "measure_in", "new_table", "numbers", "print_findings", "read", "say",
]  # fmt: skip


class Units(StrEnum):
    """In which units answers are told."""

    SI = "si"
    US = "us"


_SYSTEMS = {Units.SI: System.SI, Units.US: System.CUSTOMARY}
_system: ContextVar[System] = ContextVar("system of units", default=System.SI)

_BAR = 12  # characters of the longest bar
_PAGE = 160  # characters of a line where nobody looks on: a file or another program


def measure_in(units: Units) -> None:
    """Tell every answer from now on in these units."""
    _system.set(_SYSTEMS[units])


def console() -> Console:
    """Where answers go: standard output, without colours of its own."""
    return Console(soft_wrap=True, highlight=False, width=None if sys.stdout.isatty() else _PAGE)


def new_table(title: str, *columns: tuple[str, bool]) -> Table:
    """An empty table; columns are headings, each with True for numbers."""
    made = Table(title=title or None, title_justify="left", box=None, pad_edge=False, title_style="bold")
    for heading, is_number in columns:
        made.add_column(
            heading,
            justify="right" if is_number else "left",
            no_wrap=is_number,
            min_width=len(heading),
            overflow="fold",
        )
    return made


def numbers(*headings: str) -> list[tuple[str, bool]]:
    """Columns of numbers, in whose headings endings of units stand in braces: ``"flow {l_h}"``."""
    labels = {ending: label(ending) for ending in UNITS}
    return [(heading.format_map(labels), True) for heading in headings]


def label(unit: str) -> str:
    """The unit that is told for the ending of one."""
    return unit_in(unit, _system.get()).label


def fixed(value: float | None, digits: int, unit: str = "") -> str:
    """A number with fixed digits, and no minus before zero; a dash for none.

    With the ending of a unit, `value` is in SI (degrees Celsius), and `digits` are those of the unit that SI shows.
    """
    if value is None:
        return "-"
    if unit:
        own, wanted = UNITS[unit], unit_in(unit, _system.get())
        value = (value - wanted.zero) / wanted.factor
        digits = digits if wanted is own else max(0, digits + more_decimals(own, wanted))
    return f"{round(value, digits) + 0.0:.{digits}f}"


def read(text: str) -> str:
    """A text whose marks of quantities are read in the units asked for."""
    return told(Sentence(text), _system.get())


def say(out: Console, text: str) -> None:
    """Such a text as a line."""
    out.print(Text(read(text)))


def bar(share_of_largest: float) -> str:
    """A bar of signs, never without any."""
    return "#" * max(1, round(_BAR * share_of_largest))


def print_findings(out: Console, found: Iterable[Finding]) -> None:
    """Warnings and notes, one line each."""
    for each in by_harm(found):
        say(out, f"  {'note' if each.quiet else 'warning'}: {marked(each.text)}")
