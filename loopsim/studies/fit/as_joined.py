"""What follows from parts and from what joins them, wherever they stand: the same all through a drag."""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from loopsim.build import Build, Layout
from loopsim.studies.results import Finding

__all__ = ["as_joined"]

Check = Callable[[Build, Layout], Iterable[Finding]]


class _Known(NamedTuple):
    """Findings of the layout that was looked at last, by check."""

    key: tuple[object, ...]
    found: dict[Check, tuple[Finding, ...]]


_known = _Known((), {})


def as_joined(build: Build, layout: Layout, check: Check) -> tuple[Finding, ...]:
    """What a check finds, which looks at parts, tubes and joins only; kept until one of them is another."""
    global _known
    joins = tuple((run.id, run.start, run.end, run.tube) for run in layout.runs)
    key = (build.parts, build.tubes, tuple(layout.placements), joins)
    known = _known  # a worker may put another there meanwhile
    if known.key != key:
        known = _known = _Known(key, {})
    if check not in known.found:
        known.found[check] = tuple(check(build, layout))
    return known.found[check]
