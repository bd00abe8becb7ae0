"""The heat budget as a balance of bars: what comes in, one after the other, and what goes out, up to the same total."""

from collections.abc import Iterator, Sequence

from loopsim.report.svg import INK, LIQUID, SOFT, WARM, drawing, line, text
from loopsim.report.text import aligned, shortened
from loopsim.studies import HeatBalance, HeatLine

__all__ = ["balance_svg"]

_WIDTH, _LEFT, _RIGHT, _ROW, _TOP, _GAP = 174.0, 72.0, 6.0, 4.6, 3.0, 3.0  # [mm]
_BAR, _TYPE, _SMALL, _VALUE = 2.8, 2.4, 2.1, 13.0
_LONGEST_NAME = 38  # characters
_THINNEST = 0.2  # of a bar on paper [mm]


def balance_svg(of: HeatBalance) -> str:
    """Bars of both sides; each begins where the one before it ends, so that equal totals end at one upright line.

    Returns
    -------
    str
        One SVG element, 174 mm wide.
    """
    sides = (("in", of.into, WARM), ("out", of.out, LIQUID))
    rows = sum(len(lines) + 1 for _, lines, _ in sides)
    height = _TOP + _ROW * rows + _GAP + 2.0
    marks = [line((_x(of.total, of), _TOP), (_x(of.total, of), height - 2.0), SOFT, 0.2)]
    y = _TOP
    for word, lines, ink in sides:
        marks += _side(word, lines, ink, y, of)
        y += _ROW * (len(lines) + 1) + _GAP
    return drawing(marks, _WIDTH, f"{height:.1f}")


def _side(word: str, lines: Sequence[HeatLine], ink: str, top: float, of: HeatBalance) -> Iterator[str]:
    """Heading and bars of one side."""
    total = sum(each.heat for each in lines)
    yield text(f"{word}: {total:.0f} W", (_LEFT, top + 0.5 * _ROW + 0.8), _TYPE, SOFT, "start")
    so_far = 0.0
    for number, (each, value) in enumerate(zip(lines, aligned(each.heat for each in lines), strict=True), start=1):
        y = top + _ROW * (number + 0.5)
        start, end = _x(so_far, of), _x(so_far + each.heat, of)
        yield text(shortened(each.name, _LONGEST_NAME), (_LEFT - _VALUE, y + 0.8), _TYPE, INK, "end")
        yield text(f"{value} W", (_LEFT - 2.0, y + 0.8), _SMALL, INK, "end")
        yield line((start, y), (max(end, start + _THINNEST), y), ink, _BAR)
        so_far += each.heat


def _x(heat: float, of: HeatBalance) -> float:
    return _LEFT + heat / of.total * (_WIDTH - _LEFT - _RIGHT)
