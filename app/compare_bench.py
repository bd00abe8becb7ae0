"""The bench on which layouts are compared: side by side in a table, overlaid in plots, varied and drawn at random."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QStackedWidget, QVBoxLayout, QWidget

from app import figures
from app.answer import Answer
from app.bench_page import BenchPage, scrolling
from app.compare import words
from app.compare.chooser import Chooser
from app.compare.comparing import Comparing
from app.compare.line_plot import LinePlot, NamedLine
from app.compare.order_view import OrderView
from app.compare.overlaid import OverlaidCurves
from app.compare.quiet_view import QuietView
from app.compare.sweep_view import SweepView
from app.compare.table import ComparedTable
from app.compare.trust_view import TrustView
from app.compare.view_rows import ViewRows
from app.document import Document
from app.theme import STEP, Type, font
from loopsim.studies import Comparison, GradeLine
from loopsim.studies.comparing.compare import LEAST

__all__ = ["CompareBench"]

_HOW_TO_BEGIN = (
    "Copy the layout above and change it, or add a file with another one. What can be asked of one layout alone stands "
    "beside What if."
)
_FIRST = "Flow and heat of the layout in view come first, then all of them side by side."
_VIEWS = {
    "Side by side": ("Table", "Curves", "Grade lines"),
    "What if": ("Sweep", "Quieter", "Order", "How sure"),
}


class CompareBench(BenchPage):
    """Which layout is better, and in what.

    Signals
    -------
    refused(str)
        Why something could not be done.
    """

    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.comparing = Comparing(document.build, parent=self)
        self.chooser = Chooser(self.comparing)
        self.table = ComparedTable()
        self.differing = QLabel(wordWrap=True)
        self.differing.setFont(font(Type.SMALL))
        self.curves = OverlaidCurves()
        self.grade = LinePlot("grade lines of the layouts")
        self.sweep, self.trust = SweepView(), TrustView()
        self.quiet, self.order = QuietView(document), OrderView(document)
        self.views = ViewRows(_VIEWS)
        self.stack = QStackedWidget()
        self._is_at_rest = False
        self._answer: Answer | None = None
        self._lay_out()
        self._connect()

    @property
    def is_working(self) -> bool:
        return self.comparing.is_working

    def let_go(self) -> None:
        """Work out nothing more: the window closes."""
        self.comparing.close()
        for view in (self.sweep, self.quiet, self.order, self.trust):
            view.close_work()

    def show_answer(self, answer: Answer) -> None:
        """Work out what is missing once flow and heat of the layout in view have come to rest; a drag has no time."""
        self._is_at_rest = not (answer.curves_are_old or answer.heat_is_old)
        self._answer = answer
        if not self._is_at_rest:
            self.table.grow_old()
            if self.comparing.comparison is None:
                self._say(None, [], False)
            return
        self.comparing.set_build(self.document.build)
        self._on_changed()

    def choose(self, ids: frozenset[str]) -> None:
        self.sweep.offer(self.comparing.chosen, ids)

    def show_view(self, name: str) -> None:
        """Bring a view up."""
        self.views.show_view(name)

    def _lay_out(self) -> None:
        for page in (
            _stacked(self.table, self.differing),
            self.curves,
            self.grade,
            self.sweep,
            scrolling(self.quiet, "Quieter"),
            self.order,
            scrolling(self.trust, "How sure"),
        ):
            self.stack.addWidget(page)
        self.stack.addWidget(QWidget())  # in view while there is nothing to be seen
        self.column.addWidget(self.chooser)
        self.column.addWidget(self.views)
        self.column.addWidget(self.stack, 1)

    def _connect(self) -> None:
        self.document.build_changed.connect(lambda _: self.comparing.let_go())
        self.views.chosen.connect(lambda _: self._show_view())
        self.chooser.differences_wanted.connect(self.table.show_differences)
        self.chooser.refused.connect(self.refused)
        self.sweep.refused.connect(self.refused)
        self.order.refused.connect(self.refused)
        self.quiet.refused.connect(self.refused)
        self.comparing.changed.connect(self._on_changed)
        self.comparing.failed.connect(lambda error: self.refused.emit(f"The comparison broke down: {error}"))

    def _on_changed(self) -> None:
        """Work out what is missing, and show what is there."""
        if self._is_at_rest and self.isVisible():
            self.comparing.ask()
        self._show()

    def _show(self) -> None:
        comparing = self.comparing
        found, looked = comparing.comparison, comparing.looked
        names = [each.subject.title for each in looked]
        old = bool(comparing.missing)
        self._say(found, names, old)
        self.table.show_comparison(found, names, old)
        self.differing.setText("\n".join(words.differing(found, names)) if found is not None else "")
        plots = [(name, each.plots[0]) for name, each in zip(names, looked, strict=True) if each.plots]
        self.curves.show_plots([name for name, _ in plots], [plot for _, plot in plots], old)
        lines = [_graded(name, each.lines[0]) for name, each in zip(names, looked, strict=True) if each.lines]
        along, up = (figures.heading(what, "m") for what in ("distance along the stream", "static head"))
        self.grade.show_lines(lines, along, up, old)
        self.sweep.offer(comparing.chosen, self.document.selection)
        self.trust.offer(comparing.chosen)

    def _say(self, found: Comparison | None, names: list[str], old: bool) -> None:
        if found is not None:
            self.say(*words.best_of(found, names), old)
        elif len(self.comparing.chosen) < LEAST:
            if self._answer is None or not self.say_unsolved(self._answer):
                self.say("Nothing to compare yet", _HOW_TO_BEGIN)
        else:
            self.say("Being worked out", _FIRST)
        self._show_view()

    def _show_view(self) -> None:
        """The view that is chosen; nothing yet in place of those that stand on a comparison, while there is none."""
        number = self.views.number
        waits = self.comparing.comparison is None and number < len(_VIEWS["Side by side"])
        self.stack.setCurrentIndex(self.stack.count() - 1 if waits else number)


def _graded(name: str, line: GradeLine) -> NamedLine:
    """A layout's grade line, in the builder's units."""
    return NamedLine(name, *(figures.all_in_own(each, "m") for each in (line.distance, line.piezometric_head)))


def _stacked(*widgets: QWidget) -> QWidget:
    holder = QWidget()
    column = QVBoxLayout(holder)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(STEP)
    for widget in widgets:
        column.addWidget(widget)
    column.setStretchFactor(widgets[0], 1)
    return holder
