"""A record inside a record, such as where numbers come from: one line that says it, and its fields on request."""

from collections import Counter
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from app import figures
from app.field_editors import ONE_LINE, FieldEditor
from app.field_grid import FieldGrid
from app.measures import measures
from app.theme import CONTROL, STEP
from loopsim.fields import FieldDescription, Record

__all__ = ["RecordEditor", "values_of"]


class RecordEditor(FieldEditor):
    """Shows a record in words; its fields, made when asked for, stand in `details`, to be put below it."""

    def __init__(self, field: FieldDescription, parent: QWidget | None = None) -> None:
        super().__init__(field, parent)
        self.summary = QLabel(self, wordWrap=True)
        self.summary.setContentsMargins(0, (CONTROL - self.summary.fontMetrics().height()) // 2, 0, 0)
        self.details = FieldGrid(self)
        self.details.setContentsMargins(2 * STEP, 0, 0, STEP)
        self.details.hide()
        self.opener = QPushButton("Change", self, flat=True, checkable=True)
        self.opener.setAccessibleName(f"change {field.label}")
        self.opener.setToolTip(field.help)
        self.opener.toggled.connect(self._on_opened)
        self._asking: FieldEditor | None = None
        row = QHBoxLayout()
        row.setSpacing(STEP)
        row.addWidget(self.summary, 1, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.opener, 0, Qt.AlignmentFlag.AlignTop)
        self._column.addLayout(row)
        self._column.addWidget(self.refusal)
        self.setFocusProxy(self.opener)

    @property
    def is_open(self) -> bool:
        return self.opener.isChecked()

    def refuse(self, why: str) -> None:
        if self._asking is not None:
            self._asking.refuse(why)
        else:
            super().refuse(why)

    def _add_fields(self) -> None:
        for each in self.field.columns:
            editor = self.details.add(each.name, each, ONE_LINE[each.shape](each, self.details))
            editor.wanted.connect(lambda value, n=each.name, e=editor: self._on_wanted(n, value, e))
            editor.reached.connect(self.reached)

    def _on_opened(self, is_open: bool) -> None:
        if not self.details.editors:
            self._add_fields()
            self._show_fields()
        self.opener.setText("Done" if is_open else "Change")
        self.details.setVisible(is_open)
        self.reached.emit(self.field)

    def _on_wanted(self, name: str, value: Any, editor: FieldEditor) -> None:
        self._asking = editor
        self.wanted.emit({**values_of(self.value), name: value})

    def _display(self, value: Any) -> None:
        self._asking = None
        self.summary.setText(_in_words(value, self.field.columns))
        self._show_fields()

    def _show_fields(self) -> None:
        for name, editor in self.details.editors.items():
            editor.show_value(getattr(self.value, name))
        self.details.hide_rows(self.value.idle_fields)


def values_of(record: Record) -> dict[str, Any]:
    """The values of a record's fields by name."""
    return {name: getattr(record, name) for name in type(record).model_fields}


def _in_words(record: Record, fields: tuple[FieldDescription, ...]) -> str:
    """All that a record says and that counts, without what is empty or zero: ``"guess · typical pump · 20 °C"``."""
    counting = [field for field in fields if field.name not in record.idle_fields]
    units = Counter(field.unit for field in counting if field.shape == "number")
    said = ((field, getattr(record, field.name)) for field in counting)
    return " · ".join(
        _word(field, value, units[field.unit] == 1) for field, value in said if value not in (None, "", 0.0)
    )


def _word(field: FieldDescription, value: Any, says_itself: bool) -> str:
    """A value in words; a number is named unless its unit, the only one of its kind, says what it is."""
    if field.shape == "number":
        unit = measures.unit(field.unit)
        shown = figures.in_unit(value, field.unit, unit)
        words = f"{shown} {unit.label}" if unit else f"{shown}"
        return words if unit and says_itself else f"{field.label} {words}"
    return str(value).replace("_", " ") if field.shape == "choice" else str(value)
