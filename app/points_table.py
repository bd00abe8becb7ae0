"""The cells of a table of points: typed, added, dropped, copied; pasted by whoever owns the table.

Each column is shown and read in a unit that its heading chooses. What the document holds stays in the file's unit: a
cell that nobody touched gives back the very value that it shows rounded.
"""

from collections.abc import Iterator, Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QGuiApplication, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QTableWidget, QTableWidgetItem, QWidget

from app import figures
from app.measures import measures
from app.pasted import pasted_from
from app.pasted_columns import fitted, units_of
from app.points_cell import PointsCell
from app.theme import CONTROL, Type, font
from app.typed import typed
from app.unit_heading import UnitHeading
from loopsim.fields import FieldDescription, Record
from loopsim.units import Unit, converted

__all__ = ["CellError", "PointsTable"]

_FEW = 5  # columns that always fit side by side
_LEAST = 70  # width of a column of more than these [px]
_COLUMN = 112  # width of a column [px]
_DIGITS = 5  # of a figure that is shown in another unit than the file's
_LEFT = Qt.AlignmentFlag.AlignLeft
_RIGHT = Qt.AlignmentFlag.AlignRight
_VALUE = Qt.ItemDataRole.UserRole  # what the document holds, in the file's unit


class CellError(ValueError):
    """A cell that cannot be read, and where it is."""

    def __init__(self, why: str, row: int, at: int) -> None:
        super().__init__(f"row {row + 1}: {why}")
        self.row, self.at = row, at


class PointsTable(QTableWidget):
    """Cells for records of the fields `columns`.

    Signals
    -------
    typed(), pasted(), given_up(), reached(), unit_changed()
        A cell was changed by hand; rows are to be pasted; Esc was pressed; the keyboard came here; a column is shown
        in another unit.
    """

    typed = Signal()
    pasted = Signal()
    given_up = Signal()
    reached = Signal()
    unit_changed = Signal()

    def __init__(self, columns: Sequence[FieldDescription], parent: QWidget) -> None:
        super().__init__(0, len(columns), parent)
        self.columns = columns
        self.own_units: list[Unit | None] = [next(iter(units_of(column)), None) for column in columns]
        self.units = [measures.unit(column.unit) if own else None for column, own in self._own()]
        self.density = 1000.0  # of the liquid whose head may be typed as a pressure [kg/m3]
        self.heading = UnitHeading(columns, self)
        self.setHorizontalHeader(self.heading)
        for at, column in enumerate(columns):
            self.setHorizontalHeaderItem(at, _head(column, "" if at in self.heading.boxes else column.unit_label))
        for at, unit in enumerate(self.units):
            if unit is not None:
                self.heading.show_unit(at, unit)
        self.heading.chosen.connect(self.set_unit)
        self.setItemDelegate(PointsCell(columns, self))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        for policy in (self.setHorizontalScrollBarPolicy, self.setVerticalScrollBarPolicy):
            policy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        if len(columns) > _FEW:
            self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
            self.horizontalScrollBar().valueChanged.connect(self.heading.place)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(CONTROL)
        self.setMaximumWidth(_COLUMN * len(columns))
        self.itemChanged.connect(lambda _: self.typed.emit())
        self._fit()

    def offer(self, columns: Sequence[FieldDescription]) -> None:
        """Offer what the columns' choices are now."""
        values = [[self._value(row, at) for at in range(len(columns))] for row in range(self.rowCount())]
        self.columns = self.itemDelegate().columns = columns
        self.blockSignals(True)
        for row, cells in enumerate(values):
            for at, value in enumerate(cells):
                if columns[at].choices and value is not None:
                    self._show(row, at, value)
        self.blockSignals(False)

    def set_unit(self, at: int, unit: Unit) -> None:
        """Show and read a column in this unit from now on; what is typed and not yet taken is converted too."""
        values = [self._value(row, at) for row in range(self.rowCount())]
        self.units[at] = unit
        self.heading.show_unit(at, unit)
        self.blockSignals(True)
        for row, value in enumerate(values):
            if value is not None:
                self._show(row, at, value)
        self.blockSignals(False)
        self.unit_changed.emit()

    def show_records(self, records: Sequence[Record]) -> None:
        """Show these rows; the current cell stays."""
        self.write([[getattr(record, column.name) for column in self.columns] for record in records])

    def write(self, rows: Sequence[Sequence[Any]], start: int = 0) -> None:
        """Put values of the document, or texts as typed, from row `start` on, and drop the rows behind them."""
        self.blockSignals(True)
        self.setRowCount(start + len(rows))
        for row, cells in enumerate(rows, start):
            for at, cell in enumerate(cells):
                self._show(row, at, cell)
        self.blockSignals(False)
        self._fit()

    def paste(self, start: int = 0) -> str:
        """Put the rows of the clipboard from row `start` on, in the units that it names; what was done, in words.

        Raises
        ------
        ValueError
            With a sentence, if the clipboard holds no table that fits; nothing is changed then.
        """
        found = fitted(pasted_from(QGuiApplication.clipboard().text(), len(self.columns) > 1), self.columns)
        for at, unit in enumerate(found.units):
            if unit is not None:
                self.set_unit(at, unit)
        self.write(found.rows, start)
        read_in = (f"{self.columns[at].label} in {unit.label}" for at, unit in enumerate(self.units) if unit)
        rows = "1 row" if len(found.rows) == 1 else f"{len(found.rows)} rows"
        return "; ".join(each for each in (f"{rows} pasted, {', '.join(read_in)}".rstrip(", "), found.note) if each)

    def sort_rising(self) -> bool:
        """Put the rows in the order of their first column, as a table listed from high to low needs; True if it did."""
        values = [self._value(row, 0) for row in range(self.rowCount())]
        if any(value is None for value in values) or values == sorted(values):
            return False
        rows = [[self._held(row, at) for at in range(self.columnCount())] for row in range(self.rowCount())]
        self.write([rows[number] for number in sorted(range(len(rows)), key=values.__getitem__)])
        return True

    def insert_after_current(self) -> None:
        """A row of the defaults, with a gap where there is none, to be typed into at once."""
        at = self.currentRow() + 1 if self.currentRow() >= 0 else self.rowCount()
        self.blockSignals(True)
        self.insertRow(at)
        for place, column in enumerate(self.columns):
            self._show(at, place, column.default)
        self.blockSignals(False)
        self._fit()
        self.setCurrentCell(at, 0)
        self.setFocus()

    def drop_current(self) -> None:
        """Without the current row."""
        self.removeRow(self.currentRow())
        self._fit()

    def titles(self) -> list[str]:
        """Label and unit of each column: ``"flow (L/min)"``."""
        units = (f" ({unit.label})" if unit else "" for unit in self.units)
        return [column.label + unit for column, unit in zip(self.columns, units, strict=True)]

    def keep_rows(self, count: int) -> None:
        """Without the rows behind the first `count`."""
        self.setRowCount(min(count, self.rowCount()))
        self._fit()

    def read(self) -> tuple[list[dict[str, Any]], str]:
        """The rows in the file's units, and what is still missing in words (empty: nothing).

        Raises
        ------
        CellError
            With a sentence, at the first cell that holds something else than its column allows.
        """
        rows = [[self._read(row, at) for at in range(self.columnCount())] for row in range(self.rowCount())]
        gaps = (
            f"row {row + 1} has no {self.columns[at].label} yet"
            for row, cells in enumerate(rows)
            for at, cell in enumerate(cells)
            if cell is None and not self.columns[at].optional
        )
        names = [column.name for column in self.columns]
        return [dict(zip(names, cells, strict=True)) for cells in rows], next(gaps, "")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Columns share the width; many of them keep what their words need, and are scrolled."""
        width = max(self.viewport().width() // len(self.columns), _LEAST if len(self.columns) > _FEW else 0)
        for at in range(len(self.columns)):
            self.setColumnWidth(at, width)
        super().resizeEvent(event)
        self._fit()

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

    def _show(self, row: int, at: int, cell: Any) -> None:
        """Put a value of the document, or a text as it was typed, into a cell."""
        item = self.item(row, at)
        if item is None:
            item = QTableWidgetItem()
            if self.columns[at].shape == "number":
                item.setTextAlignment(_RIGHT | Qt.AlignmentFlag.AlignVCenter)
            self.setItem(row, at, item)
        is_text = isinstance(cell, str) and self.columns[at].shape == "number"
        item.setData(_VALUE, None if is_text else cell)
        text = cell if is_text else self._written(cell, at)
        if item.text() != text:
            item.setText(text)

    def _written(self, value: Any, at: int) -> str:
        """A value as its cell shows it."""
        if value is None:
            return ""
        unit, own = self.units[at], self.own_units[at]
        if unit is None or own is None or unit is own:
            return figures.plain(value) if isinstance(value, int | float) else self.columns[at].label_of(value)
        return figures.plain(float(f"{converted(value, own, unit, self.density):.{_DIGITS}g}"))

    def _own(self) -> Iterator[tuple[FieldDescription, Unit | None]]:
        return zip(self.columns, self.own_units, strict=True)

    def _held(self, row: int, at: int) -> Any:
        """What a cell holds: the document's value that it shows, or a text as it was typed."""
        item = self.item(row, at)
        held, text = (item.data(_VALUE), item.text()) if item else (None, "")
        return held if held is not None and text.strip() == self._written(held, at) else text

    def _value(self, row: int, at: int) -> Any:
        """The value of a cell, None if it is empty or cannot be read."""
        try:
            return self._read(row, at)
        except CellError:
            return None

    def _read(self, row: int, at: int) -> Any:
        item, column = self.item(row, at), self.columns[at]
        text = item.text().strip() if item else ""
        if not text:
            return None
        held = item.data(_VALUE)
        if held is not None and text == self._written(held, at):
            return held
        return column.value_of(text) if column.shape != "number" else self._number(text, row, at)

    def _number(self, text: str, row: int, at: int) -> float:
        column = self.columns[at]
        try:
            return typed(text, column, self.units[at], self.density).value
        except ValueError as error:
            raise CellError(str(error), row, at) from None

    def _as_text(self) -> str:
        """The table as other tables take it, under headings that name the units."""
        rows = [self.titles()]
        for row in range(self.rowCount()):
            items = (self.item(row, at) for at in range(self.columnCount()))
            rows.append([item.text() if item else "" for item in items])
        return "\n".join("\t".join(row) for row in rows)

    def _fit(self) -> None:
        is_scrolled = len(self.columns) > _FEW and self.viewport().width() < _LEAST * len(self.columns)
        bar = self.horizontalScrollBar().sizeHint().height() if is_scrolled else 0
        self.setFixedHeight(CONTROL * max(self.rowCount(), 1) + self.heading.height() + 2 + bar)
        self.viewport().update()


def _head(column: FieldDescription, unit_label: str) -> QTableWidgetItem:
    """Heading of a column, over its figures."""
    item = QTableWidgetItem(f"{column.label}, {unit_label}" if unit_label else column.label)
    item.setFont(font(Type.SMALL))
    item.setToolTip(column.help)
    item.setTextAlignment((_RIGHT if column.shape == "number" else _LEFT) | Qt.AlignmentFlag.AlignTop)
    return item
