"""One number of the machine run through a range, as a curve for each of the layouts compared."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app import figures
from app.compare.line_plot import LinePlot, NamedLine
from app.compare.numbers import has_item, numbers_of
from app.compare.subjects import Subject
from app.field_editors import QuietBox
from app.stepwise import Stepwise
from app.theme import STEP
from app.typed import number_from
from loopsim.errors import LoopsimError
from loopsim.studies import FIGURES, Parameter, SweepPoint, Variation, each_point
from loopsim.units import from_si

__all__ = ["SweepView"]

_LEAST_POINTS, _MOST_POINTS, _USUAL_POINTS = 2, 101, 9
_LETTERS = 9  # of a choice that are seen in any case
_USUAL_SPAN = 0.5  # either side of what a number is now, as a share of it


class Asked(NamedTuple):
    """A sweep of every layout that has the number."""

    subjects: tuple[Subject, ...]
    variation: Variation
    heading: str


def sweeps(asked: Asked) -> Iterator[tuple[int, SweepPoint]]:
    """The study that answers: number of the layout, and the next point of its sweep."""
    for number, subject in enumerate(asked.subjects):
        for point in each_point(subject.build, [asked.variation], subject.layout):
            yield number, point


class SweepView(QWidget):
    """Which number, from where to where, in how many steps; the answer as curves of any figure.

    Offered are the numbers of what is selected in the plan; without a selection, those of pumps, fans and the room.
    """

    refused = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.subjects: tuple[Subject, ...] = ()
        self.points: dict[int, list[SweepPoint]] = {}
        self.asked: Asked | None = None
        self._parameters: tuple[Parameter, ...] = ()
        self.which, self.figure = QuietBox(self), QuietBox(self)
        for box in (self.which, self.figure):
            box.setSizeAdjustPolicy(QuietBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(_LETTERS)
        self.which.setAccessibleName("number that is varied")
        self.figure.setAccessibleName("figure that is shown")
        self.figure.addItems([figure.heading for figure in FIGURES])
        self.first, self.last, self.count = (QLineEdit(self) for _ in range(3))
        self.button = QPushButton("Sweep", self)
        self.words = QLabel(self, wordWrap=True)
        self.words.setProperty("tone", "soft")
        self.plot = LinePlot("sweep", has_dots=True)
        self._work = Stepwise(sweeps, self)
        self._lay_out()
        self._work.came.connect(self._on_came)
        self._work.ended.connect(self._on_ended)
        self.which.currentIndexChanged.connect(lambda _: self._suggest())
        self.figure.currentIndexChanged.connect(lambda _: self._show())
        self.button.clicked.connect(self._on_button)

    def close_work(self) -> None:
        """Work out nothing more."""
        self._work.close()

    def offer(self, subjects: tuple[Subject, ...], selection: frozenset[str]) -> None:
        """Offer the numbers of what is selected in the layouts compared."""
        self.subjects = subjects
        found = tuple(numbers_of(subjects[0], selection)) if subjects else ()
        shown = [(each.reference, each.heading, each.value) for each in self._parameters]
        if [(each.reference, each.heading, each.value) for each in found] != shown:
            chosen = self.which.currentText()
            self._parameters = found
            self.which.blockSignals(True)
            self.which.clear()
            self.which.addItems([each.heading for each in found])
            self.which.setCurrentIndex(max(self.which.findText(chosen), 0))
            self.which.blockSignals(False)
            self._suggest()
        self._show()

    def ask(self) -> None:
        """Sweep, or say what is missing."""
        if not self._parameters:
            return
        parameter = self._parameters[self.which.currentIndex()]
        try:
            first, last = (number_from(editor.text(), parameter.field) for editor in (self.first, self.last))
            count = _count(self.count.text())
            variation = Variation(parameter.reference, tuple(np.linspace(first, last, count).tolist()))
            for value in (first, last):
                parameter.put(self.subjects[0].build, value)
        except (ValueError, LoopsimError) as error:
            self.words.setText(str(error))
            return
        item = parameter.reference.partition(".")[0]
        having = tuple(each for each in self.subjects if has_item(each, item))
        self.asked, self.points = Asked(having, variation, parameter.heading), {}
        self._work.start(self.asked)
        self._show()

    def lines(self) -> list[NamedLine]:
        """What is plotted."""
        figure = FIGURES[self.figure.currentIndex()]
        made = []
        for number, subject in enumerate(self.asked.subjects if self.asked is not None else ()):
            points = self.points.get(number, [])
            values = [_shown(point.figures.get(figure.key), figure.unit) for point in points]
            made.append(NamedLine(subject.title, np.array([point.values[0] for point in points]), np.array(values)))
        return made

    def _suggest(self) -> None:
        """A range around what the number is now."""
        if not self._parameters:
            return
        found = self._parameters[max(self.which.currentIndex(), 0)]
        span = _USUAL_SPAN * abs(found.value) or 1.0
        field = found.field
        least = [found.value - span, *([field.least] if field.least is not None else [])]
        most = [found.value + span, *([field.most] if field.most is not None else [])]
        self.first.setText(figures.plain(max(least)))
        self.last.setText(figures.plain(min(most)))

    def _show(self) -> None:
        figure = FIGURES[self.figure.currentIndex()]
        lines = [line for line in self.lines() if len(line.x)]
        across = self.asked.heading if self.asked is not None else ""
        self.plot.show_lines(lines, across, figure.heading, self._is_old())
        self.button.setText("Stop" if self._work.is_working else "Sweep")
        done = sum(map(len, self.points.values()))
        if self._work.is_working:
            count = len(self.asked.subjects) * len(self.asked.variation.values)
            self.words.setText(f"{done} of {count} worked out")
        elif self.asked is None:
            self.words.setText("Select a part or tube run in the plan to vary its numbers; at first those of machines.")
        else:
            self.words.setText("(sketch before)" if self._is_old() else "")

    def _is_old(self) -> bool:
        if self.asked is None:
            return False
        now = {subject.key: subject.build.revision for subject in self.subjects}
        return any(now.get(each.key) != each.build.revision for each in self.asked.subjects)

    def _on_button(self) -> None:
        if self._work.is_working:
            self._work.stop()
            self._show()
        else:
            self.ask()

    def _on_came(self, _: object, item: tuple[int, SweepPoint]) -> None:
        number, point = item
        self.points.setdefault(number, []).append(point)
        self._show()

    def _on_ended(self, _: object, error: Exception | None) -> None:
        self._show()
        if error is not None:
            self.words.setText(str(error))
            if not isinstance(error, LoopsimError):
                self.refused.emit(f"The sweep broke down: {error}")

    def _lay_out(self) -> None:
        upper, lower = QHBoxLayout(), QHBoxLayout()
        for row in (upper, lower):
            row.setSpacing(STEP)
        upper.addWidget(self.which, 1)
        upper.addWidget(self.button)
        for text, editor, name in (
            ("from", self.first, "first value"),
            ("to", self.last, "last value"),
            ("in", self.count, "points"),
        ):
            label = QLabel(text, self)
            label.setProperty("tone", "soft")
            editor.setAccessibleName(name)
            editor.setFixedWidth(56)
            editor.returnPressed.connect(self.ask)
            lower.addWidget(label)
            lower.addWidget(editor)
        self.count.setText(str(_USUAL_POINTS))
        lower.addWidget(QLabel("points", self))
        lower.addStretch(1)
        shows = QHBoxLayout()
        shows.setSpacing(STEP)
        shows.addWidget(QLabel("showing", self))
        shows.addWidget(self.figure, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, STEP // 2, 0, 0)
        column.setSpacing(STEP // 2)
        column.addLayout(upper)
        column.addLayout(lower)
        column.addLayout(shows)
        column.addWidget(self.words)
        column.addWidget(self.plot, 1)


def _count(text: str) -> int:
    """How many points were typed."""
    count = int(text) if text.strip().isdecimal() else 0
    if not _LEAST_POINTS <= count <= _MOST_POINTS:
        raise ValueError(f"points are {text.strip() or 'not given'}, allowed are {_LEAST_POINTS} to {_MOST_POINTS}")
    return count


def _shown(value: float | None, unit: str) -> float:
    if value is None:
        return float("nan")
    return from_si(value, unit) if unit else value
