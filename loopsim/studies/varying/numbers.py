"""Every number in a record, in the tables and records that it holds too, and the record with another value there."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from loopsim.fields import FieldDescription, Record, describe

__all__ = ["Number", "numbers_in", "values_with"]

Path = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Number:
    """A number somewhere in a record.

    Attributes
    ----------
    path : tuple of str
        Names of fields and numbers of rows, from 1, that lead to it: ``("loads", "1", "heat_w")``.
    whose : str
        What the row or record in which it stands is called; empty for a number of the whole, and for the only row.
    field : FieldDescription
    value : float or None
        None where it is left empty.
    """

    path: Path
    whose: str
    field: FieldDescription
    value: float | None

    def ends_in(self, path: Path) -> bool:
        """True if these names are the last on the way to it."""
        return self.path[-len(path) :] == path


def numbers_in(record: Record, path: Path = (), whose: str = "") -> Iterator[Number]:
    """Numbers of a record, its own first in the order of its fields, then those of what it holds."""
    fields = describe(type(record))
    for field in fields:
        if field.shape == "number":
            yield Number((*path, field.name), whose, field, getattr(record, field.name))
    for field in fields:
        held = getattr(record, field.name)
        if isinstance(held, Record):
            yield from numbers_in(held, (*path, field.name), f"{whose} {field.label}".strip())
        elif isinstance(held, tuple):
            yield from _in_rows(held, (*path, field.name), f"{whose} {field.label}".strip())


def _in_rows(rows: tuple[Any, ...], path: Path, whose: str) -> Iterator[Number]:
    for place, row in enumerate(rows, start=1):
        if isinstance(row, Record):
            name = "" if len(rows) == 1 else getattr(row, "name", None) or f"{whose} {place}"
            yield from numbers_in(row, (*path, str(place)), name)


def values_with(record: Record, path: Path, value: float) -> dict[str, Any]:
    """The value of the field at the start of a path in which the number at its end is another, as read from a file."""
    first, rest = path[0], path[1:]
    return {first: _replaced(getattr(record, first), rest, value)}


def _replaced(held: Any, path: Path, value: float) -> Any:
    if not path:
        return value
    if isinstance(held, tuple):
        place = int(path[0]) - 1
        return [_replaced(row, path[1:], value) if number == place else row for number, row in enumerate(held)]
    return {**_plain(held), path[0]: _replaced(getattr(held, path[0]), path[1:], value)}


def _plain(record: Record) -> dict[str, Any]:
    return {name: getattr(record, name) for name in type(record).model_fields}
