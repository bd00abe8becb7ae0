"""Rows from a spreadsheet or a maker's sheet: what a builder pastes into a table of points, part by part."""

import csv
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import compress, zip_longest

from app.typed import BLANKS

__all__ = ["CELL", "Pasted", "pasted_from"]

CELL = re.compile(r"([+\-−]?[\d.,'’\s]*\d(?:[eE][+\-]?\d+)?)\s*([^\d\s].*)?")  # a figure, and what may follow it
_UNIT = re.compile(r"(?<=\d)\s+(?=[^\W\d_])")  # between a figure and what is no figure
_THIN = re.compile(rf"(?<=\d)[{BLANKS[1:]}](?=\d{{3}}(?!\d))")  # between groups of thousands


@dataclass(frozen=True)
class Pasted:
    """A pasted table.

    Attributes
    ----------
    headings : tuple of str
        Of each column, from all lines above the first row; empty where there is none.
    rows : tuple of tuples of str
        All of one length; in figures with both signs, or with groups of thousands, only a decimal sign is left.
    left_out : tuple of str
        Lines that are neither headings of the columns nor rows of figures.
    """

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    left_out: tuple[str, ...]

    @property
    def width(self) -> int:
        """Cells of a row."""
        return len(self.rows[0])


def pasted_from(text: str, commas_part: bool = True) -> Pasted:
    """The table in a pasted text.

    Cells are parted by tabs or semicolons, else by blanks, else by commas; so a comma is a decimal comma wherever
    something else parts the cells, or `commas_part` is False. A line is a row if half of its cells are figures.

    Raises
    ------
    ValueError
        With a sentence, if there is no row of figures.
    """
    lines = [line for line in _THIN.sub("", text).splitlines() if line.strip()]
    part = _separator(lines, commas_part)
    cells = [part(line) for line in lines]
    first = next((number for number, row in enumerate(cells) if _is_row(row)), None)
    if first is None:
        raise ValueError("what was pasted holds no rows of figures")
    rows = [row for row in cells[first:] if _is_row(row)]
    width = max(map(len, rows))
    heads = [_heading_cells(line, width) for line in lines[:first]] if part is _by_blanks else cells[:first]
    named = [sum(map(bool, row)) >= min(width, 2) for row in heads]  # a title over the whole table names no column
    columns = zip_longest(_stacked(compress(heads, named)), *rows, fillvalue="")
    head, *body = zip(*(column for column in columns if any(column)), strict=True)
    unused = [not used for used in (*named, *map(_is_row, cells[first:]))]
    return Pasted(head, _without_groups(body), tuple(line.strip() for line in compress(lines, unused)))


def _separator(lines: Sequence[str], commas_part: bool) -> Callable[[str], list[str]]:
    """How the cells of all lines are parted."""
    for sign in "\t;":
        if any(sign in line for line in lines):
            return partial(_by_sign, sign)
    if commas_part and not any(len(line.split()) > 1 and _is_row(_by_blanks(line)) for line in lines):
        return partial(_by_sign, ",")
    return _by_blanks


def _by_sign(sign: str, line: str) -> list[str]:
    """Cells between signs, in quotation marks or without."""
    return [cell.strip() for cell in next(csv.reader([line], delimiter=sign, skipinitialspace=True))]


def _by_blanks(line: str) -> list[str]:
    """Cells between blanks; a unit stays with the figure before it."""
    return [word.strip(",") for word in _UNIT.sub("", line).split() if word != ","]


def _heading_cells(line: str, width: int) -> list[str]:
    """Headings parted by two blanks, by commas, or by as many single blanks as fit the columns; else none."""
    words = re.findall(r"[^\s(\[]+(?:\s*[(\[][^)\]]*[)\]])?", line)
    each = max(len(words) // width, 1)
    for cells in (
        [cell.strip() for cell in re.split(r"\s{2,}|,", line.strip()) if cell.strip()],
        [" ".join(words[at : at + each]) for at in range(0, len(words), each)],
    ):
        if len(cells) == width:
            return cells
    return []


def _stacked(lines: Iterable[Sequence[str]]) -> list[str]:
    """What stands over each column: a name, and a unit in the line below."""
    return [" ".join(filter(None, column)) for column in zip_longest(*lines, fillvalue="")]


def _is_row(cells: Sequence[str]) -> bool:
    return bool(cells) and 2 * sum(CELL.fullmatch(cell) is not None for cell in cells) >= len(cells)


def _without_groups(rows: Iterable[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    rows = tuple(rows)
    sign = _grouping([cell for row in rows for cell in row if CELL.fullmatch(cell)])
    return tuple(tuple(cell.replace(sign, "") if CELL.fullmatch(cell) else cell for cell in row) for row in rows)


def _grouping(figures: Sequence[str]) -> str:
    """The sign that groups thousands all through a table, empty where none surely does."""
    commas, points = ([each for each in figures if sign in each] for sign in ",.")
    for each in commas:
        if "." in each:
            return min(",.", key=each.rfind)
    for sign, own in ((",", commas), (".", points)):
        if commas and points and all(re.fullmatch(rf"\D*\d{{1,3}}(\{sign}\d{{3}})+\D*", each) for each in own):
            return sign
    return ""
