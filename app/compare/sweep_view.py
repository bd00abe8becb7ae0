"""One or two numbers of the machine run through a range: a curve for each of the layouts compared, or a map of each."""

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QStackedWidget, QVBoxLayout, QWidget

from app import figures
from app.compare.line_plot import LinePlot, NamedLine
from app.compare.map_plot import MapPlot
from app.compare.number_map import NumberMap
from app.compare.numbers import has_item, numbers_of
from app.compare.on_request import OnRequest
from app.compare.range_row import RangeRow
from app.compare.subjects import Subject, is_same
from app.compare.sweeping import Asked, lines_of, maps_of, sweeps
from app.field_editors import QuietBox
from app.measures import measures
from app.theme import STEP
from loopsim.errors import LoopsimError
from loopsim.parts import part_of
from loopsim.studies import FIGURES, SweepPoint
from loopsim.studies.figures import Figure
from loopsim.studies.varying import varied

__all__ = ["SweepView"]

_LETTERS = 9  # of a choice that are seen in any case
_PAINT_MS = 300  # points come faster than a large map is worth being painted
_ONE_SCALE = "Colours and figures are on one scale for the maps of all layouts, so that they can be held side by side."


class SweepView(QWidget):
    """Which numbers, from where to where, in how many steps; the answer as curves, or as a map, of any figure.

    Offered are the numbers of what is selected in the plan; without a selection, those of pumps, fans and the room.
    """

    refused = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.subjects: tuple[Subject, ...] = ()
        self.points: dict[int, list[SweepPoint]] = {}
        self.asked: Asked | None = None
        self.one, self.other = RangeRow("number that is varied"), RangeRow("second number", "and no second number")
        self.figure, self.whose = QuietBox(), QuietBox()  # whose place for Tab is that in the column
        for box, name in ((self.figure, "figure that is shown"), (self.whose, "layout whose map is shown")):
            box.may_shrink_to(_LETTERS)
            box.setAccessibleName(name)
        self.figure.addItems(_headings())
        self.study = OnRequest(sweeps, "Sweep", "The sweep", self)
        self.plot, self.map = LinePlot("sweep", has_dots=True), MapPlot("map of the sweep")
        self.plots = QStackedWidget()
        self._paint = QTimer(self, singleShot=True, interval=_PAINT_MS)
        self._lay_out()
        self._connect()
        self._show()

    def close_work(self) -> None:
        """Work out nothing more."""
        self.study.close()

    def offer(self, subjects: tuple[Subject, ...], selection: frozenset[str]) -> None:
        """Offer the numbers of what is selected in the layouts compared."""
        self.subjects = subjects
        found = tuple(numbers_of(subjects[0], selection)) if subjects else ()
        for row in (self.one, self.other):
            row.offer(found)
        self._show()

    def ask(self) -> None:
        """Sweep, or say what is missing."""
        if not self.subjects:
            return
        rows = [row for row in (self.one, self.other) if row is self.one or row.parameter is not None]
        first = self.subjects[0]
        try:
            variations = tuple(row.variation(first.build) for row in rows)
            parameters = varied(first.build, variations, first.layout, None)
        except (ValueError, LoopsimError) as error:
            self.study.say(str(error))
            return
        items = [part_of(each.reference) for each in parameters]
        having = tuple(each for each in self.subjects if all(has_item(each, item) for item in items))
        self.asked, self.points = Asked(having, variations, tuple(parameters)), {}
        self._name_layouts()
        self.study.start(self.asked)

    def lines(self) -> list[NamedLine]:
        """What is plotted over one number."""
        is_there = self.asked is not None and not self.asked.is_map
        return lines_of(self.asked, self.points, self._figure) if is_there else []

    def shown_map(self) -> NumberMap | None:
        """What is shown over two numbers; None where one was asked for."""
        if self.asked is None or not self.asked.is_map:
            return None
        return maps_of(self.asked, self.points, self._figure)[max(self.whose.currentIndex(), 0)]

    @property
    def _figure(self) -> Figure:
        return FIGURES[self.figure.currentIndex()]

    def _name_layouts(self) -> None:
        """Offer the layouts of which there is a map each; no choice where there is but one."""
        names = [each.title for each in self.asked.subjects]
        self.whose.blockSignals(True)
        self.whose.clear()
        self.whose.addItems(names)
        self.whose.blockSignals(False)
        self.whose.setVisible(self.asked.is_map and len(names) > 1)

    def _show(self) -> None:
        old, number_map = self._is_old(), self.shown_map()
        if number_map is not None:
            self.map.show_map(number_map, old)
        else:
            across = self.asked.headings[0] if self.asked is not None else ""
            up = figures.heading(self._figure.label, self._figure.unit)
            self.plot.show_lines([line for line in self.lines() if len(line.x)], across, up, old)
        self.plots.setCurrentWidget(self.plot if number_map is None else self.map)
        self.study.say(self._words(number_map, old))

    def _words(self, number_map: NumberMap | None, old: bool) -> str:
        if self.asked is None:
            return "Select a part or tube run in the plan to vary its numbers; at first those of machines."
        done = sum(map(len, self.points.values()))
        if self.study.is_working:
            return f"{done} of {self.asked.count} worked out"
        said = number_map.words() if number_map is not None and done == self.asked.count else ""
        said += f" {_ONE_SCALE}" if said and len(self.asked.subjects) > 1 else ""
        return f"{said} (sketch before)".strip() if old else said

    def _is_old(self) -> bool:
        if self.asked is None:
            return False
        now = {subject.key: subject for subject in self.subjects}
        return any(each.key not in now or not is_same(each, now[each.key]) for each in self.asked.subjects)

    def _on_units(self, _: object) -> None:
        for number, heading in enumerate(_headings()):
            self.figure.setItemText(number, heading)
        self._show()

    def _on_came(self, _: object, item: tuple[int, SweepPoint]) -> None:
        number, point = item
        self.points.setdefault(number, []).append(point)
        if not self._paint.isActive():
            self._paint.start()

    def _connect(self) -> None:
        self.study.wanted.connect(self.ask)
        self.study.came.connect(self._on_came)
        self.study.changed.connect(self._show)
        self.study.refused.connect(self.refused)
        self._paint.timeout.connect(self._show)
        measures.changed.connect(self._on_units)
        for row in (self.one, self.other):
            row.wanted.connect(self.ask)
        for box in (self.figure, self.whose):
            box.currentIndexChanged.connect(lambda _: self._show())

    def _lay_out(self) -> None:
        asks = QGridLayout()
        asks.setHorizontalSpacing(STEP)
        asks.setVerticalSpacing(STEP // 2)
        asks.addWidget(self.one, 0, 0)
        asks.addWidget(self.other, 1, 0)
        asks.addWidget(self.study.button, 0, 1, Qt.AlignmentFlag.AlignTop)
        asks.setColumnStretch(0, 1)
        shows = QHBoxLayout()
        shows.setSpacing(STEP)
        shows.addWidget(QLabel("showing", self))
        shows.addWidget(self.figure, 1)
        shows.addWidget(self.whose, 1)
        self.whose.hide()
        for plot in (self.plot, self.map):
            self.plots.addWidget(plot)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, STEP // 2, 0, 0)
        column.setSpacing(STEP // 2)
        column.addLayout(asks)
        column.addLayout(shows)
        column.addWidget(self.study.words)
        column.addWidget(self.plots, 1)


def _headings() -> list[str]:
    """The figures that can be shown, in the builder's units."""
    return [figures.heading(figure.label, figure.unit) for figure in FIGURES]
