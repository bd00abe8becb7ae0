"""The comparison in words, and its numbers as they are written."""

from collections import Counter
from collections.abc import Sequence

from app import figures
from app.measures import measures
from loopsim.studies import ComparedRow, Comparison
from loopsim.units import from_si

__all__ = ["BEST", "best_of", "cell", "difference", "differing", "heading"]

BEST = "◆"

_SHORT = {
    "flow with a pump stopped": "flow, a pump stopped",
    "failures that it survives": "failures survived",
    "margin of the warmest": "margin",
    "coolant above the room": "coolant rise",
    "lowest at a pump's inlet, absolute": "suction, absolute",
    "power of the pumps": "pump power",
    "power from the mains": "mains power",
}


def best_of(comparison: Comparison, names: Sequence[str]) -> tuple[str, str]:
    """Which layout is best most often, and how often the others are."""
    counts = Counter(number for row in comparison.rows for number in row.best)
    ranked = sorted(counts, key=lambda number: -counts[number])
    if not ranked:
        return "All are as good", ""
    first = f"{names[ranked[0]]} is best in {counts[ranked[0]]} of {len(comparison.rows)}"
    others = [f"{names[number]} in {counts[number]}" for number in ranked[1:]]
    return f"{first[:1].upper()}{first[1:]}", f"Then {', '.join(others)}." if others else ""


def differing(comparison: Comparison, names: Sequence[str]) -> list[str]:
    """What the sign means, and what differs in each drawing from the base's, a sentence for each layout."""
    told = zip(names, comparison.drawing, strict=True)
    others = [(name, words) for number, (name, words) in enumerate(told) if number != comparison.base]
    return [f"{BEST} is the best of its row.", *_drawings(others)]


def _drawings(others: Sequence[tuple[str, Sequence[str]]]) -> list[str]:
    return [f"{name}: {', '.join(map(figures.told, words)) or 'the same drawing'}." for name, words in others]


def heading(row: ComparedRow) -> str:
    """The heading of a row in few words."""
    for label, short in _SHORT.items():
        if row.label.startswith(label):
            return figures.heading(row.label.replace(label, short, 1), row.unit)
    return figures.heading(row.label, row.unit)


def cell(row: ComparedRow, number: int) -> str:
    """A value, with a sign where it is the best of its row."""
    value = row.values[number]
    if value is None:
        return figures.NONE
    return f"{BEST} {_written(value, row)}" if number in row.best else _written(value, row)


def difference(row: ComparedRow, number: int, base: int) -> str:
    """How far a value is from the base's, with its sign; the base's own value."""
    if number == base:
        return cell(row, number)
    away = row.against(base)[number]
    if away is None:
        return figures.NONE
    text = _written(away, row)
    signed = f"+{text}" if away > 0 and any(digit in text for digit in "123456789") else text
    return f"{BEST} {signed}" if number in row.best else signed


def _written(value: float, row: ComparedRow) -> str:
    if not measures.is_own(row.unit):
        return figures.number(value, row.unit)
    text = f"{from_si(value, row.unit) if row.unit else value:.{row.decimals(value)}f}"
    return text.removeprefix("-") if float(text) == 0 else text.replace("-", "−")
