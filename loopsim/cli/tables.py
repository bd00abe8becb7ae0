"""Tables and sentences in a terminal."""

import sys
from collections.abc import Iterable

from rich.console import Console
from rich.table import Table
from rich.text import Text

from loopsim.studies import Finding
from loopsim.studies.harm import by_harm

__all__ = ["bar", "console", "fixed", "new_table", "print_findings"]

_BAR = 12  # characters of the longest bar
_PAGE = 160  # characters of a line where nobody looks on: a file or another program


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


def fixed(value: float | None, digits: int) -> str:
    """A number with fixed digits, and no minus before zero; a dash for none."""
    return "-" if value is None else f"{round(value, digits) + 0.0:.{digits}f}"


def bar(share_of_largest: float) -> str:
    """A bar of signs, never without any."""
    return "#" * max(1, round(_BAR * share_of_largest))


def print_findings(out: Console, found: Iterable[Finding]) -> None:
    """Warnings and notes, one line each."""
    for each in by_harm(found):
        out.print(Text(f"  {'note' if each.quiet else 'warning'}: {each.text}"))
