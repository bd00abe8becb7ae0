"""A table of points: rows to add, remove and paste, and below them where the points come from."""

from typing import Any

from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from app.field_editors import EDITORS, FieldEditor
from app.field_grid import FieldGrid
from app.pasted import rows_from
from app.points_table import PointsTable
from app.theme import STEP, Type, font
from loopsim.fields import FieldDescription, Record, describe

__all__ = ["PointsEditor"]


class PointsEditor(FieldEditor):
    """Editor of a tuple of records, or of a curve: a record that holds them under `points`."""

    def __init__(self, field: FieldDescription, parent: QWidget | None = None) -> None:
        super().__init__(field, parent)
        self.table = PointsTable(field.columns, self)
        self.note = QLabel(self, visible=False, wordWrap=True)
        self.note.setProperty("tone", "soft")
        self.note.setFont(font(Type.SMALL))
        self.own = FieldGrid(self)  # the curve's own fields; they are known with the first curve
        self._asking: FieldEditor | None = None
        self._pending = False
        self._column.addWidget(self.table)
        self._column.addWidget(self.note)
        self._column.addWidget(self.refusal)
        self._column.addLayout(self._buttons())
        self._column.addWidget(self.own)
        self.setFocusProxy(self.table)
        self.table.setAccessibleName(field.label)
        self.table.setAccessibleDescription(field.help)
        self.table.typed.connect(self._on_typed)
        self.table.pasted.connect(self.paste)
        self.table.given_up.connect(self.restore)
        self.table.reached.connect(lambda: self.reached.emit(self.field))

    @property
    def is_pending(self) -> bool:
        return super().is_pending or self._pending

    def refuse(self, why: str) -> None:
        if self._asking is not None:
            self._asking.refuse(why)
        else:
            self._pending = True
            super().refuse(why)

    def paste(self) -> None:
        """Put rows from the clipboard in place of those from the current row on; of all, if there is none."""
        try:
            rows = rows_from(QGuiApplication.clipboard().text(), len(self.field.columns))
        except ValueError as error:
            self._asking = None
            self.refuse(str(error))
            return
        self.table.write(rows, max(self.table.currentRow(), 0))
        self._on_typed()

    def add_row(self) -> None:
        """An empty row after the current one; it counts once it is complete."""
        self.table.insert_after_current()
        self._on_typed()

    def remove_row(self) -> None:
        """Take the current row away."""
        if self.table.currentRow() >= 0:
            self.table.drop_current()
            self._on_typed()

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(STEP)
        for text, action in (("Add row", self.add_row), ("Remove row", self.remove_row), ("Paste rows", self.paste)):
            button = QPushButton(text, self, flat=True)
            button.clicked.connect(action)
            row.addWidget(button)
        row.addStretch(1)
        return row

    def _display(self, value: Any) -> None:
        self._asking, self._pending = None, False
        self.note.hide()
        rows = value.points if isinstance(value, Record) else value or ()
        self.table.show_records(rows)
        curve = value if isinstance(value, Record) else None
        self.own.setVisible(curve is not None)
        if curve is not None:
            self._display_own(curve)

    def _display_own(self, curve: Record) -> None:
        if not self.own.editors:
            for holder, fields in _own_fields(curve):
                if holder:
                    self.own.add_caption(f"{holder} of the points")
                for each in fields:
                    editor = self.own.add(f"{holder}.{each.name}", each, EDITORS[each.shape](each, self))
                    editor.wanted.connect(lambda value, h=holder, n=each.name, e=editor: self._on_own(h, n, value, e))
                    editor.reached.connect(self.reached)
        for key, editor in self.own.editors.items():
            holder, _, name = key.partition(".")
            editor.show_value(getattr(getattr(curve, holder) if holder else curve, name))

    def _on_own(self, holder: str, name: str, value: Any, editor: FieldEditor) -> None:
        self._asking = editor
        curve = self.value
        if holder:
            value = {**_values(getattr(curve, holder)), name: value}
        self.wanted.emit({**_values(curve), (holder or name): value})

    def _on_typed(self) -> None:
        """Offer the rows once all of them are complete."""
        self._asking, self._pending = None, True
        self._set_refusal("")
        try:
            rows, missing = self.table.read()
        except ValueError as error:
            self.refuse(str(error))
            return
        self.note.setText(f"{missing}; Esc takes it back" if missing else "")
        self.note.setVisible(bool(missing))
        if not missing:
            self.wanted.emit(self._whole(rows))

    def _whole(self, rows: list[dict[str, Any]]) -> Any:
        """The value that these rows make."""
        if isinstance(self.value, tuple):
            return rows
        if not rows and self.field.default is None:
            return None  # an optional curve without points is none
        return {**(_values(self.value) if self.value is not None else {}), "points": rows}


def _values(record: Record) -> dict[str, Any]:
    return {name: getattr(record, name) for name in type(record).model_fields}


def _own_fields(curve: Record) -> list[tuple[str, tuple[FieldDescription, ...]]]:
    """Fields of the curve beside its points, then those of the records inside it, by the name that holds them."""
    own = tuple(field for field in describe(type(curve)) if field.shape != "points")
    inner = [(name, value) for name, value in _values(curve).items() if isinstance(value, Record)]
    return [("", own), *((name, describe(type(value))) for name, value in inner)]
