"""The course in time, worked out when it is asked for: warm-up from cold, or what happens after something stops."""

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton

from app import figures
from app.answer import Answer, CaseHeat
from app.answer_table import AnswerTable, Row
from app.field_editors import QuietBox
from app.heat.time_plot import TimePlot
from app.heat.view import HeatView
from app.measures import measures
from app.solving import Scenario
from app.theme import STEP
from loopsim.build import Build, Layout
from loopsim.parts import Fan, Pump
from loopsim.studies import ComponentCourse, Transient
from loopsim.studies.words import duration

__all__ = ["TimeView"]

_HEADINGS = ("component", "limit\n{c}", "reached\nafter", "its own\nblock alone", "the whole\nloop", "at the\nend, {c}")
_LONGEST_MIN = 1440.0
_HOTTEST_C = 200.0
_SELECTED = "what is selected stops"


class Event(NamedTuple):
    """What sets the course going: its words, the parts that stop, whether all starts cold."""

    words: str
    stopped: tuple[str, ...]
    from_cold: bool = False


class TimeView(HeatView):
    """Choose what happens; the answer comes as a sentence, a plot with the crossings, and a table with the bounds.

    Signals
    -------
    course_wanted(Scenario)
    """

    course_wanted = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.shown: tuple[Scenario, Transient] | None = None
        self.awaited: Scenario | None = None
        self._events: tuple[Event, ...] = ()
        self.event_box = QuietBox(self)
        self.event_box.setAccessibleName("what happens")
        self.event_box.setSizeAdjustPolicy(QuietBox.SizeAdjustPolicy.AdjustToContents)
        self.minutes = QLineEdit("60", self)
        self.minutes.setAccessibleName("for how many minutes")
        self.minutes.setFixedWidth(56)
        self.button = QPushButton("Work it out", self)
        self.sentence = QLabel(self, wordWrap=True)
        self.plot = TimePlot()
        self.table = AnswerTable(_HEADINGS, all_rows=True, is_fine=True)
        self.table.setAccessibleName("when limits are reached")
        self.column.addLayout(self._choice())
        self.column.addWidget(self.sentence)
        self.column.addWidget(self.plot, 1)
        self.add_all((self.table,))
        self.column.addStretch(0)
        self.plot.hide()
        self.table.hide()
        self.event_box.activated.connect(self.ask)
        self.minutes.returnPressed.connect(self.ask)
        self.button.clicked.connect(self._on_button)

    def ask(self) -> None:
        """Ask for the course that is chosen."""
        scenario = self._scenario()
        if scenario is not None:
            self.awaited = scenario
            self._say("Being worked out")
            self.course_wanted.emit(scenario)

    def show_course(self, scenario: Scenario, result: Transient | str) -> None:
        """Show what was worked out, if it is still waited for; a text says why it could not be."""
        if scenario is not self.awaited:
            return
        self.awaited = None
        self.shown = None if isinstance(result, str) else (scenario, result)
        self._show(result if isinstance(result, str) else "")

    def show_case(self, answer: Answer, found: CaseHeat) -> None:  # noqa: ARG002  the answer is kept already
        self._offer(found.point.point.build, found.point.point.layout)
        self._show("")

    def mark(self, ids: frozenset[str]) -> None:
        self.plot.choose(ids)
        self.table.choose(ids)

    def _on_button(self) -> None:
        if self.awaited is None:
            self.ask()
        else:  # what is under way goes on unheard
            self.awaited = None
            self._show("")

    def _scenario(self) -> Scenario | None:
        """What is chosen; None, and a sentence, where that cannot be."""
        found = self.answer.in_view if self.answer is not None else None
        if found is None or not self._events:
            return None
        event = self._events[max(self.event_box.currentIndex(), 0)]
        point = found.point.point
        stopped = event.stopped
        if event.words == _SELECTED:
            stopped = tuple(each.id for each in _machines(point.build, point.layout) if each.id in self.ids)
            if not stopped:
                self._say("Select the pumps and fans that are to stop, in the plan or in a table.")
                return None
        minutes = self._minutes()
        if minutes is None:
            return None
        return Scenario(point.build, point.layout.name, found.point.case.name, stopped, event.from_cold, minutes)

    def _minutes(self) -> float | None:
        text = self.minutes.text().strip().replace(",", ".")
        try:
            value = float(text)
        except ValueError:
            value = 0.0
        if 0 < value <= _LONGEST_MIN:
            return value
        self._say(f"The time is {text or 'empty'}, must be above 0 and at most {_LONGEST_MIN:g} min.")
        return None

    def _show(self, problem: str) -> None:
        course = self.shown[1] if self.shown is not None else None
        old = self._is_old()
        if self.awaited is None:
            words = problem or (figures.told(course.sentence) if course is not None else "")
            self._say(words or "Choose what happens; it takes a second or two to follow.", old)
        self.plot.show_course(course, old)
        self.table.setVisible(course is not None)
        if course is not None:
            self.table.show_rows(_rows(course), old)

    def _is_old(self) -> bool:
        """True where what is shown belongs to an earlier sketch, or to another layout or load case."""
        if self.shown is None or self.answer is None or self.answer.in_view is None:
            return False
        scenario, now = self.shown[0], self.answer.in_view.point
        same = (scenario.layout, scenario.case) == (self.answer.layout, now.case.name)
        return scenario.build.revision != self.answer.revision or not same

    def _say(self, text: str, old: bool = False) -> None:
        self.sentence.setText(figures.unbroken(text + (" (sketch before)" if old else "")))
        self.sentence.setEnabled(not old)
        self.button.setText("Work it out" if self.awaited is None else "Give up")

    def _offer(self, build: Build, layout: Layout) -> None:
        events = tuple(_events(build, layout))
        if events != self._events:
            chosen = self.event_box.currentText()
            self._events = events
            self.event_box.clear()
            self.event_box.addItems([event.words for event in events])
            self.event_box.setCurrentIndex(max(self.event_box.findText(chosen), 0))

    def _choice(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(STEP)
        for label in ("for", "min"):
            text = QLabel(label)
            text.setProperty("tone", "soft")
            row.addWidget(text)
        row.insertWidget(0, self.event_box)
        row.insertWidget(2, self.minutes)
        row.addWidget(self.button)
        row.addStretch(1)
        return row


def _machines(build: Build, layout: Layout) -> list[Pump | Fan]:
    parts = (build.part(part_id) for part_id in layout.placements)
    return [part for part in parts if isinstance(part, Pump | Fan)]


def _events(build: Build, layout: Layout) -> Iterator[Event]:
    """Warm-up, everything of a kind at once, each by itself, and whatever is selected."""
    yield Event("warm-up from cold", (), from_cold=True)
    machines = _machines(build, layout)
    for kind, words in ((Pump, "all pumps stop"), (Fan, "all fans stop")):
        alike = [each for each in machines if isinstance(each, kind)]
        if len(alike) > 1:
            yield Event(words, tuple(each.id for each in alike))
    for each in machines:
        yield Event(f"{each.name} stops", (each.id,))
    if machines:
        yield Event(_SELECTED, ())


def _rows(course: Transient) -> Iterator[Row]:
    for each in course.components:
        yield _row(each)


def _row(each: ComponentCourse) -> Row:
    cells = (
        each.name,
        figures.NONE if each.limit is None else figures.in_unit(each.limit, "c", measures.unit("c")),
        _time(each.crosses),
        _time(each.shortest),
        _time(each.longest),
        _celsius(float(each.temperature[-1])),
    )
    return Row(each.part, cells, attention=each.crosses is not None)


def _celsius(temperature: float) -> str:
    """Beyond what any component lives to see, the figure means nothing."""
    if temperature > _HOTTEST_C:
        return f"> {figures.in_own(_HOTTEST_C, 'c'):.0f}"
    return figures.number(temperature, "c")


def _time(seconds: float | None) -> str:
    return figures.NONE if seconds is None else duration(seconds)
