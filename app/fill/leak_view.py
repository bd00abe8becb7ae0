"""The leak test: cautions first, how high to go, and a form for the readings that goes into the record."""

from typing import Any

from pydantic import ValidationError
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app import figures
from app.document import Document
from app.field_editors import ONE_LINE, FieldEditor
from app.field_grid import FieldGrid
from app.measures import measures
from app.record_editor import values_of
from app.theme import STEP, Type, font
from loopsim.build import LeakRecord, edits
from loopsim.errors import LoopsimError
from loopsim.fields import describe
from loopsim.studies.fill import LEAK_CAUTIONS, LeakSheet, LeakTest, leak_sheet
from loopsim.studies.sentence import Sentence, quantity
from loopsim.units import to_si

__all__ = ["LeakView", "headline", "line", "test_words"]

_TONES = {"tight": "", "doubtful": "amber", "leaks": "rust"}
_SIGNS = {"tight": "✓", "doubtful": "?", "leaks": "×"}


class LeakView(QWidget):
    """The form keeps what is typed until it is noted; noting is an edit.

    Signals
    -------
    edit_wanted(Edit)
    """

    edit_wanted = Signal(object)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.cautions = QLabel("\n".join(f"! {each}" for each in LEAK_CAUTIONS), wordWrap=True)
        self.cautions.setProperty("tone", "amber")
        self.sheet_words, self.verdict = QLabel(wordWrap=True), QLabel(wordWrap=True)
        self.sheet_words.setProperty("tone", "soft")
        self.form = FieldGrid()
        for field in describe(LeakRecord):
            editor = self.form.add(field.name, field, ONE_LINE[field.shape](field, self.form))
            editor.wanted.connect(lambda value, n=field.name, e=editor: self._on_wanted(n, value, e))
        self.note, self.forget = QPushButton("Note this test"), QPushButton("Strike the noted test")
        self.record = LeakRecord()
        self._noted: LeakRecord | None = None
        self._lay_out()
        self.note.clicked.connect(self._on_note)
        self.forget.clicked.connect(self._on_forget)
        document.build_changed.connect(self.refresh)
        document.layout_changed.connect(self.refresh)
        measures.changed.connect(self.refresh)
        self.refresh()

    def refresh(self, *_: object) -> None:
        """Follow the layout: what it has noted comes into the form when that changes."""
        noted = self.document.layout.leak_record
        if noted is not self._noted:
            self._noted = noted
            self.record = noted or LeakRecord()
        if self.isVisible():
            self._show()

    def showEvent(self, event: Any) -> None:
        super().showEvent(event)
        self._show()

    def _show(self) -> None:
        for name, editor in self.form.editors.items():
            value = getattr(self.record, name)
            if not editor.shows_value or value != editor.value:
                editor.show_value(value)
        sheet = leak_sheet(self.document.build, self.document.layout.name, self._read)
        self.sheet_words.setText(figures.unbroken("\n".join(figures.sentence(each) for each in sheet.sentences)))
        self.verdict.setVisible(sheet.result is not None)
        if sheet.result is not None:
            self.verdict.setText(figures.unbroken(test_words(sheet.result)))
            self.verdict.setProperty("tone", _TONES[sheet.result.verdict])
            self.verdict.style().polish(self.verdict)
        self.note.setEnabled(self._read is not None and self.record != self._noted)
        self.forget.setVisible(self._noted is not None)

    @property
    def _read(self) -> LeakRecord | None:
        """What was typed or noted; None where nothing was read yet."""
        return self.record if self._noted is not None or self.record != LeakRecord() else None

    def _on_wanted(self, name: str, value: Any, editor: FieldEditor) -> None:
        try:
            self.record = LeakRecord.model_validate({**values_of(self.record), name: value})
        except ValidationError as error:
            editor.refuse(f"{editor.field.label}: {error.errors()[0]['msg']}; {editor.field.allowed}")
            return
        editor.show_value(getattr(self.record, name))
        self._show()

    def _on_note(self) -> None:
        self._change(self.record, "Note the leak test")

    def _on_forget(self) -> None:
        self._change(None, "Strike the noted leak test")

    def _change(self, record: LeakRecord | None, text: str) -> None:
        try:
            edit = edits.change_layout(self.document.build, self.document.layout.name, leak_record=record)
        except LoopsimError as error:
            self.verdict.setText(str(error))
            return
        self.edit_wanted.emit(edit._replace(text=text))

    def _lay_out(self) -> None:
        title = QLabel("Readings")
        title.setFont(font(Type.PLAIN, bold=True))
        buttons = QHBoxLayout()
        buttons.setSpacing(STEP)
        buttons.addWidget(self.note)
        buttons.addWidget(self.forget)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, STEP, 0)
        column.setSpacing(STEP)
        for widget in (self.cautions, self.sheet_words, title, self.form, self.verdict):
            column.addWidget(widget)
        column.addLayout(buttons)
        column.addStretch(1)
        column.setAlignment(Qt.AlignmentFlag.AlignTop)


def headline(sheet: LeakSheet) -> str:
    """How high to go, or what the noted test says."""
    if sheet.result is not None:
        said = {"tight": "The loop is tight", "doubtful": "The leak test is doubtful", "leaks": "The loop leaks"}
        return said[sheet.result.verdict]
    if sheet.pressure <= 0:
        return "The weakest part bears no air on top of the liquid"
    return f"Test with air at {figures.amount(sheet.pressure, 'bar')} at most"


def line(sheet: LeakSheet) -> str:
    """What comes first, or what is on record."""
    if sheet.record is None:
        return "Read the cautions below first. No test is noted for this layout yet; what is noted goes into the log."
    ends = (figures.amount(to_si(each, "bar"), "bar") for each in (sheet.record.start_bar, sheet.record.end_bar))
    return "Noted: {} at the start, {} at the end.".format(*ends)


def test_words(test: LeakTest) -> str:
    """What the readings say, in few words."""
    said = {"tight": "tight", "doubtful": "doubtful, test longer", "leaks": "leaks"}[test.verdict]
    missing = figures.told(Sentence(quantity(max(test.unexplained, 0.0), "bar", 3)))
    return f"{_SIGNS[test.verdict]} {said}: {missing} are missing that nothing explains"
