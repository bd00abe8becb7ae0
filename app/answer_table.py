"""A table of answers: names on the left, figures of equal width on the right, units once in the heading."""

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from PySide6.QtCore import QAbstractTableModel, QItemSelectionModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from app.figures import NONE, in_units
from app.theme import CONTROL, STEP, Theme, Type, font, themes

__all__ = ["AnswerTable", "Row"]

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole

_HEAD_PX = 13  # around the words of a heading
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class Row(NamedTuple):
    """One line: the id of the part or tube run it speaks of (empty: none), its cells, whether it needs attention.

    `tone` is the attention that it gets: ``"rust"``, ``"amber"`` or ``"good"``.
    """

    item: str
    cells: tuple[str, ...]
    attention: bool = False
    tone: str = "rust"


class _Rows(QAbstractTableModel):
    def __init__(self, headings: Sequence[str], words: Sequence[int], parent: QWidget) -> None:
        super().__init__(parent)
        self.templates, self.words, self.rows = tuple(headings), frozenset(words), ()
        self.headings = self.in_units()
        self.old = False
        self.is_fine = False

    def in_units(self) -> tuple[str, ...]:
        """The headings in the builder's units of now."""
        return tuple(in_units(each) for each in self.templates)

    def show(self, headings: tuple[str, ...], rows: tuple[Row, ...], old: bool) -> None:
        """Headings and rows change together: no figure ever stands under another's unit."""
        if headings != self.headings:
            self.headings = headings
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, len(headings) - 1)
        self.old = old
        if len(rows) != len(self.rows):
            self.beginResetModel()
            self.rows = rows
            self.endResetModel()
        elif rows:
            self.rows = rows
            self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, len(self.headings) - 1))

    def rowCount(self, parent: Index | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.headings)

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        row = self.rows[index.row()]
        if role in (Role.DisplayRole, Role.ToolTipRole):
            return row.cells[index.column()]
        if role == Role.TextAlignmentRole:
            return _LEFT if index.column() in self.words else _RIGHT
        if role == Role.FontRole and self.is_fine:
            return font(Type.SMALL)
        if role == Role.ForegroundRole and (self.old or row.attention):
            return themes.current.soft_ink if self.old else getattr(themes.current, f"{row.tone}_text")
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Role.DisplayRole) -> Any:
        if orientation == Qt.Orientation.Vertical:
            return None
        if role == Role.DisplayRole:
            return self.headings[section]
        if role == Role.FontRole:
            return font(Type.SMALL)
        if role == Role.TextAlignmentRole:
            return _LEFT if section in self.words else _RIGHT
        return None


class AnswerTable(QTableView):
    """Rows that speak of parts; choosing one chooses its part everywhere.

    Parameters
    ----------
    headings : sequence of str
        A unit as its ending in braces, for the builder's own to stand there: ``"flow, {l_h}"``.
    words : sequence of int
        Columns that hold words, and are aligned left.
    all_rows : bool
        Show every row at once, and leave scrolling to whoever holds the table; out of sight while there is none.
    is_fine : bool
        Small type, for long names.
    """

    chosen = Signal(object)  # frozenset of ids

    def __init__(
        self, headings: Sequence[str], words: Sequence[int] = (0,), all_rows: bool = False, is_fine: bool = False
    ) -> None:
        super().__init__()
        self.all_rows = all_rows
        self._told = False
        self._shown: tuple[tuple[str, ...], tuple[Row, ...], bool] | None = None
        self._rows = _Rows(headings, words, self)
        self._rows.is_fine = is_fine
        self.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self.setModel(self._rows)
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._set_sizes()
        if all_rows:
            self.hide()
        self.selectionModel().selectionChanged.connect(self._on_selected)
        themes.changed.connect(self._on_theme)

    def show_rows(self, rows: Iterable[Row], old: bool = False) -> None:
        """Show these rows, without columns that hold nothing; `old` dims them. What is selected stays selected.

        Figures are in the builder's units of now, and so are the headings.
        """
        wanted = self._rows.in_units(), tuple(rows), old
        if wanted == self._shown:
            return
        self._shown = wanted
        self._rows.show(*wanted)
        for column in range(1, len(self._rows.headings)):
            empty = all(row.cells[column] == NONE for row in self._rows.rows)
            self.setColumnHidden(column, empty)
        if self._rows.is_fine:
            self._fit_columns()
        if self.all_rows:
            self.setVisible(bool(self._rows.rows))  # headings over nothing would look like an answer
            self.setFixedHeight(self.horizontalHeader().height() + CONTROL * len(self._rows.rows) + 2)

    def _fit_columns(self) -> None:
        """Give every column but the first just the room its words need, so that names keep the rest."""
        metrics = QFontMetrics(font(Type.SMALL))
        wide = metrics.horizontalAdvance
        for column, heading in enumerate(self._rows.headings[1:], start=1):
            cells = max((wide(row.cells[column]) for row in self._rows.rows), default=0)
            self.setColumnWidth(column, max(cells + 2 * STEP, *(wide(each) + _HEAD_PX for each in heading.split("\n"))))

    def headings(self) -> tuple[str, ...]:
        """What stands above the rows."""
        return self._rows.headings

    def rows(self) -> tuple[Row, ...]:
        """What is shown."""
        return self._rows.rows

    def choose(self, ids: frozenset[str]) -> None:
        """Select the first row of these parts, without telling anyone."""
        number = next((n for n, row in enumerate(self._rows.rows) if row.item and row.item in ids), None)
        self._told = True
        if number is None:
            self.clearSelection()
        elif not self.selectionModel().isRowSelected(number, QModelIndex()):
            index = self._rows.index(number, 0)
            flags = QItemSelectionModel.SelectionFlag
            self.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)
        self._told = False

    def _set_sizes(self) -> None:
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(CONTROL)
        self.verticalHeader().setMinimumSectionSize(CONTROL)
        head = self.horizontalHeader()
        lines = 1 + max(heading.count("\n") for heading in self._rows.headings)
        head.setFixedHeight(CONTROL + 4 + (lines - 1) * QFontMetrics(font(Type.SMALL)).lineSpacing())
        head.setHighlightSections(False)
        head.setSectionsClickable(False)
        fine = QHeaderView.ResizeMode.Fixed if self._rows.is_fine else QHeaderView.ResizeMode.ResizeToContents
        head.setSectionResizeMode(fine)
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)

    def _on_selected(self) -> None:
        if self._told:
            return
        rows = [index.row() for index in self.selectionModel().selectedRows()]
        self.chosen.emit(frozenset(self._rows.rows[row].item for row in rows if self._rows.rows[row].item))

    def _on_theme(self, _: Theme) -> None:
        self.viewport().update()
