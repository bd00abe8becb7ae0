"""Layouts side by side: a row for each figure, a column for each layout, the best of each row marked."""

from collections.abc import Sequence
from textwrap import wrap
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from app import figures
from app.compare import words
from app.theme import CONTROL, STEP, Theme, Type, font, themes
from loopsim.studies import Comparison

__all__ = ["ComparedTable"]

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole

_LINES, _NAME_LETTERS = 3, 10  # of a layout's name
_LEAST_PX, _MOST_PX = 64, 120  # width of a layout's column
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class _Compared(QAbstractTableModel):
    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.comparison: Comparison | None = None
        self.names: tuple[str, ...] = ()
        self.shows_differences = self.is_old = False

    def rowCount(self, parent: Index | None = None) -> int:
        nested = parent is not None and parent.isValid()
        return 0 if nested or self.comparison is None else len(self.comparison.rows)

    def columnCount(self, parent: Index | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else 1 + len(self.names)

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        row, number = self.comparison.rows[index.row()], index.column() - 1
        if role in (Role.DisplayRole, Role.ToolTipRole):
            heading = words.heading(row) if role == Role.DisplayRole else figures.heading(row.label, row.unit)
            return heading if number < 0 else self._text(index.row(), number)
        if role == Role.TextAlignmentRole:
            return _LEFT if number < 0 else _RIGHT
        is_best = number in row.best
        if role == Role.FontRole:
            return font(Type.SMALL, bold=is_best)
        if role == Role.ForegroundRole and (self.is_old or is_best):
            return themes.current.soft_ink if self.is_old else themes.current.good_text
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Role.DisplayRole) -> Any:
        if orientation == Qt.Orientation.Vertical:
            return None
        if role == Role.DisplayRole:
            return "" if section == 0 else "\n".join(wrap(self.names[section - 1], _NAME_LETTERS)[:_LINES])
        if role == Role.FontRole:
            base = self.comparison.base if self.comparison is not None else -1
            return font(Type.SMALL, bold=section - 1 == base)
        if role == Role.TextAlignmentRole:
            return _LEFT if section == 0 else Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom
        return None

    def _text(self, row: int, number: int) -> str:
        shown, base = self.comparison.rows[row], self.comparison.base
        return words.difference(shown, number, base) if self.shows_differences else words.cell(shown, number)


class ComparedTable(QTableView):
    """Values, or differences from the base, whose name stands in bold."""

    def __init__(self) -> None:
        super().__init__()
        self._compared = _Compared(self)
        self.setModel(self._compared)
        self.setAccessibleName("layouts side by side")
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setWordWrap(False)
        self.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(CONTROL)
        self.verticalHeader().setMinimumSectionSize(CONTROL)
        head = self.horizontalHeader()
        head.setFixedHeight(_LINES * QFontMetrics(font(Type.SMALL)).lineSpacing() + 2 * STEP)
        head.setHighlightSections(False)
        head.setSectionsClickable(False)
        themes.changed.connect(self._on_theme)

    def show_comparison(self, comparison: Comparison | None, names: Sequence[str], old: bool = False) -> None:
        """Show a comparison, its layouts called by these names; `old` dims it."""
        shown = self._compared
        shown.beginResetModel()
        shown.comparison, shown.names, shown.is_old = comparison, tuple(names) if comparison else (), old
        shown.endResetModel()
        self._set_widths()

    def grow_old(self) -> None:
        """Dim what is shown: the sketch is changing."""
        if not self._compared.is_old:
            self._compared.is_old = True
            self.viewport().update()

    def show_differences(self, wanted: bool) -> None:
        """Show differences from the base, or values."""
        self._compared.shows_differences = wanted
        self.viewport().update()

    def texts(self) -> list[list[str]]:
        """What is shown, row by row, without the headings."""
        model = self._compared
        return [
            [model.data(model.index(row, column)) for column in range(model.columnCount())]
            for row in range(model.rowCount())
        ]

    def _set_widths(self) -> None:
        metrics, head = QFontMetrics(font(Type.SMALL, bold=True)), self.horizontalHeader()
        for number, name in enumerate(self._compared.names, start=1):
            texts = [*wrap(name, _NAME_LETTERS), *(row[number] for row in self.texts())]
            wanted = max(metrics.horizontalAdvance(text) for text in texts) + 2 * STEP
            head.setSectionResizeMode(number, QHeaderView.ResizeMode.Fixed)
            self.setColumnWidth(number, min(max(wanted, _LEAST_PX), _MOST_PX))
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)

    def _on_theme(self, _: Theme) -> None:
        self.viewport().update()
