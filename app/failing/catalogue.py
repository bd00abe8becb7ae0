"""The failure catalogue of the layout in view: worked out case by case while nothing changes, and the case in view."""

from collections.abc import Callable, Iterator
from time import monotonic
from typing import Any, NamedTuple

from PySide6.QtCore import QObject, Signal

from app.answer import Answer
from app.stepwise import Stepwise
from loopsim.studies import (
    Alarms,
    Failure,
    FailureOutcome,
    FailureOutcomes,
    HeatPoint,
    catalogue,
    each_outcome,
    pairs_of,
    timed_outcome,
)
from loopsim.studies.failing.alarms import proposed_alarms
from loopsim.studies.failing.results import MUST_ACT

__all__ = ["PACE_S", "Catalogue", "Courses", "Question", "outcomes", "times"]

PACE_S = 0.25  # between two looks at what has come


class Question(NamedTuple):
    """The healthy machine at a load case, and what is to fail."""

    base: HeatPoint
    failures: tuple[Failure, ...]
    are_pairs: bool = False


class Courses(NamedTuple):
    """The healthy machine, and the cases whose time to the first limit is to be followed."""

    base: HeatPoint
    cases: tuple[FailureOutcome, ...]


def outcomes(question: Question) -> Iterator[FailureOutcome]:
    """The study that answers."""
    return each_outcome(question.base, question.failures)


def times(courses: Courses) -> Iterator[FailureOutcome]:
    """The study that follows the courses once all verdicts are there: each takes as long as several of them."""
    return (timed_outcome(courses.base, case) for case in courses.cases)


class Catalogue(QObject):
    """What can fail, and what it leads to.

    It begins anew when heat has come to rest at another build, layout or load case, and lets go as soon as anything
    changes, so that a drag has the machine to itself. What was found before stays until all is found anew, as old.
    Verdicts come first; then the time to the first limit is followed where one is passed.

    Signals
    -------
    advanced()
        One more case is worked out.
    changed()
        Cases are to be shown, grew old, or are gone.
    chosen_changed()
        Another case is in view, or none.
    failed(Exception)
        It could not be worked out.
    """

    advanced = Signal()
    changed = Signal()
    chosen_changed = Signal()
    failed = Signal(object)

    def __init__(
        self, study: Callable[[Any], Iterator[FailureOutcome]] = outcomes, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.base: HeatPoint | None = None
        self.cases: tuple[FailureOutcome, ...] = ()
        self.pairs: tuple[FailureOutcome, ...] = ()
        self.chosen: FailureOutcome | None = None
        self.is_old = False
        self.is_complete = False
        self.is_timed = False
        self._timed = 0
        self._coming: list[FailureOutcome] = []
        self._question: Question | None = None
        self._begun: HeatPoint | None = None
        self._shown_at = 0.0
        self._work = Stepwise(study, self)
        self._work.came.connect(self._on_came)
        self._work.ended.connect(self._on_ended)
        self._times = Stepwise(times, self)
        self._times.came.connect(self._on_timed)
        self._times.ended.connect(self._on_times_ended)

    def close(self) -> None:
        """Work out nothing more."""
        self._work.close()
        self._times.close()

    @property
    def is_working(self) -> bool:
        """True while cases are being worked out."""
        return self._work.is_working

    @property
    def is_timing(self) -> bool:
        """True while times to the first limit are being followed."""
        return self._times.is_working

    @property
    def times_followed(self) -> tuple[int, int]:
        """How many times have been followed, and how many there are to follow."""
        return self._timed, len(self._without_end())

    @property
    def progress(self) -> tuple[int, int]:
        """How many of the cases under way are worked out, and how many there are."""
        return len(self._coming), len(self._question.failures) if self._question is not None else 0

    @property
    def in_view(self) -> FailureOutcome | None:
        """The chosen case, while it speaks of the machine as it is."""
        return None if self.is_old else self.chosen

    @property
    def summary(self) -> FailureOutcomes | None:
        """All single failures with the alarm levels that follow from them; None before they are complete."""
        if self.base is None or not self.is_complete:
            return None
        return FailureOutcomes(self.base, self.cases, self.alarms)

    @property
    def alarms(self) -> Alarms:
        """Levels proposed from the cases found."""
        return proposed_alarms(self.base, self.cases)

    def possible_pairs(self) -> tuple[Failure, ...]:
        """Every two of the single failures that can happen at once."""
        return pairs_of(each.failure for each in self.cases)

    def follow(self, answer: Answer, is_wanted: bool) -> None:
        """Follow an answer; begin with the machine as it is now where that `is_wanted`."""
        found = answer.in_view.point if answer.in_view is not None and answer.point is not None else None
        if found is None:
            self._drop()
        elif answer.heat_is_old or found is not self._begun:
            self.grow_old()
            if is_wanted and not answer.heat_is_old:
                self._begin(found)

    def grow_old(self) -> None:
        """Something has changed: let go, and keep what was found as old."""
        was = self.is_working, self.is_timing, self.is_old
        self._let_go()
        self._begun = None
        self.is_old = bool(self.cases)
        if (self.is_working, self.is_timing, self.is_old) != was:  # once in a drag, not with every move
            self.changed.emit()
            self.chosen_changed.emit()

    def stop(self) -> None:
        """Let go of what is under way; what has come stays."""
        was_working = self.is_working
        self._let_go()
        if was_working:
            self._keep_what_came()
        self.changed.emit()

    def again(self) -> None:
        """Begin once more, after a stop; where only times are missing, with them."""
        if self.is_complete and not self.is_old:
            self._follow_times()
        elif self._begun is not None:
            self._begin(self._begun)

    def add_pairs(self) -> None:
        """Also every two single failures at once."""
        if self.is_complete and not self.is_old:
            self._ask(Question(self.base, self.possible_pairs(), are_pairs=True))

    def choose(self, outcome: FailureOutcome | None) -> None:
        """Bring a case into view, or none."""
        if outcome is not self.chosen:
            self.chosen = outcome
            self.chosen_changed.emit()

    def choose_items(self, ids: frozenset[str]) -> None:
        """Bring the case into view in which just these things fail; none where nothing is selected."""
        if self.chosen is not None and frozenset(self.chosen.failure.items) == ids:
            return
        alike = (each for each in (*self.cases, *self.pairs) if frozenset(each.failure.items) == ids)
        found = next(alike, None) if ids else None
        if found is not None or not ids:
            self.choose(found)

    def _begin(self, base: HeatPoint) -> None:
        self._begun = base
        point = base.point
        self._ask(Question(base, catalogue(point.build, point.layout.name)))

    def _ask(self, question: Question) -> None:
        self._question, self._coming = question, []
        self._let_go()
        self._work.start(question)
        self.changed.emit()

    def _on_came(self, question: Question, outcome: FailureOutcome) -> None:
        """Show what comes at a steady pace: to draw every case takes as long as to work it out."""
        self._coming.append(outcome)
        self.advanced.emit()
        if (question.are_pairs or not self.is_old) and monotonic() - self._shown_at > PACE_S:
            self._shown_at = monotonic()
            self._keep_what_came()
            self.changed.emit()

    def _on_ended(self, question: Question, error: Exception | None) -> None:
        self._keep_what_came()
        if not question.are_pairs:
            self.is_complete = error is None
        if self.is_complete and not self.is_timed:
            self._follow_times()
        self.changed.emit()
        if error is not None:
            self.failed.emit(error)

    def _without_end(self) -> tuple[FailureOutcome, ...]:
        """Cases in which a limit is passed unless somebody acts."""
        return tuple(each for each in self.cases if each.verdict in MUST_ACT)

    def _follow_times(self) -> None:
        self._timed = 0
        self._times.start(Courses(self.base, self._without_end()))
        self.changed.emit()

    def _on_timed(self, _: Courses, outcome: FailureOutcome) -> None:
        """Put a case with its time in the place of the same without."""
        self._timed += 1
        self.cases = tuple(outcome if each.failure == outcome.failure else each for each in self.cases)
        if self.chosen is not None and self.chosen.failure == outcome.failure:
            self.choose(outcome)
        if monotonic() - self._shown_at > PACE_S:
            self._shown_at = monotonic()
            self.changed.emit()
        else:
            self.advanced.emit()

    def _on_times_ended(self, _: Courses, error: Exception | None) -> None:
        self.is_timed = error is None
        self.changed.emit()
        if error is not None:
            self.failed.emit(error)

    def _let_go(self) -> None:
        self._work.stop()
        self._times.stop()

    def _keep_what_came(self) -> None:
        """Show what was found in place of what is old; the case in view stays, by its title."""
        if self._question is None:
            return
        if self._question.are_pairs:
            self.pairs = tuple(self._coming)
            return
        self.base, self.cases, self.is_old = self._question.base, tuple(self._coming), False
        self.pairs, self.is_complete, self.is_timed = (), False, False
        title = self.chosen.failure.title if self.chosen is not None else ""
        same = next((each for each in self.cases if each.failure.title == title), None)
        if same is not None or not self._work.is_working:
            self.choose(same)

    def _drop(self) -> None:
        was_empty = self.base is None and not self.is_working
        self._let_go()
        self._begun = self._question = self.base = None
        self._coming, self.cases, self.pairs, self.is_old, self.is_complete = [], (), (), False, False
        self.choose(None)
        if not was_empty:
            self.changed.emit()
