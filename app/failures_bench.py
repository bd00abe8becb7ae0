"""The bench on which failures are read: what each leads to, seen on the curves, the grade line and the plan."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QSplitter, QStackedWidget, QTabBar, QVBoxLayout, QWidget

from app import figures, words
from app.answer import Answer
from app.bench_page import BenchPage, RestsOn, dim, scrolling
from app.document import Document
from app.failing import words as case_words
from app.failing.alarm_view import AlarmView
from app.failing.before_after import BeforeAfter
from app.failing.case_list import CaseList
from app.failing.catalogue import Catalogue
from app.failing.own_case import OwnCase
from app.failing.progress_row import ProgressRow
from app.failing.rows import CaseRow, rows
from app.failing.views import CaseCurves, CaseGrade
from app.theme import STEP
from loopsim.studies import FailureOutcome, HeatPoint, reason
from loopsim.studies.sentence import Sentence, marked

__all__ = ["FailuresBench"]

_SENTENCE_LINES = 2
_HALVES_PX = [220, 330]


class FailuresBench(BenchPage):
    """The list of cases by verdict; below it what the chosen one does, alarm levels, and cases of one's own.

    Signals
    -------
    case_shown(FailureOutcome or None)
        The case that is to be seen on the plan.
    refused(str)
        Why something could not be done.
    """

    case_shown = Signal(object)
    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.catalogue = Catalogue(parent=self)
        self.cases = CaseList()
        self.progress = ProgressRow(self.catalogue)
        self.sentence = QLabel(wordWrap=True)
        self.sentence.setMinimumHeight(_SENTENCE_LINES * self.sentence.fontMetrics().lineSpacing())
        self.sentence.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.curves, self.grade = CaseCurves(), CaseGrade()
        self.table, self.alarms, self.own = BeforeAfter(), AlarmView(document), OwnCase(document)
        self.rests_on = RestsOn()
        self.views = QTabBar(expanding=False, drawBase=False)
        self.views.setAccessibleName("view of the failure")
        self.stack = QStackedWidget()
        self._answer: Answer | None = None
        self._ordered: tuple[tuple[tuple[FailureOutcome, ...], ...], tuple[CaseRow, ...]] | None = None
        self._told: tuple[FailureOutcome, HeatPoint | None, str] | None = None  # the case in view and its sentence
        self._lay_out()
        self._connect()

    @property
    def is_working(self) -> bool:
        return self.catalogue.is_working or self.catalogue.is_timing

    def let_go(self) -> None:
        """Work out nothing more: the window closes."""
        self.catalogue.close()

    def show_answer(self, answer: Answer) -> None:
        self._answer = answer
        self.catalogue.follow(answer, is_wanted=self.isVisible())
        self.curves.show_answer(answer, self.document.build)
        self.rests_on.show_doubts(words.failures_rest_on(answer), words.sources(answer))
        self._show()
        self.choose(self.document.selection)
        self._show_case()

    def choose(self, ids: frozenset[str]) -> None:
        """A case in which just the selected things fail comes into view."""
        self.catalogue.choose_items(ids)
        self.curves.choose(ids)
        self.grade.choose(ids)
        self.table.choose(ids)

    def show_view(self, name: str) -> None:
        """Bring a view up."""
        self.views.setCurrentIndex([self.views.tabText(n) for n in range(self.views.count())].index(name))

    def _lay_out(self) -> None:
        for name, page in (
            ("Curves", self.curves),
            ("Grade line", scrolling(self.grade, "Grade line")),
            ("Figures", self.table),
            ("Alarm levels", scrolling(self.alarms, "Alarm levels")),
            ("Your own", scrolling(self.own, "Your own")),
        ):
            self.views.addTab(name)
            self.stack.addWidget(page)
        self.halves = QSplitter(Qt.Orientation.Vertical, childrenCollapsible=False, handleWidth=1)
        self.halves.addWidget(_stacked(self.progress, self.cases))
        self.halves.addWidget(_stacked(self.sentence, self.views, self.stack))
        self.halves.setStretchFactor(0, 1)
        self.halves.setStretchFactor(1, 1)
        self.halves.setSizes(_HALVES_PX)
        self.column.addWidget(self.halves, 1)
        self.column.addWidget(self.rests_on)

    def _connect(self) -> None:
        document, catalogue = self.document, self.catalogue
        document.build_changed.connect(lambda _: catalogue.grow_old())
        document.layout_changed.connect(lambda _: catalogue.grow_old())
        catalogue.changed.connect(self._show)
        catalogue.chosen_changed.connect(self._show_case)
        catalogue.failed.connect(lambda error: self.refused.emit(f"The failures could not be worked out: {error}"))
        self.views.currentChanged.connect(self.stack.setCurrentIndex)
        self.cases.chosen.connect(self._on_chosen)
        self.own.refused.connect(self.refused)
        self.grade.chosen.connect(self.chosen)
        self.table.chosen.connect(self.chosen)
        self.rests_on.opened.connect(self.opened)

    def _on_chosen(self, outcome: FailureOutcome | None) -> None:
        """A row was chosen: its case comes into view, and what fails is selected everywhere."""
        self.catalogue.choose(outcome)
        self.chosen.emit(frozenset(outcome.failure.items) if outcome is not None else frozenset())

    def _show(self) -> None:
        found, answer = self.catalogue, self._answer
        if answer is None:
            return
        unsolved = self.say_unsolved(answer)
        if not unsolved:
            headline = case_words.headline(found) if found.base is not None else words.failures_headline(answer)
            is_old = found.is_old if found.base is not None else answer.stopped_is_old
            line = " ".join(each for each in (answer.heat_problem, words.stopped_at(answer)) if each)
            self.say(headline or "Being worked out", line, is_old)
        self.halves.setVisible(not unsolved)
        if found.base is not None:
            flow = figures.amount(found.base.point.loop_flow, "l_h")
            self.cases.show_rows(self._rows(), f"{flow}, 100 %", found.is_old)
        else:
            self.cases.show_rows((), "", old=False)
        if found.chosen is None and self.document.selection:
            found.choose_items(self.document.selection)  # it was selected before its case was worked out
        self.cases.choose(found.chosen)
        if found.chosen is None:
            self.sentence.setText(figures.unbroken(self._sentence(None)))
        dim(self.sentence, found.is_old)
        summary = found.summary
        self.alarms.show_alarms(summary.alarms if summary is not None else None, found.is_old)

    def _rows(self) -> tuple[CaseRow, ...]:
        """What was found, in order: the same rows for as long as nothing more is found."""
        found = self.catalogue.cases, self.catalogue.pairs
        if self._ordered is None or any(a is not b for a, b in zip(self._ordered[0], found, strict=True)):
            self._ordered = found, rows((*found[0], *found[1]))
        return self._ordered[1]

    def _show_case(self) -> None:
        found, answer = self.catalogue, self._answer
        case = found.in_view
        self.cases.choose(found.chosen)
        self.sentence.setText(figures.unbroken(self._sentence(found.chosen)))
        dim(self.sentence, found.is_old)
        self.curves.show_case(case)
        point = answer.point if answer is not None else None
        self.grade.show_point(point, None if case is None else case.point)
        self.table.show_case(found.base, found.chosen, found.is_old)
        self.case_shown.emit(case)

    def _sentence(self, case: FailureOutcome | None) -> str:
        """What a case leads to; of a single stopped pump also why."""
        if case is None:
            return case_words.in_order(self.catalogue)
        base = self.catalogue.base
        if self._told is None or self._told[0] is not case or self._told[1] is not base:  # solved once, not per move
            why = reason(base.point, case) if base is not None else None
            said = [case.sentence, *([why.sentence] if why is not None else [])]
            self._told = case, base, Sentence(" ".join(map(marked, said)))
        return self._told[2]


def _stacked(*widgets: QWidget) -> QWidget:
    """Widgets one below the other, the last of which takes the room that is left."""
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(STEP // 2)
    for widget in widgets:
        column.addWidget(widget)
    column.setStretchFactor(widgets[-1], 1)
    return holder
