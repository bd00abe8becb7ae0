"""Cases of the builder's own: made from what is selected in the plan, kept with the build."""

from collections.abc import Callable, Iterator

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.document import Document
from app.field_editors import QuietBox
from app.tab_order import tab_in_order
from app.theme import STEP
from loopsim.build import Build, FailureEvent, Layout, OwnFailure
from loopsim.build.edits import Edit
from loopsim.build.failure_edits import add_failure, free_failure_name, remove_failure
from loopsim.studies import catalogue
from loopsim.studies.words import listed

__all__ = ["OwnCase", "ways_to_fail"]

_HELP = (
    "Select in the plan what is to fail at once: pumps, fans, filters, valves, tubes, vessels, supplies. Then say how."
)


def ways_to_fail(build: Build, layout: Layout) -> dict[str, list[str]]:
    """What can happen to each part and tube run of a layout, by id, the usual first."""
    ways: dict[str, list[str]] = {}
    for failure in catalogue(build, layout.name):
        if len(failure.events) == 1 and failure.events[0].item is not None and not failure.own:
            ways.setdefault(failure.events[0].item, []).append(failure.events[0].what)
    return ways


class OwnCase(QWidget):
    """How each of what is selected fails, a name, and the cases that are kept."""

    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.boxes: dict[str, QuietBox] = {}
        self.help = QLabel(_HELP, self, wordWrap=True)
        self.help.setProperty("tone", "soft")
        self.chosen = QGridLayout()
        self.chosen.setHorizontalSpacing(STEP)
        self.chosen.setColumnStretch(0, 1)
        self.hot_room = QCheckBox("and the room is 10 K warmer", self)
        self.name = QLineEdit(self, placeholderText="what you call it")
        self.name.setAccessibleName("name of the case")
        self.button = QPushButton("Keep as a case", self)
        self.kept = QVBoxLayout()
        self.kept.setSpacing(2)
        self._shown: tuple[object, ...] = ()
        self._lay_out()
        self.button.clicked.connect(self.keep)
        self.name.returnPressed.connect(self.keep)
        self.hot_room.toggled.connect(self._on_hot_room)
        document.build_changed.connect(self.refresh)
        document.layout_changed.connect(self.refresh)
        document.selection_changed.connect(self.refresh)

    def refresh(self, *_: object) -> None:
        """Follow the selection and the build; out of sight, once it is looked at: a drag has no time for it."""
        if not self.isVisible():
            return
        build, layout = self.document.build, self.document.layout
        chosen = sorted(self.document.selection)
        ways = ways_to_fail(build, layout) if chosen else {}
        may_fail = [(item, _name(build, layout, item), ways[item]) for item in chosen if item in ways]
        shows = (layout.name, build.own_failures, may_fail)
        if shows == self._shown:
            return
        self._shown = shows
        self._show_chosen(may_fail)
        self._show_kept(build.own_failures)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.refresh()

    def keep(self) -> None:
        """Keep the case with the build, or say what is missing."""
        events = tuple(self._events())
        if events and self._do(lambda: add_failure(self.document.build, self._case(events))):
            self.name.clear()
            self.hot_room.setChecked(False)

    def _case(self, events: tuple[FailureEvent, ...]) -> OwnFailure:
        """With the name that was typed, which may not be taken, or with one that says what fails."""
        typed = self.name.text().strip()
        return OwnFailure(name=typed or free_failure_name(self.document.build, self._usual_name()), events=events)

    def forget(self, name: str) -> None:
        """Forget a case."""
        self._do(lambda: remove_failure(self.document.build, name))

    def _events(self) -> Iterator[FailureEvent]:
        for item, box in self.boxes.items():
            yield FailureEvent.model_validate({"what": box.currentText(), "item": item})
        if self.hot_room.isChecked():
            yield FailureEvent(what="hot room")

    def _usual_name(self) -> str:
        build, layout = self.document.build, self.document.layout
        said = [f"{_name(build, layout, item)} {box.currentText()}" for item, box in self.boxes.items()]
        return listed([*said, *(["room 10 K warmer"] if self.hot_room.isChecked() else [])])

    def _do(self, make: Callable[[], Edit]) -> bool:
        return self.document.attempt(make, self.refused.emit)

    def _show_chosen(self, chosen: list[tuple[str, str, list[str]]]) -> None:
        _empty(self.chosen)
        self.boxes = {}
        for row, (item, name, ways) in enumerate(chosen):
            box = QuietBox(self)
            box.addItems(ways)
            box.setAccessibleName(f"how {name} fails")
            box.currentTextChanged.connect(self._on_how)
            self.boxes[item] = box
            self.chosen.addWidget(QLabel(name, self), row, 0)
            self.chosen.addWidget(box, row, 1)
        tab_in_order(self.help, *self.boxes.values())
        self.help.setVisible(not chosen)
        self._on_how()

    def _show_kept(self, cases: tuple[OwnFailure, ...]) -> None:
        _empty(self.kept)
        buttons: list[QPushButton] = []
        for case in cases:
            line, row = QWidget(self), QHBoxLayout()
            row.setContentsMargins(0, 0, 0, 0)
            button = QPushButton("Forget", line, flat=True)
            button.setAccessibleName(f"forget {case.name}")
            button.clicked.connect(lambda _checked=False, name=case.name: self.forget(name))
            row.addWidget(QLabel(case.name, line), 1)
            row.addWidget(button)
            line.setLayout(row)
            self.kept.addWidget(line)
            buttons.append(button)
        tab_in_order(self.button, *buttons)
        self.kept_title.setVisible(bool(cases))

    def _on_how(self, *_: object) -> None:
        ready = bool(self.boxes) or self.hot_room.isChecked()
        self.button.setEnabled(ready)
        self.name.setPlaceholderText(self._usual_name() if ready else "what you call it")

    def _on_hot_room(self, _: bool) -> None:
        self._on_how()

    def _lay_out(self) -> None:
        self.kept_title = QLabel("Kept with the build", self)
        self.kept_title.setProperty("tone", "soft")
        end = QHBoxLayout()
        end.setSpacing(STEP)
        end.addWidget(self.name, 1)
        end.addWidget(self.button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, STEP // 2, STEP, 0)
        column.setSpacing(STEP // 2)
        column.addWidget(self.help)
        column.addLayout(self.chosen)
        column.addWidget(self.hot_room)
        column.addLayout(end)
        column.addWidget(self.kept_title)
        column.addLayout(self.kept)
        column.addStretch(1)
        column.setAlignment(Qt.AlignmentFlag.AlignTop)


def _name(build: Build, layout: Layout, item: str) -> str:
    return build.part(item).name if item in build.parts_by_id else build.run_name(layout.run(item))


def _empty(layout: QGridLayout | QVBoxLayout) -> None:
    while (item := layout.takeAt(0)) is not None:
        item.widget().hide()
        item.widget().deleteLater()
