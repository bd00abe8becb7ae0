"""Which pasted column belongs to which column of a table of points, and in which unit it comes."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.pasted import CELL, Pasted
from loopsim.fields import FieldDescription
from loopsim.units import Unit, unit_written, usual_units

__all__ = ["Fitted", "fitted", "units_of"]

_STATED = re.compile(r",\s*\S|\S\s*/\s*\S|\bin\s+\S|\S_\S")  # after a comma, a stroke, the word in, or an underscore


@dataclass(frozen=True)
class Fitted:
    """Rows as a table takes them.

    Attributes
    ----------
    rows : list of lists of str
        Cell by cell in the order of the table.
    units : list of Unit or None
        Of each column, as its heading or its cells name it; None where nothing does.
    note : str
        What a builder should know: what was left out, which unit is not known.
    """

    rows: list[list[str]]
    units: list[Unit | None]
    note: str


def units_of(column: FieldDescription) -> tuple[Unit, ...]:
    """The units in which a column may come, its own first; none for words and plain numbers."""
    return usual_units(column.unit) if column.shape == "number" and column.unit else ()


def fitted(pasted: Pasted, columns: Sequence[FieldDescription]) -> Fitted:
    """A pasted table as a table of these columns takes it.

    Headings that name all columns, by label or by unit, say which is which, whatever their order; else there must be
    as many as the table has.

    Raises
    ------
    ValueError
        With a sentence, if the columns cannot be told.
    """
    places = _by_headings(pasted.headings, columns)
    if places is None and pasted.width != len(columns):
        raise ValueError(_misfit(pasted, columns))
    places = places or list(range(len(columns)))
    taken = [
        _column([row[at] for row in pasted.rows], pasted.headings[at], column)
        for at, column in zip(places, columns, strict=True)
    ]
    rows = [list(row) for row in zip(*(cells for cells, _ in taken), strict=True)]
    return Fitted(rows, [unit for _, unit in taken], _note(pasted, columns, places))


def _misfit(pasted: Pasted, columns: Sequence[FieldDescription]) -> str:
    """Why the columns cannot be told: a row that is too long, or as a whole."""
    wanted = len(columns)
    too_long = [number for number, row in enumerate(pasted.rows, 1) if any(row[wanted:])]
    if 0 < len(too_long) < len(pasted.rows):
        return f"row {too_long[0]} of what was pasted has {pasted.width} cells, must be {wanted}"
    labels, plural = ", ".join(column.label for column in columns), "s" if pasted.width > 1 else ""
    return (
        f"what was pasted has {pasted.width} column{plural}, must be {wanted} ({labels}), "
        "or more under headings that name these"
    )


def _by_headings(headings: Sequence[str], columns: Sequence[FieldDescription]) -> list[int] | None:
    """The place of each column, None if headings do not name every one and each once."""
    named = [[at for at, heading in enumerate(headings) if _names(heading, column)] for column in columns]
    known = {at for own in named for at in own}
    found = []
    for column, own in zip(columns, named, strict=True):
        free = (at for at in range(len(headings)) if at not in known)
        found.append(own or [at for at in free if _unit_in(headings[at], column)])
    unique = all(len(own) == 1 for own in found) and len({own[0] for own in found}) == len(columns)
    return [own[0] for own in found] if unique else None


def _names(heading: str, column: FieldDescription) -> bool:
    words = re.findall(r"[^\W\d_]+", heading.lower())
    return all(word in words for word in column.label.lower().split())


def _unit_in(heading: str, column: FieldDescription) -> Unit | None:
    """The unit that a heading names."""
    offered = units_of(column)
    return next((unit for text in _unit_texts(heading) if text and (unit := unit_written(text, offered))), None)


def _unit_texts(heading: str) -> Iterator[str]:
    """Pieces of a heading that may be a unit, the likeliest first."""
    yield from _in_brackets(heading)
    yield heading.rpartition(",")[2]
    yield heading.partition(" / ")[2]
    words = heading.split()
    yield from (" ".join(words[-count:]) for count in (3, 2, 1))
    yield heading.partition("_")[2].replace("_", "/")


def _in_brackets(heading: str) -> list[str]:
    return re.findall(r"[(\[]([^)\]]+)[)\]]", heading)


def _column(cells: list[str], heading: str, column: FieldDescription) -> tuple[list[str], Unit | None]:
    """Cells without their unit, and the unit; a cell in another unit keeps it, and will be refused."""
    unit = _unit_in(heading, column)
    parts = [CELL.fullmatch(cell) for cell in cells]
    written = [part[2] for part in parts if part and part[2]]
    unit = unit or next((found for text in written if (found := unit_written(text, units_of(column)))), None)
    if unit is None:
        return cells, None
    return [
        part[1] if part and part[2] and unit_written(part[2], (unit,)) else cell
        for part, cell in zip(parts, cells, strict=True)
    ], unit


def _note(pasted: Pasted, columns: Sequence[FieldDescription], places: Sequence[int]) -> str:
    unused = [heading for at, heading in enumerate(pasted.headings) if at not in places]
    left_out = ", ".join(f"“{text}”" for text in (*unused, *pasted.left_out) if text)
    unknown = [
        heading
        for heading, column in ((pasted.headings[at], column) for at, column in zip(places, columns, strict=True))
        if units_of(column) and _states_a_unit(heading) and _unit_in(heading, column) is None
    ]
    notes = [f"left out: {left_out}"] if left_out else []
    notes += [f"no unit known in “{heading}”" for heading in unknown]
    return "; ".join(notes)


def _states_a_unit(heading: str) -> bool:
    """True where something stands in a heading where a unit is usual, known or not."""
    return bool(_in_brackets(heading) or _STATED.search(heading))
