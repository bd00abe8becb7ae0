"""The bench at which filling is planned: where air stays, how to fill and drain, and the test for leaks."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QStackedWidget, QTabBar

from app.answer import Answer
from app.bench_page import BenchPage, scrolling
from app.document import Document
from app.fill import air_view, covers_view, drain_view, fill_view, leak_view, swell_view
from app.fill.air_view import AirView
from app.fill.air_watch import AirWatch
from app.fill.covers_view import CoversView
from app.fill.drain_view import DrainView
from app.fill.fill_view import FillView
from app.fill.leak_view import LeakView
from app.fill.marks import Marks
from app.fill.plans import Plans
from app.fill.swell_view import SwellView
from app.measures import measures
from loopsim.build.edits import Edit
from loopsim.studies.fill import leak_sheet, standing_pressure

__all__ = ["FillBench"]


_FIRST = {  # what is waited for
    "Air": "The flow comes first, then whether it carries the air of each high point off.",
    "Fill": "The air map comes first, then the steps, with volumes and times.",
    "Drain": "The fill plan comes first: what it leaves inside is what there is to drain.",
    "Swell": "Heat comes first: how warm the coolant gets at every load case.",
}
_VIEWS = ("Air", "Fill", "Drain", "Leak test", "Swell", "Covers")


class FillBench(BenchPage):
    """Six views; plan and strip show what the one in view speaks of.

    Signals
    -------
    marks_shown(Marks or None)
        What is to be seen on plan and strip.
    refused(str)
        Why something could not be done.
    """

    marks_shown = Signal(object)
    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.watch, self.plans = AirWatch(parent=self), Plans(parent=self)
        self.air = AirView(document, self.watch, self.plans)
        self.fill = FillView(document, self.plans)
        self.drain = DrainView(document, self.plans)
        self.leak, self.swell, self.covers = LeakView(document), SwellView(), CoversView(document)
        self.views = QTabBar(expanding=False, drawBase=False)
        self.views.setAccessibleName("view of filling")
        self.stack = QStackedWidget()
        self._answer: Answer | None = None
        self._system = measures.system
        self.line.setMinimumHeight(2 * self.line.fontMetrics().lineSpacing())
        self.line.setAlignment(Qt.AlignmentFlag.AlignTop)
        pages = (self.air, self.fill, self.drain, self.leak, self.swell, self.covers)
        for name, view in zip(_VIEWS, pages, strict=True):
            self.views.addTab(name)
            self.stack.addWidget(scrolling(view, name))
        self.column.addWidget(self.views)
        self.column.addWidget(self.stack, 1)
        self._connect()

    def show_answer(self, answer: Answer) -> None:
        self._answer = answer
        self.air.show_answer(answer)
        self.watch.follow(answer)
        self.plans.follow(answer)
        if self._system is not measures.system:  # what was worked out stays, in other units
            self._system = measures.system
            self.air.refresh()
            self.drain.refresh()
        self._follow_heat(answer)
        self._show_words()

    def choose(self, ids: frozenset[str]) -> None:
        for view in (self.air, self.drain, self.swell, self.covers):
            view.choose(ids)

    def _follow_heat(self, answer: Answer) -> None:
        """Swell and covers, while one of them is up."""
        if self.view in ("Swell", "Covers"):
            self.swell.show_answer(answer)
            self.covers.stand_at(standing_pressure(self.swell.found))

    def let_go(self) -> None:
        """Work out nothing more: the window closes."""
        for each in (self.watch, self.plans):
            each.close()
        for view in (self.air, self.fill, self.drain):
            view.close_down()

    def show_view(self, name: str) -> None:
        """Bring a view up."""
        self.views.setCurrentIndex(_VIEWS.index(name))

    @property
    def view(self) -> str:
        """Name of the view that is up."""
        return self.views.tabText(self.views.currentIndex())

    @property
    def marks(self) -> Marks | None:
        """What the view that is up speaks of."""
        if self.view == "Air" and self.watch.found is not None:
            return Marks(air=self.watch.found, is_old=self.watch.is_old)
        if self.view == "Fill" and self.fill.moment is not None:
            return Marks(moment=self.fill.moment)
        if self.view == "Drain" and self.plans.drained is not None:
            return Marks(drain=self.plans.drained.drain, is_old=self.plans.is_old)
        return None

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._show_marks()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self.marks_shown.emit(None)

    def _connect(self) -> None:
        self.watch.changed.connect(self._on_air)
        self.plans.changed.connect(self._on_plans)
        self.fill.moment_changed.connect(self._show_marks)
        self.views.currentChanged.connect(self._on_view)
        self.document.build_changed.connect(self._on_build)
        for view in (self.air, self.fill, self.drain):
            view.chosen.connect(self.chosen)
            view.edit_wanted.connect(self._on_edit)
            view.failed.connect(self._on_failed)
        self.leak.edit_wanted.connect(self._on_edit)
        self.swell.chosen.connect(self.chosen)
        self.covers.opened.connect(self.opened)
        for each in (self.watch, self.plans):
            each.failed.connect(self._on_failed)

    def _on_air(self) -> None:
        self.air.refresh()
        self._show_words()
        self._show_marks()

    def _on_plans(self) -> None:
        self.fill.refresh()
        self.drain.refresh()
        self._show_words()
        self._show_marks()

    def _on_view(self, number: int) -> None:
        self.stack.setCurrentIndex(number)
        if self._answer is not None:
            self._follow_heat(self._answer)
        self._show_words()
        self._show_marks()

    def _on_build(self, _: object) -> None:
        if self.isVisible():
            self.fill.steps.show_done(self.document.layout.filled_steps)
            self.drain.steps.show_done(self.document.layout.drained_steps)
            self._show_words()
            self._show_marks()

    def _on_edit(self, edit: Edit) -> None:
        self.document.attempt(lambda: edit, self.refused.emit)

    def _on_failed(self, error: Exception) -> None:
        self.refused.emit(f"Filling could not be worked out: {error}")

    def _show_marks(self) -> None:
        if self.isVisible():
            self.marks_shown.emit(self.marks)

    def _show_words(self) -> None:
        """The answer of the view that is up, as a sentence."""
        answer = self._answer
        if answer is None:
            return
        unsolved = self.say_unsolved(answer)
        self.views.setVisible(not unsolved)
        self.stack.setVisible(not unsolved)
        if not unsolved:
            self.say(*self._said())

    def _said(self) -> tuple[str, str, bool]:
        found, filled, drained = self.watch.found, self.plans.filled, self.plans.drained
        if self.view == "Air" and found is not None:
            return air_view.headline(found), air_view.line(found), self.watch.is_old
        if self.view == "Fill" and filled is not None:
            return fill_view.headline(filled.plan), fill_view.line(filled.plan), self.plans.is_old
        if self.view == "Drain" and drained is not None:
            return drain_view.headline(drained), drain_view.line(drained), self.plans.is_old
        if self.view == "Leak test":
            sheet = leak_sheet(self.document.build, self.document.layout.name)
            return leak_view.headline(sheet), leak_view.line(sheet), False
        if self.view == "Swell" and self.swell.found:
            return swell_view.headline(self.swell.found), swell_view.line(self.swell.found), self.swell.is_old
        if self.view == "Covers":
            return covers_view.headline(self.covers.found), covers_view.line(self.covers.found), False
        problem = {"Fill": self.plans.problem("fill"), "Drain": self.plans.problem("drain")}.get(self.view, "")
        verb = {"Fill": "It cannot be filled yet", "Drain": "It cannot be drained yet"}.get(self.view, "")
        if problem:
            return verb, f"{problem[:1].upper()}{problem[1:]}.", False
        return "Being worked out", _FIRST.get(self.view, ""), False
