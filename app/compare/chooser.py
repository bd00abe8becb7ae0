"""The row above the comparison: which layouts, from which files, told against which, and how far it is."""

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QCheckBox, QFileDialog, QHBoxLayout, QLabel, QMenu, QPushButton, QVBoxLayout, QWidget

from app.compare.comparing import Comparing
from app.compare.subjects import Subject
from app.field_editors import QuietBox
from app.tab_order import tab_in_order
from app.theme import STEP
from loopsim.build import FILE_ENDING
from loopsim.errors import LoopsimError
from loopsim.studies.comparing.compare import LEAST, MOST

__all__ = ["Chooser"]

_BASE_LETTERS = 10  # so many are seen in any case


class Chooser(QWidget):
    """A menu of layouts with a tick each, the base, and whether values or differences are shown.

    Signals
    -------
    differences_wanted(bool)
    refused(str)
    """

    differences_wanted = Signal(bool)
    refused = Signal(str)

    def __init__(self, comparing: Comparing) -> None:
        super().__init__()
        self.comparing = comparing
        self.button = QPushButton("Layouts", self)
        self.menu = QMenu(self)
        self.button.setMenu(self.menu)
        self.add = QPushButton("Add a file...", self)
        self.base = QuietBox(self)
        self.base.may_shrink_to(_BASE_LETTERS)
        self.base.setAccessibleName("layout that the others are told against")
        self.differences = QCheckBox("differences from", self)
        self.differences.setToolTip("Show how far each is from the base, in place of its own values.")
        self.words = QLabel(self, wordWrap=True)
        self.words.setProperty("tone", "soft")
        self.stop = QPushButton("Stop", self)
        self._lay_out()
        tab_in_order(self.button, self.add, self.differences, self.base, self.stop)
        self.add.clicked.connect(self._on_add)
        self.base.activated.connect(self._on_base)
        self.differences.toggled.connect(self.differences_wanted)
        self.stop.clicked.connect(lambda: comparing.stop() if comparing.is_working else comparing.go_on())
        comparing.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Follow what is compared."""
        comparing = self.comparing
        chosen = {each.key for each in comparing.chosen}
        self.menu.clear()
        for subject in comparing.offered:
            self.menu.addAction(self._action(subject, subject.key in chosen))
        self._subjects = [each.subject for each in comparing.looked]
        self.base.clear()
        self.base.addItems([subject.title for subject in self._subjects])
        if comparing.base is not None:
            self.base.setCurrentIndex([each.key for each in self._subjects].index(comparing.base.key))
        self.base.setVisible(len(self._subjects) >= LEAST)
        self.differences.setVisible(len(self._subjects) >= LEAST)
        self.stop.setVisible(comparing.is_working or comparing.is_held)
        self.stop.setText("Stop" if comparing.is_working else "Go on")
        self.words.setText(self._progress())
        self.words.setVisible(bool(self.words.text()))

    def add_file(self, path: Path) -> None:
        """Take in a file's layouts, or say why not."""
        try:
            self.comparing.add_file(path)
        except LoopsimError as error:
            self.refused.emit(str(error))

    def _progress(self) -> str:
        comparing = self.comparing
        left_out = [each.title for each in comparing.offered if each not in comparing.chosen]
        problems = [f"{each.subject.title}: {each.problem}" for each in comparing.problems]
        if comparing.is_working:
            return f"{len(comparing.chosen) - len(comparing.missing)} of {len(comparing.chosen)} worked out"
        if problems:
            return "; ".join(problems)
        return f"{MOST} at most; left out: {', '.join(left_out)}" if len(comparing.chosen) == MOST and left_out else ""

    def _action(self, subject: Subject, is_chosen: bool) -> QAction:
        made = QAction(subject.title.replace("&", "&&"), self.menu, checkable=True, checked=is_chosen)
        made.toggled.connect(lambda wanted: self.comparing.choose(subject, wanted))
        return made

    def _on_add(self) -> None:
        path, _ = QFileDialog.getOpenFileName(self, "Add a file's layouts", "", f"Builds (*{FILE_ENDING})")
        if path:
            self.add_file(Path(path))

    def _on_base(self, number: int) -> None:
        self.comparing.tell_against(self._subjects[number])

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(STEP)
        row.addWidget(self.button)
        row.addWidget(self.add)
        row.addStretch(1)
        row.addWidget(self.stop)
        against = QHBoxLayout()
        against.setSpacing(STEP)
        against.addWidget(self.differences)
        against.addWidget(self.base, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP // 2)
        column.addLayout(row)
        column.addLayout(against)
        column.addWidget(self.words)
