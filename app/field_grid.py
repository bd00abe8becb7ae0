"""Fields below one another: label on the left, editor beside it."""

from collections.abc import Collection

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.field_editors import FieldEditor
from app.theme import CONTROL, STEP, Type, font
from loopsim.fields import FieldDescription

__all__ = ["FieldGrid"]

_LABEL = 136  # width of the labels [px]


class FieldGrid(QWidget):
    """Editors by name, aligned; tables of points stand below their label, details of a record below both."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.editors: dict[str, FieldEditor] = {}
        self._rows: dict[str, list[QWidget]] = {}
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(STEP)
        self._grid.setVerticalSpacing(STEP // 2)
        self._grid.setColumnMinimumWidth(0, _LABEL)
        self._grid.setColumnStretch(1, 1)

    def add(self, name: str, field: FieldDescription, editor: FieldEditor) -> FieldEditor:
        """Put an editor below the others."""
        label = QLabel(field.label, self)
        label.setBuddy(editor)
        label.setToolTip(field.help)
        label.setMinimumHeight(CONTROL)
        row = self._grid.rowCount()
        self._rows[name] = [label, editor]
        if field.shape == "points":
            label.setContentsMargins(0, STEP, 0, 0)
            self._grid.addWidget(label, row, 0, 1, 2)
            self._rows[name].append(_soft(field.help))
            self._grid.addWidget(self._rows[name][-1], row + 1, 0, 1, 2)
            self._grid.addWidget(editor, row + 2, 0, 1, 2)
        else:
            self._grid.addWidget(label, row, 0, Qt.AlignmentFlag.AlignTop)
            self._grid.addWidget(editor, row, 1)
        if editor.details is not None:
            self._grid.addWidget(editor.details, row + 1, 0, 1, 2)
        self.editors[name] = editor
        return editor

    def hide_rows(self, names: Collection[str]) -> None:
        """Show every field but these; one that holds what has not been taken yet stays."""
        for name, widgets in self._rows.items():
            editor = self.editors[name]
            is_shown = name not in names or editor.is_pending
            for widget in widgets:
                widget.setVisible(is_shown)
            if editor.details is not None:
                editor.details.setVisible(is_shown and editor.is_open)


def _soft(text: str) -> QLabel:
    label = QLabel(text, wordWrap=True)
    label.setProperty("tone", "soft")
    label.setFont(font(Type.SMALL))
    return label
