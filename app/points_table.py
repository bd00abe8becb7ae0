"""The cells of a table of points: typed, added, dropped, copied; pasted by whoever owns the table."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFocusEvent, QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from app import figures
from app.field_editors import number_from
from app.theme import CONTROL, Type, font
from loopsim.fields import FieldDescription, Record

__all__ = ["PointsTable"]

_COLUMN = 104  # width of a column [px]
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class PointsTable(QTableWidget):
    """Cells for records of the fields `columns`.

    Signals
    -------
    typed(), pasted(), given_up(), reached()
        A cell was changed by hand; rows are to be pasted; Esc was pressed; the keyboard came here.
    """

    typed = Signal()
    pasted = Signal()
    given_up = Signal()
    reached = Signal()

    def __init__(self, columns: Sequence[FieldDescription], parent: QWidget) -> None:
        super().__init__(0, len(columns), parent)
        self.columns = columns
        for at, column in enumerate(columns):
            self.setHorizontalHeaderItem(at, _head(column))
        self.setItemDelegate(_Cell(columns, self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        for policy in (self.setHorizontalScrollBarPolicy, self.setVerticalScrollBarPolicy):
            policy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(CONTROL)
        head = self.horizontalHeader()
        head.setFixedHeight(CONTROL + 4)
        head.setSectionsClickable(False)
        head.setHighlightSections(False)
        head.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.setMaximumWidth(_COLUMN * len(columns))
        self.itemChanged.connect(lambda _: self.typed.emit())

    def show_records(self, records: Sequence[Record]) -> None:
        """Show these rows; the current cell stays."""
        rows = [[_written(getattr(record, column.name)) for column in self.columns] for record in records]
        self.blockSignals(True)
        self.setRowCount(len(rows))
        self._write(rows, 0)
        self.blockSignals(False)
        self._fit()

    def write(self, rows: list[list[str]], start: int) -> None:
        """Put rows from `start` on, and drop those behind them."""
        self.blockSignals(True)
        self.setRowCount(start + len(rows))
        self._write(rows, start)
        self.blockSignals(False)
        self._fit()

    def insert_after_current(self) -> None:
        """A row of the defaults, with a gap where there is none, to be typed into at once."""
        at = self.currentRow() + 1 if self.currentRow() >= 0 else self.rowCount()
        self.blockSignals(True)
        self.insertRow(at)
        self._write([[_written(column.default) for column in self.columns]], at)
        self.blockSignals(False)
        self._fit()
        self.setCurrentCell(at, 0)
        self.setFocus()

    def drop_current(self) -> None:
        """Without the current row."""
        self.removeRow(self.currentRow())
        self._fit()

    def read(self) -> tuple[list[dict[str, Any]], str]:
        """The rows, and what is still missing in words (empty: nothing)."""
        rows, missing = [], ""
        for number in range(self.rowCount()):
            row = {}
            for at, column in enumerate(self.columns):
                item = self.item(number, at)
                text = item.text().strip() if item else ""
                if not text:
                    missing = missing or f"row {number + 1} has no {column.label} yet"
                elif column.shape == "number":
                    row[column.name] = _number(text, column, number)
                else:
                    row[column.name] = text
            rows.append(row)
        return rows, missing

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Paste):
            self.pasted.emit()
        elif event.matches(QKeySequence.StandardKey.Copy):
            QGuiApplication.clipboard().setText(self._as_text())
        elif event.key() == Qt.Key.Key_Escape and self.state() != QAbstractItemView.State.EditingState:
            self.given_up.emit()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.reached.emit()

    def _write(self, rows: list[list[str]], start: int) -> None:
        for number, row in enumerate(rows, start):
            for at, text in enumerate(row):
                item = self.item(number, at)
                if item is None:
                    item = QTableWidgetItem()
                    if self.columns[at].shape == "number":
                        item.setTextAlignment(_RIGHT)
                    self.setItem(number, at, item)
                if item.text() != text:
                    item.setText(text)

    def _as_text(self) -> str:
        cells = ((self.item(row, at) for at in range(self.columnCount())) for row in range(self.rowCount()))
        return "\n".join("\t".join(item.text() if item else "" for item in row) for row in cells)

    def _fit(self) -> None:
        self.setFixedHeight(CONTROL * max(self.rowCount(), 1) + self.horizontalHeader().height() + 2)
        self.viewport().update()


class _Cell(QStyledItemDelegate):
    """Editor of one cell: a line, or a box of choices."""

    def __init__(self, columns: Sequence[FieldDescription], parent: QWidget) -> None:
        super().__init__(parent)
        self.columns = columns

    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        choices = self.columns[index.column()].choices
        if not choices:
            return super().createEditor(parent, option, index)
        box = QComboBox(parent)
        box.addItems(choices)
        box.activated.connect(lambda _: self._on_chosen(box))
        return box

    def _on_chosen(self, box: QComboBox) -> None:
        self.commitData.emit(box)
        self.closeEditor.emit(box)


def _head(column: FieldDescription) -> QTableWidgetItem:
    """Heading of a column, over its figures."""
    item = QTableWidgetItem(f"{column.label}, {column.unit_label}" if column.unit_label else column.label)
    item.setFont(font(Type.SMALL))
    item.setToolTip(column.help)
    item.setTextAlignment(_RIGHT if column.shape == "number" else _LEFT)
    return item


def _written(value: Any) -> str:
    if value is None:
        return ""
    return figures.plain(value) if isinstance(value, int | float) else str(value)


def _number(text: str, column: FieldDescription, row: int) -> float:
    try:
        return number_from(text, column)
    except ValueError as error:
        raise ValueError(f"row {row + 1}: {error}") from None
