"""The grade line with what it says: the circuit in view, the plot, and the figures at every port."""

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app import figures
from app.answer_table import AnswerTable, Row
from app.grade_plot import GradePlot
from app.picker import Picker
from app.theme import STEP, Type, font
from loopsim.studies import GradeLine, GradePoint, OperatingPoint, grade_line
from loopsim.studies.grade_line import head_along

__all__ = ["GradePanel"]

_TABLE_PX, _WORDS_PX = 120, 280
_HEADINGS = ("at", "distance\n{m}", "height\n{mm}", "head\n{m}", "gauge\n{kpa}", "absolute\n{kpa}")


class GradePanel(QWidget):
    """Follows answer and selection: a selected part on another branch leads the line through it.

    Out of sight it waits until it is looked at again: a drag has no time for it.
    """

    chosen = Signal(object)  # frozenset of ids

    def __init__(self, has_table: bool = True) -> None:
        super().__init__()
        self.has_table = has_table
        self.lines: tuple[GradeLine, ...] = ()
        self._struck: OperatingPoint | None = None
        self._point: OperatingPoint | None = None
        self._ids: frozenset[str] = frozenset()
        self._is_stale = False
        self.picker = Picker("circuit", self)
        self.way = QLabel(self, wordWrap=True)
        self.way.setProperty("tone", "soft")
        self.sentence = QLabel(self, wordWrap=True)
        self.plot = GradePlot()
        self.table = AnswerTable(_HEADINGS, is_fine=True)
        self.table.setAccessibleName("grade line, port by port")
        self.table.setMinimumHeight(_TABLE_PX)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP // 2)
        for widget, stretch in ((self.picker, 0), (self.way, 0), (self.sentence, 0), (self.plot, 3), (self.table, 2)):
            column.addWidget(widget, stretch)
        for label in (self.way, self.sentence):
            label.setFont(font(Type.SMALL))
            label.setMinimumWidth(_WORDS_PX)  # or its height is asked for as in the narrowest column
        self.picker.currentChanged.connect(self._show)
        self.plot.chosen.connect(self.chosen)
        self.table.chosen.connect(self.chosen)

    def heightForWidth(self, width: int) -> int:
        """The least that words, plot and table need: a view that is higher gives them more, a lower one scrolls."""
        return self.layout().minimumHeightForWidth(width)

    @property
    def line(self) -> GradeLine | None:
        """The line in view."""
        at = self.picker.at
        return self.lines[at] if at < len(self.lines) else None

    def show_point(self, point: OperatingPoint | None, struck: OperatingPoint | None = None) -> None:
        """Show the lines of a solved layout, none where it is not solved; beside them what a failure makes of them."""
        self._point, self._struck = point, struck
        self._follow()

    def choose(self, ids: frozenset[str]) -> None:
        """Follow the selection."""
        if ids != self._ids:
            self._ids = ids
            self._follow()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._is_stale:
            self._follow()

    def _follow(self) -> None:
        self._is_stale = not self.isVisible()
        if self._is_stale:
            return
        through = self._through()
        self.lines = grade_line(self._point, through) if self._point is not None else ()
        self.picker.offer([line.steps[0].name for line in self.lines])
        with_it = next((number for number, line in enumerate(self.lines) if through and line.holds(through)), None)
        if with_it is not None:
            self.picker.setCurrentIndex(with_it)
        self._show()

    def _through(self) -> str | None:
        """What is selected, if that is one thing of the solved layout."""
        if self._point is None or len(self._ids) != 1:
            return None
        (item,) = self._ids
        layout = self._point.layout
        return item if item in layout.placements or item in layout.runs_by_id else None

    def _show(self, _: int = 0) -> None:
        line = self.line
        has_both = line is not None and self._struck is not None
        self.plot.show_line(line, head_along(line, self._struck) if has_both else None)
        self.plot.choose(self._ids)
        self.way.setText(self._way_words(line) if line is not None else "Nothing flows, so there is no line to draw.")
        self.sentence.setText(figures.unbroken(line.sentence) if line is not None else "")
        self.table.show_rows(_row(point) for point in (line.points if line is not None else ()))
        for widget in (self.sentence, self.plot, self.table):
            widget.setVisible(line is not None and (self.has_table or widget is not self.table))
        self.table.choose(self._ids)

    def _way_words(self, line: GradeLine) -> str:
        """How the line runs, and how to see another, where there are several ways."""
        words = f"From {line.steps[0].name} along the flow and back, {figures.amount(line.length, 'm')}."
        moving = [part.id for part in self._point.parts if part.share > 0 and part.kind == "tube_run"]
        own = [run for run in moving if not any(each.holds(run) for each in self.lines)]
        if own:
            words += " Where streams part it follows the larger; select a part on another to lead it there."
        return figures.unbroken(words)


def _row(point: GradePoint) -> Row:
    cells = (
        point.name,
        figures.number(point.distance, "m"),
        figures.number(point.elevation, "mm"),
        figures.number(point.piezometric_head, "m"),
        figures.number(point.pressure, "kpa"),
        figures.number(point.absolute, "kpa"),
    )
    return Row(point.part, cells, attention=point.absolute is not None and point.pressure < 0)
