"""The bench at which the record is written: the report of the layout in view."""

from collections.abc import Iterable
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton

from app import words
from app.answer import Answer
from app.bench_page import BenchPage
from app.document import Document
from app.theme import STEP, Type, font

__all__ = ["REPORT_KINDS", "LogBench"]

REPORT_KINDS = {".html": "HTML, for reading on a screen", ".pdf": "PDF, for printing", ".md": "Markdown, for a log"}

_HOLDS = (
    "The report holds the drawing, the operating point and what every part takes of it, the grade line, heat and air, "
    "what stays when a pump stops, how to fill, drain and test for leaks, the parts with their sources, the tube "
    "lengths to cut, and the model's limits."
)


class LogBench(BenchPage):
    """Choose a kind of file, and write the report."""

    export_wanted = Signal(str)  # a file ending

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.buttons: dict[str, QPushButton] = {}
        for ending, kind in REPORT_KINDS.items():
            self.column.addLayout(self._choice(ending, kind))
        self.written = QLabel(wordWrap=True, visible=False)
        self.column.addSpacing(STEP)
        self.column.addWidget(self.written)
        self.column.addStretch(1)
        document.path_changed.connect(self.written.hide)

    def show_answer(self, answer: Answer) -> None:
        ready = answer.point is not None
        if ready:
            self.say("The record is ready to be written", f"Layout “{answer.layout}”. {_HOLDS}")
        else:
            missing = words.unsolved(answer, self.document.build, self.document.layout) or ("", "")
            self.say("Nothing to record yet", ". ".join(each for each in missing if each))
        for button in self.buttons.values():
            button.setEnabled(ready)

    def show_written(self, paths: Iterable[Path]) -> None:
        """Name the files that were written."""
        self.written.setText("Written: " + ", ".join(str(path) for path in paths))
        self.written.show()

    def _choice(self, ending: str, kind: str) -> QHBoxLayout:
        button = QPushButton(f"Write {kind.partition(',')[0]}...", self)
        button.setMinimumWidth(160)
        button.clicked.connect(lambda: self.export_wanted.emit(ending))
        self.buttons[ending] = button
        note = QLabel(kind.partition(", ")[2])
        note.setProperty("tone", "soft")
        note.setFont(font(Type.SMALL))
        row = QHBoxLayout()
        row.setSpacing(STEP)
        row.addWidget(button)
        row.addWidget(note)
        row.addStretch(1)
        return row
