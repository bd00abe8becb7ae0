"""The benches beside the plan, named by the job, in the order in which a builder works."""

from importlib import import_module

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QStackedWidget, QTabBar, QVBoxLayout, QWidget

from app.answer import Answer
from app.bench_page import BenchPage, scrolling
from app.document import Document
from app.scroll_page import ScrollPage
from app.solving import Scenario
from app.theme import STEP

__all__ = ["Bench"]

_PAGES = {
    "Draw": "draw_bench.DrawBench", "Flow": "flow_bench.FlowBench", "Heat": "heat_bench.HeatBench",
    "Failures": "failures_bench.FailuresBench", "Fill": "fill_bench.FillBench",
    "Compare": "compare_bench.CompareBench", "Log": "log_bench.LogBench",
}  # fmt: skip

_PASSED_ON = {  # signals that some pages have, and what they are called here
    "export_wanted": "export_wanted", "case_chosen": "case_chosen", "course_wanted": "course_wanted",
    "case_shown": "failure_shown", "marks_shown": "marks_shown", "refused": "refused",
    "finding_shown": "finding_shown", "finding_mended": "finding_mended",
}  # fmt: skip


class Bench(QWidget):
    """One bench in view: loaded and made when it is first looked at. Only the one in view follows every answer."""

    export_wanted = Signal(str)
    case_chosen = Signal(str)  # a load case that is to come into view
    course_wanted = Signal(object)  # a scenario that is to be followed in time
    failure_shown = Signal(object)  # a failure to be seen on the plan; None
    marks_shown = Signal(object)  # what filling is to be seen by on plan and strip; None
    refused = Signal(str)
    finding_shown = Signal(object)  # what is to be seen on the plan
    finding_mended = Signal(object)  # whose remedy is to be carried out
    shown = Signal(str)  # name of the bench that came into view

    def __init__(self, document: Document, first: str = "Failures") -> None:
        super().__init__(objectName="bench")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.document = document
        self.answer: Answer | None = None
        self._pages: dict[str, BenchPage] = {}
        self._places: dict[str, ScrollPage] = {}  # of the pages in the stack
        self.tabs = QTabBar(self, expanding=False, drawBase=False, usesScrollButtons=False)
        self.tabs.setAccessibleName("bench")
        for name in _PAGES:
            self.tabs.addTab(name)
        self.stack = QStackedWidget(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * STEP, STEP, 2 * STEP, STEP)
        column.setSpacing(STEP)
        column.addWidget(self.tabs)
        column.addWidget(self.stack, 1)
        self.tabs.currentChanged.connect(self._on_tab)
        document.selection_changed.connect(self._on_selection)
        self.show_bench(first)
        self._on_tab()

    @property
    def page(self) -> BenchPage:
        """The bench in view."""
        return self.named(self.name)

    @property
    def name(self) -> str:
        """Name of the bench in view."""
        return self.tabs.tabText(self.tabs.currentIndex())

    def named(self, name: str) -> BenchPage:
        """A bench by name, made if it is not there yet."""
        if name not in self._pages:
            page = _page_class(name)(self.document)
            page.chosen.connect(self.document.select)
            page.opened.connect(self.open_part)
            for theirs, ours in _PASSED_ON.items():
                if hasattr(page, theirs):
                    getattr(page, theirs).connect(getattr(self, ours))
            self._pages[name], self._places[name] = page, scrolling(page, name)
            self.stack.addWidget(self._places[name])
        return self._pages[name]

    def show_bench(self, name: str) -> None:
        """Bring a bench into view."""
        self.tabs.setCurrentIndex(list(_PAGES).index(name))

    def show_answer(self, answer: Answer) -> None:
        """Show an answer on the bench in view."""
        self.answer = answer
        self.page.show_answer(answer)

    def show_course(self, scenario: Scenario, result: object) -> None:
        """Show a course in time where it was asked for."""
        self.named("Heat").time.show_course(scenario, result)

    def let_go(self) -> None:
        """Work out nothing more: the window closes."""
        for page in self._pages.values():
            page.let_go()

    def open_part(self, part_id: str) -> None:
        """Select a part and bring up its sheet."""
        self.document.select({part_id})
        self.show_bench("Draw")
        self.page.sheet.focus_first()

    def _on_tab(self, _: int = 0) -> None:
        page = self.page
        self.stack.setCurrentWidget(self._places[self.name])
        if self.name != "Failures":
            self.failure_shown.emit(None)
        if self.answer is not None:
            page.show_answer(self.answer)
        self.shown.emit(self.name)

    def _on_selection(self, ids: frozenset[str]) -> None:
        self.page.choose(ids)


def _page_class(name: str) -> type[BenchPage]:
    module, kind = _PAGES[name].split(".")
    return getattr(import_module(f"app.{module}"), kind)
