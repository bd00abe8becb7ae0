"""The bench on which the flow is read: operating point, pressure budget, and the grade line round the loop."""

from PySide6.QtWidgets import QStackedWidget, QTabBar, QVBoxLayout, QWidget

from app import words
from app.answer import Answer
from app.bench_page import BenchPage, RestsOn, scrolling
from app.budget_chart import BudgetChart
from app.curve_panel import CurvePanel
from app.document import Document
from app.grade_panel import GradePanel
from app.theme import STEP
from loopsim.studies import budgets

__all__ = ["FlowBench"]


class FlowBench(BenchPage):
    """What flows, what eats the head, and how the head runs along the loop, in two views."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.curves = CurvePanel(shows_stopped=False)
        self.table = BudgetChart()
        self.grade = GradePanel()
        self.rests_on = RestsOn()
        self.views = QTabBar(self, expanding=False, drawBase=False)
        self.views.setAccessibleName("view of the flow")
        self.stack = QStackedWidget(self)
        for name, page in (
            ("Curves and budget", self._curves_and_budget()),
            ("Grade line", scrolling(self.grade, "Grade line")),
        ):
            self.views.addTab(name)
            self.stack.addWidget(page)
        self.column.addWidget(self.views)
        self.column.addWidget(self.stack, 1)
        self.column.addWidget(self.rests_on)
        self.views.currentChanged.connect(self.stack.setCurrentIndex)
        self.table.chosen.connect(self.chosen)
        self.grade.chosen.connect(self.chosen)
        self.rests_on.opened.connect(self.opened)

    def _curves_and_budget(self) -> QWidget:
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP)
        column.addWidget(self.curves, 3)
        column.addWidget(self.table, 4)
        return page

    def show_answer(self, answer: Answer) -> None:
        unsolved = self.say_unsolved(answer)
        if not unsolved:
            self.say(words.flow_headline(answer), words.flow_line(answer))
        self.views.setVisible(not unsolved)
        self.stack.setVisible(not unsolved)
        self.curves.show_answer(answer, self.document.build)
        found = budgets(answer.point) if answer.point is not None else ()
        self.table.show_budgets(found)
        self.table.setVisible(bool(found))
        self.grade.show_point(answer.point)
        self.rests_on.show_doubts(words.rests_on(answer), words.sources(answer))
        self.choose(self.document.selection)

    def choose(self, ids: frozenset[str]) -> None:
        self.table.choose(ids)
        self.curves.choose(ids)
        self.grade.choose(ids)
