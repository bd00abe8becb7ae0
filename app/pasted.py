"""Rows from a spreadsheet or a maker's sheet: what a builder pastes into a table of points, part by part."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from app.typed import BLANKS

__all__ = ["CELL", "Pasted", "pasted_from"]

CELL = re.compile(r"([+\-−]?[\d.,'’\s]*\d(?:[eE][+\-]?\d+)?)\s*([^\d\s].*)?")  # a figure, and what may follow it
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
        Lines below the headings that are no rows of figures.
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
    found = [(line, part(line)) for line in lines]
    first = next((number for number, (_, cells) in enumerate(found) if _is_row(cells)), None)
    if first is None:
        raise ValueError("what was pasted holds no rows of figures")
    rows = [cells for _, cells in found[first:] if _is_row(cells)]
    width = max(map(len, rows))
    whole = tuple(tuple(cells + [""] * (width - len(cells))) for cells in rows)
    return Pasted(
        _headings([_heading_cells(line) if part is _by_blanks else cells for line, cells in found[:first]], width),
        _without_groups(whole),
        tuple(line.strip() for line, cells in found[first:] if not _is_row(cells)),
    )


def _separator(lines: Sequence[str], commas_part: bool) -> Callable[[str], list[str]]:
    """How the cells of all lines are parted."""
    for sign in "\t;":
        if any(sign in line for line in lines):
            return lambda line: [cell.strip() for cell in line.rstrip().split(sign)]
    if commas_part and not any(len(line.split()) > 1 and _is_row(_by_blanks(line)) for line in lines):
        return lambda line: [cell.strip() for cell in line.split(",")]
    return _by_blanks


def _by_blanks(line: str) -> list[str]:
    return [word.strip(",") for word in line.split() if word != ","]


def _heading_cells(line: str) -> list[str]:
    """Headings parted by two blanks or by commas; else word by word, each with what follows it in brackets."""
    cells = [cell.strip() for cell in re.split(r"\s{2,}|,", line.strip()) if cell.strip()]
    return cells if len(cells) > 1 else re.findall(r"[^\s(\[]+(?:\s*[(\[][^)\]]*[)\]])?", line)


def _is_row(cells: Sequence[str]) -> bool:
    return bool(cells) and 2 * sum(CELL.fullmatch(cell) is not None for cell in cells) >= len(cells)


def _headings(lines: Sequence[Sequence[str]], width: int) -> tuple[str, ...]:
    """What stands over each column, from as many lines as fit the columns: names, and below them units."""
    fitting = [line for line in lines if len(line) == width]
    return tuple(" ".join(line[at] for line in fitting).strip() for at in range(width))


def _without_groups(rows: tuple[tuple[str, ...], ...]) -> tuple[tuple[str, ...], ...]:
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
