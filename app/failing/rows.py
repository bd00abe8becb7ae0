"""The cases in the order in which they matter, with those that lead to just the same told once."""

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import NamedTuple

from app.failing import words
from loopsim.build import Build
from loopsim.parts import Fan, Filter, Part, Pump, Supply, Valve
from loopsim.studies import FailureOutcome
from loopsim.studies.failing.results import Verdict
from loopsim.studies.sentence import Sentence, marked

__all__ = ["CaseRow", "rows"]

_ORDER: tuple[Verdict, ...] = ("shut down", "holds with less load", "dark", "holds")
_NOUNS: tuple[tuple[type[Part], str], ...] = (
    (Pump, "pumps"), (Fan, "fans"), (Filter, "filters"), (Valve, "valves"), (Supply, "supplies"),
)  # fmt: skip
_LISTED = 2  # so many are named one by one


class CaseRow(NamedTuple):
    """One line: failures of one sort whose verdict and figures are the same."""

    outcomes: tuple[FailureOutcome, ...]
    title: str

    @property
    def verdict(self) -> Verdict:
        """That of all of them."""
        return self.outcomes[0].verdict


def rows(outcomes: Iterable[FailureOutcome]) -> tuple[CaseRow, ...]:
    """The worst verdict first; within it, as the catalogue has them."""
    by_verdict = sorted(outcomes, key=lambda each: _ORDER.index(each.verdict))
    groups = (tuple(group) for _, group in groupby(by_verdict, key=_sort))
    return tuple(row for group in groups for row in _alike(group))


def _sort(outcome: FailureOutcome) -> tuple[str, ...]:
    """Verdict and what happens; pairs and own cases stand by themselves."""
    failure = outcome.failure
    alone = failure.own or len(failure.events) > 1
    return outcome.verdict, failure.title if alone else failure.events[0].what


def _alike(group: Sequence[FailureOutcome]) -> Iterable[CaseRow]:
    found: dict[tuple[object, ...], list[FailureOutcome]] = {}
    for outcome in group:
        key = words.verdict(outcome), words.figures_of(outcome), _kind(outcome)
        found.setdefault(key, []).append(outcome)
    return (CaseRow(tuple(alike), _title(alike)) for alike in found.values())


def _kind(outcome: FailureOutcome) -> str:
    """What the failing things are called together."""
    build, items = outcome.point.build, outcome.failure.items
    if len(items) != 1:
        return ""
    part = build.parts_by_id.get(items[0])
    return "tubes" if part is None else next((noun for kind, noun in _NOUNS if isinstance(part, kind)), part.title)


def _title(alike: Sequence[FailureOutcome]) -> str:
    first = alike[0].failure
    if len(alike) == 1:
        return Sentence(f"{marked(first.title)[:1].upper()}{marked(first.title)[1:]}")
    what = first.events[0].what
    if len(alike) <= _LISTED:
        names = [_name(each.point.build, each) for each in alike]
        return f"{' or '.join(names)} {what}"
    return f"Any one of {len(alike)} {_kind(alike[0])} {what}"


def _name(build: Build, outcome: FailureOutcome) -> str:
    (item,) = outcome.failure.items
    layout = outcome.point.layout
    return build.part(item).name if item in build.parts_by_id else build.run_name(layout.run(item))
