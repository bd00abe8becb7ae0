"""The pressure budget as bars, largest first, with the running share as a line."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from loopsim.report.svg import INK, LIQUID, PAPER, SOFT, Point, drawing, line, text
from loopsim.report.text import shortened
from loopsim.studies import BudgetLine

__all__ = ["MOST_BARS", "budget_svg"]

MOST_BARS = 30  # what is smaller stands in the table
_WIDTH, _LEFT, _RIGHT, _ROW, _TOP = 174.0, 72.0, 6.0, 4.6, 8.0  # [mm]
_BAR, _TYPE, _SMALL, _SHARE = 2.8, 2.4, 2.1, 13.0
_LONGEST_NAME = 38  # characters
_GRID = "#dddddd"


def budget_svg(names: Sequence[str], lines: Sequence[BudgetLine]) -> str:
    """Bars of the share, and dots of the running share on the same axis from 0 to 100 %.

    Parameters
    ----------
    names : sequence of str
        Of each line.
    lines : sequence of BudgetLine
        Largest first; at most `MOST_BARS` are drawn.

    Returns
    -------
    str
        One SVG element, 174 mm wide.
    """
    rows = list(zip(names, lines, strict=True))[:MOST_BARS]
    height = _TOP + _ROW * len(rows) + 3.0
    bars = [mark for number, (name, each) in enumerate(rows) for mark in _bar(number, name, each)]
    marks = (*_axis(height), *bars, *_running([each for _, each in rows]))
    return drawing(marks, _WIDTH, f"{height:.1f}")


def _axis(height: float) -> Iterable[str]:
    for percent in range(0, 101, 20):
        x = _x(percent / 100)
        yield line((x, _TOP - 1.5), (x, height - 2.0), _GRID, 0.2)
        yield text(f"{percent} %", (x, _TOP - 2.6), _SMALL, SOFT)


def _bar(number: int, name: str, each: BudgetLine) -> Iterable[str]:
    """Name, share and bar of one row."""
    y = _middle(number)
    yield text(shortened(name, _LONGEST_NAME), (_LEFT - _SHARE, y + 0.8), _TYPE, INK, "end")
    yield text(f"{100 * each.part.share:.1f} %", (_LEFT - 2.0, y + 0.8), _SMALL, INK, "end")
    yield line((_x(0.0), y), (_x(each.part.share), y), LIQUID, _BAR)


def _running(lines: Sequence[BudgetLine]) -> Iterable[str]:
    spots: list[Point] = [(_x(each.running), _middle(number)) for number, each in enumerate(lines)]
    yield from (line(a, b, SOFT, 0.3) for a, b in pairwise(spots))
    for x, y in spots:
        yield f'<circle cx="{x:.2f}" cy="{y:.2f}" r="0.8" stroke="{INK}" stroke-width="0.3" fill="{PAPER}"/>'


def _x(share: float) -> float:
    return _LEFT + min(max(share, 0.0), 1.0) * (_WIDTH - _LEFT - _RIGHT)


def _middle(number: int) -> float:
    return _TOP + _ROW * (number + 0.5)
