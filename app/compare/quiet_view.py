"""How quiet a layout can run: the slowest speeds that hold every limit, and what more margin costs in sound."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app import figures
from app.answer_table import AnswerTable, Row
from app.bench_page import dim
from app.compare.line_plot import LinePlot, NamedLine
from app.compare.on_request import OnRequest
from app.compare.subjects import Subject, is_same
from app.document import Document
from app.field_editors import QuietBox
from app.measures import measures
from app.tab_order import tab_in_order
from app.theme import STEP, Type, font
from app.typed import typed
from app.words import any_stopped
from loopsim.build.edits import Edit
from loopsim.fields import FieldDescription
from loopsim.parts import Pump
from loopsim.studies.quiet import CURVE, Quiet, QuietPoint, SpeedGroup, each_quiet, set_speeds, whole_percent

__all__ = ["QuietView"]

_HEADINGS = ("", "now", "set", "starts at")
_MARGIN = FieldDescription("margin", "the margin", "k", "temperature difference", "number", 0.0, "")
_MARGIN_PX = 48
_LETTERS = 9  # of a choice that are seen in any case
_FOUND = "quietest speeds"
_WHAT = "Finds the slowest speeds of pumps and groups of fans in the layout in view at which all limits hold."
_HOW = (
    "Sound adds up without regard to pitch, at 1 m in a free room; below the speed at which a machine starts it is not "
    "slowed. Try it on the finished machine."
)


class Asked(NamedTuple):
    """A layout at a load case, whether a stopped pump must be survived, and the margin that is to stay [K]."""

    subject: Subject
    case: str
    survive: bool
    margin: float


def searches(asked: Asked) -> Iterator[Quiet]:
    """The study that answers, the trade-off point by point."""
    return each_quiet(asked.subject.build, asked.subject.layout, asked.case, asked.survive, asked.margin)


class QuietView(QWidget):
    """What is asked, the trade-off as a curve to choose a point from, and the speeds there, to be set in the layout.

    Signals
    -------
    refused(str)
        Why something could not be done.
    """

    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.asked: Asked | None = None
        self.found: Quiet | None = None
        self.case, self.point = QuietBox(self), QuietBox(self)
        self.case.setAccessibleName("load case whose limits must hold")
        self.point.setAccessibleName("point of the trade-off")
        for box in (self.case, self.point):
            box.may_shrink_to(_LETTERS)
        self.survive = QCheckBox(self)
        self.margin = QLineEdit("0", self)
        self.margin_unit = _soft("")
        self.margin.setFixedWidth(_MARGIN_PX)
        self.search = OnRequest(searches, "Find speeds", "The search for quiet speeds", self)
        self.take = QPushButton("Set these speeds", self)
        self.sentence = QLabel(self, wordWrap=True)
        self.plot = LinePlot("sound against margin", has_dots=True)
        self.table = AnswerTable(_HEADINGS, all_rows=True, is_fine=True)
        self.table.setAccessibleName("speeds of pumps and fans")
        self._lay_out()
        self._connect()
        self._say_units()
        self.offer()

    def close_work(self) -> None:
        """Work out nothing more."""
        self.search.close()

    def offer(self) -> None:
        """Offer the load cases of the build in view; what was found for another machine grows old."""
        names = [case.name for case in self.document.build.load_cases]
        if names != [self.case.itemText(number) for number in range(self.case.count())]:
            chosen = self.case.currentText()
            self.case.clear()
            self.case.addItems(names)
            self.case.setCurrentIndex(max(self.case.findText(chosen), 0))
        placed = self.document.layout.placements
        pumps = sum(isinstance(self.document.build.part(part_id), Pump) for part_id in placed)
        self.survive.setText(f"also with {any_stopped(pumps)}")
        self.survive.setEnabled(pumps > 0)
        self._show()

    def ask(self) -> None:
        """Search, or say what is missing."""
        try:
            margin = typed(self.margin.text(), _MARGIN, measures.unit("k")).value
        except ValueError as error:
            self.search.say(str(error))
            return
        subject = Subject(self.document.build, self.document.layout.name)
        self.asked = Asked(subject, self.case.currentText(), self.survive.isChecked(), margin)
        self.found = None
        self.search.start(self.asked)

    def chosen(self) -> QuietPoint | None:
        """The point of the trade-off in view; None before one is found."""
        curve = self.found.curve if self.found is not None else ()
        number = max(self.point.currentIndex(), 0)
        return curve[number] if number < len(curve) else None

    def set_speeds(self) -> None:
        """Set the speeds in view in the layout, in one step."""
        point, asked = self.chosen(), self.asked
        if point is None or asked is None or self._is_old():
            return
        speeds = [whole_percent(speed) / 100 for speed in point.speeds]
        name = asked.subject.layout
        build = set_speeds(self.document.build, name, self.found.groups, speeds)
        self.document.do(Edit(build, f"Set the quietest speeds of {name}"))

    def _is_old(self) -> bool:
        now = Subject(self.document.build, self.document.layout.name)
        return self.asked is not None and not is_same(self.asked.subject, now)

    def _show(self) -> None:
        found, old = self.found, self._is_old()
        self._offer_points()
        for widget in (self.sentence, self.plot, self.table, self.point, self.take):
            widget.setVisible(found is not None and (widget is self.sentence or bool(found.curve)))
        if found is not None:
            self.sentence.setText(figures.unbroken(found.sentence))
            dim(self.sentence, old)
            self._show_plot(found, old)
            self._show_point(found, old)
        self.search.say(self._progress(old))

    def _progress(self, old: bool) -> str:
        if self.search.is_working:
            done = len(self.found.curve) if self.found is not None else 0
            return f"{done} of {CURVE} points of the trade-off found"
        if self.found is None:
            return _WHAT
        return "(sketch before)" if old else ""

    def _offer_points(self) -> None:
        names = [_name(point) for point in (self.found.curve if self.found is not None else ())]
        if names != [self.point.itemText(number) for number in range(self.point.count())]:
            chosen = max(self.point.currentIndex(), 0)
            self.point.blockSignals(True)
            self.point.clear()
            self.point.addItems(names)
            self.point.setCurrentIndex(min(chosen, len(names) - 1))
            self.point.blockSignals(False)

    def _show_plot(self, found: Quiet, old: bool) -> None:
        lines = [_line(_FOUND, found.curve), _line("now", (found.now,))]
        chosen = self.chosen()
        lines += [_line("in view", (chosen,))] if chosen is not None else []
        shown = [line for line in lines if len(line.x)]
        self.plot.setVisible(len(shown) > 0 and len(shown[0].x) > 1)
        self.plot.show_lines(shown, figures.heading("least margin", "k"), "sound at 1 m, dB(A)", old)

    def _show_point(self, found: Quiet, old: bool) -> None:
        point = self.chosen()
        speeds = point.speeds if point is not None else (None,) * len(found.groups)
        rows = (
            _row(group, now, speed) for group, now, speed in zip(found.groups, found.now.speeds, speeds, strict=True)
        )
        self.table.show_rows(rows, old)
        self.take.setEnabled(point is not None and not old)

    def _on_came(self, _: object, found: Quiet) -> None:
        self.found = found
        self._show()

    def _on_units(self, _: object) -> None:
        self._say_units()
        self._show()

    def _say_units(self) -> None:
        """In other units the margin begins anew: what was typed meant something else."""
        degrees = figures.label("k")
        self.margin.setText("0")
        self.margin.setAccessibleName(f"margin to every limit in {degrees}")
        self.margin_unit.setText(f"{degrees} to each of them")

    def _connect(self) -> None:
        self.search.wanted.connect(self.ask)
        self.search.came.connect(self._on_came)
        self.search.changed.connect(self._show)
        self.search.refused.connect(self.refused)
        self.margin.returnPressed.connect(self.ask)
        measures.changed.connect(self._on_units)
        self.point.currentIndexChanged.connect(lambda _: self._show())
        self.take.clicked.connect(self.set_speeds)
        for changed in (self.document.build_changed, self.document.layout_changed):
            changed.connect(lambda _: self.offer())

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, STEP // 2, STEP, 0)
        column.setSpacing(STEP)
        column.addLayout(_row_of(_soft("Hold all limits at"), self.case, None, self.search.button))
        column.addWidget(self.survive)
        column.addLayout(_row_of(_soft("and keep"), self.margin, self.margin_unit, None))
        how = _soft(_HOW)
        how.setWordWrap(True)
        how.setFont(font(Type.SMALL))
        for widget in (self.search.words, self.sentence):
            column.addWidget(widget)
        choice = _row_of(self.point, self.take)
        choice.setStretchFactor(self.point, 1)
        column.addLayout(choice)
        for widget in (self.table, self.plot, how):
            column.addWidget(widget)
        column.addStretch(1)
        tab_in_order(self.case, self.survive, self.margin, self.search.button, self.point, self.take, self.table)


def _row_of(*widgets: QWidget | None) -> QHBoxLayout:
    """Widgets beside each other; None stands for the room that is left."""
    row = QHBoxLayout()
    row.setSpacing(STEP)
    for widget in widgets:
        if widget is None:
            row.addStretch(1)
        else:
            row.addWidget(widget)
    return row


def _soft(text: str) -> QLabel:
    label = QLabel(text)
    label.setProperty("tone", "soft")
    return label


def _line(name: str, points: tuple[QuietPoint, ...]) -> NamedLine:
    """Sound against margin, where both are known."""
    known = [(each.margin, each.sound) for each in points if each.sound is not None and each.settles]
    margins = figures.all_in_own(np.array([margin for margin, _ in known]), "k")
    return NamedLine(name, margins, np.array([sound for _, sound in known]))


def _name(point: QuietPoint) -> str:
    sound = f"{point.sound:.1f} dB(A), " if point.sound is not None else ""
    return f"{sound}{figures.amount(point.margin, 'k')} left" if point.settles else f"{sound}comes to no rest"


def _row(group: SpeedGroup, now: float, speed: float | None) -> Row:
    found = figures.NONE if speed is None else f"{whole_percent(speed)} %"
    return Row("", (group.name, f"{whole_percent(now)} %", found, f"{whole_percent(group.least)} %"))
