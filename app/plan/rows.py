"""Parts of one kind in a row: where they are too close together for a name each, they are named once."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

from PySide6.QtCore import QRectF

__all__ = ["Row", "row_name", "rows"]

_NUMBERED = re.compile(r"(?P<stem>.*\S)\s+(?P<number>\d+)")
_FEWEST = 3  # parts that make a row
_GAP = 1.5  # of a part's size along the row, up to which the next one belongs to it

Row = tuple[str, ...]


def rows(names: Mapping[str, str], boxes: Mapping[str, QRectF]) -> list[Row]:
    """Ids of parts in rows, in order.

    Parameters
    ----------
    names, boxes : mapping of str
        By id: what the parts are called, and where they are [px].
    """
    return [tuple(row) for alike in _alike(names) for row in _broken(alike, boxes) if len(row) >= _FEWEST]


def row_name(names: Sequence[str]) -> str:
    """``Fan 1 to 5``, or ``Fan 1, 2, 4`` where numbers are left out."""
    stem = _stem(names[0])
    numbers = sorted(int(_NUMBERED.fullmatch(name)["number"]) for name in names)
    if numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{stem} {numbers[0]} to {numbers[-1]}"
    return f"{stem} {', '.join(map(str, numbers))}"


def _alike(names: Mapping[str, str]) -> Iterator[list[str]]:
    """Parts whose names differ by a number only."""
    stems: dict[str, list[str]] = defaultdict(list)
    for part_id, name in names.items():
        if stem := _stem(name):
            stems[stem].append(part_id)
    return (alike for alike in stems.values() if len(alike) > 1)


def _stem(name: str) -> str:
    match = _NUMBERED.fullmatch(name)
    return match["stem"] if match else ""


def _broken(alike: Iterable[str], boxes: Mapping[str, QRectF]) -> Iterator[list[str]]:
    """Parts of equal size in a straight line, cut where the gap is wide."""
    lines: dict[tuple[int, int, int, int], list[str]] = defaultdict(list)
    for part_id in alike:
        box, size = boxes[part_id], (round(boxes[part_id].width()), round(boxes[part_id].height()))
        lines[(0, round(box.center().y()), *size)].append(part_id)
        lines[(1, round(box.center().x()), *size)].append(part_id)
    for (axis, *_), line in lines.items():
        row: list[str] = []
        for part_id in sorted(line, key=lambda each: boxes[each].center().toTuple()[axis]):
            if row and not _is_next(boxes[row[-1]], boxes[part_id], axis):
                yield row
                row = []
            row.append(part_id)
        yield row


def _is_next(before: QRectF, box: QRectF, axis: int) -> bool:
    pitch = box.center().toTuple()[axis] - before.center().toTuple()[axis]
    return pitch <= (1.0 + _GAP) * before.size().toTuple()[axis]
