"""The bench on which heat is read: temperatures against limits, where heat goes, and the air that takes it."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QStackedWidget, QTabBar, QWidget

from app.answer import Answer
from app.bench_page import BenchPage, scrolling
from app.chooser_row import chooser_row
from app.document import Document
from app.field_editors import QuietBox
from app.heat import heat_words
from app.heat.air_view import AirView
from app.heat.budget_view import BudgetView
from app.heat.temperature_view import TemperatureView
from app.heat.time_view import TimeView
from app.heat.view import HeatView

__all__ = ["HeatBench"]

_VIEWS: dict[str, type[HeatView]] = {
    "Temperatures": TemperatureView, "Heat budget": BudgetView, "Air": AirView, "In time": TimeView,
}  # fmt: skip


class HeatBench(BenchPage):
    """Does it stay cool, at the load case in view: in a sentence, in bars and curves, in figures.

    Signals
    -------
    case_chosen(str)
        Name of the load case that is to come into view everywhere.
    course_wanted(Scenario)
        What is to be followed in time.
    """

    case_chosen = Signal(str)
    course_wanted = Signal(object)

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.case = QuietBox(self)
        self.case.setAccessibleName("load case")
        self.case.setSizeAdjustPolicy(QuietBox.SizeAdjustPolicy.AdjustToContents)
        self.case_row = self._case_row()
        self.views = QTabBar(self, expanding=False, drawBase=False)
        self.views.setAccessibleName("view of the heat")
        self.stack = QStackedWidget(self)
        self.pages: dict[str, HeatView] = {}
        for name, view in _VIEWS.items():
            self._add_view(name, view())
        self.time = self.pages["In time"]
        self.time.course_wanted.connect(self.course_wanted)
        self.column.addWidget(self.case_row)
        self.column.addWidget(self.views)
        self.column.addWidget(self.stack, 1)
        self.views.currentChanged.connect(self.stack.setCurrentIndex)
        self.case.activated.connect(lambda number: self.case_chosen.emit(self.case.itemText(number)))

    def show_answer(self, answer: Answer) -> None:
        found = answer.in_view
        unsolved = self.say_unsolved(answer)
        if not unsolved and found is not None:
            self.say(heat_words.headline(found), heat_words.line(found.point), answer.heat_is_old)
        elif not unsolved:
            self.say("Heat is not solved yet" if answer.heat_problem else "Being worked out", answer.heat_problem)
        shown = not unsolved and found is not None
        self.views.setVisible(shown)
        self.stack.setVisible(shown)
        self._name_cases(answer if shown else None)
        for page in self.pages.values():
            page.show_answer(answer)
        self.choose(self.document.selection)

    def choose(self, ids: frozenset[str]) -> None:
        for page in self.pages.values():
            page.choose(ids)

    def show_view(self, name: str) -> None:
        """Bring a view up."""
        self.views.setCurrentIndex(list(_VIEWS).index(name))

    def _add_view(self, name: str, page: HeatView) -> None:
        self.pages[name] = page
        self.views.addTab(name)
        self.stack.addWidget(scrolling(page, name))
        page.chosen.connect(self.chosen)
        page.case_chosen.connect(self.case_chosen)

    def _case_row(self) -> QWidget:
        holder = QWidget(self)
        holder.setLayout(chooser_row("Load case", self.case))
        return holder

    def _name_cases(self, answer: Answer | None) -> None:
        """Offer every load case; no choice where there is but one."""
        names = [each.point.case.name for each in answer.heat] if answer is not None else []
        if [self.case.itemText(number) for number in range(self.case.count())] != names:
            self.case.clear()
            self.case.addItems(names)
        if answer is not None and answer.in_view is not None:
            self.case.setCurrentText(answer.in_view.point.case.name)
        self.case_row.setVisible(len(names) > 1)
