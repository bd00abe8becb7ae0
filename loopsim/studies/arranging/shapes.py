"""In which order, and what beside what: every way to join some things in series and in parallel."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations

__all__ = ["MOST_BRANCHES", "Row", "Shape", "Split", "shapes", "things_in"]

MOST_BRANCHES = 3  # beside each other; each more than one costs two tees
_ALL_UP_TO = 5  # things that are nested in every way; of more, only single ones stand beside each other


@dataclass(frozen=True, slots=True)
class Row:
    """One after the other, along the flow; none of them a row itself."""

    steps: tuple["Shape", ...]


@dataclass(frozen=True, slots=True)
class Split:
    """Beside each other, each carrying a share of the flow; none of them a split itself."""

    branches: tuple["Shape", ...]


Shape = int | Row | Split


def shapes(count: int) -> Iterator[Shape]:
    """Every way to join `count` things, known by their numbers, between two ends.

    Two ways are the same if nothing but the branches of a split has changed places. Up to five things splits are nested
    in every way, with three branches at most; of more than five, only single things stand beside each other.

    References
    ----------
    Without a limit of branches they are the labelled series-parallel networks, whose numbers are 1, 3, 19, 195, 2791,
    ... (The On-Line Encyclopedia of Integer Sequences, A048172, from memory). Checked in
    tests/studies/arranging/test_shapes.py.
    """
    return _all(tuple(range(count)), count <= _ALL_UP_TO)


def things_in(shape: Shape) -> tuple[int, ...]:
    """The numbers in a shape, in the order in which they stand in it."""
    if isinstance(shape, int):
        return (shape,)
    return tuple(each for part in _parts(shape) for each in things_in(part))


def _parts(shape: Row | Split) -> tuple[Shape, ...]:
    return shape.steps if isinstance(shape, Row) else shape.branches


def _all(things: tuple[int, ...], nested: bool) -> Iterator[Shape]:
    """All shapes of some things: those that are no row, then rows."""
    yield from _no_rows(things, nested)
    yield from _rows(things, nested)


def _rows(things: tuple[int, ...], nested: bool) -> Iterator[Row]:
    """All rows of some things, by what they begin with."""
    for first in _subsets(things):
        rest = tuple(each for each in things if each not in first)
        for begin in _no_rows(first, nested) if rest else ():
            for after in _all(rest, nested):
                yield Row((begin, *(after.steps if isinstance(after, Row) else (after,))))


@cache
def _no_rows(things: tuple[int, ...], nested: bool) -> tuple[Shape, ...]:
    """A single thing, or all splits of some."""
    if len(things) == 1:
        return things
    shared = (each for each in _shared_out(things, nested, MOST_BRANCHES) if len(each) > 1)
    return tuple(Split(branches) for branches in shared)


def _shared_out(things: tuple[int, ...], nested: bool, most: int) -> Iterator[tuple[Shape, ...]]:
    """Some things shared out to at most so many branches, the branch with the first of them first."""
    for own in _subsets(things):
        rest = tuple(each for each in things if each not in own)
        if own[0] != things[0] or (rest and most == 1):
            continue
        for branch in _branches(own, nested):
            yield from ((branch, *others) for others in (_shared_out(rest, nested, most - 1) if rest else [()]))


def _branches(things: tuple[int, ...], nested: bool) -> Iterator[Shape]:
    """What can stand in one branch: a single thing, or a row."""
    if len(things) == 1:
        yield things[0]
    elif nested:
        yield from _rows(things, nested)


def _subsets(things: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    return (some for size in range(1, len(things) + 1) for some in combinations(things, size))
