"""The pressure budget as a table whose rows are bars, largest first, with the running share."""

from collections.abc import Iterable, Iterator

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from app import figures
from app.answer_table import AnswerTable, Row
from app.theme import themes
from loopsim.studies import Budget, BudgetLine

__all__ = ["BudgetChart"]

_HEADINGS = ("part", "share\n%", "running\n%", "drop\n{kpa}", "flow\n{l_h}", "data")
_PALE, _LEAST_PX, _MARGIN_PX = 0.35, 2.0, 2.0


class BudgetChart(AnswerTable):
    """Parts by what they cost. A bar lies under each name, as long as its share against the largest of its circuit."""

    def __init__(self) -> None:
        super().__init__(_HEADINGS, words=(0, 5), is_fine=True)
        self.setAccessibleName("pressure budget")
        self._bars = _Bars(self)
        self.setItemDelegateForColumn(0, self._bars)

    def show_budgets(self, budgets: Iterable[Budget]) -> None:
        """Show the budget of each circuit, under its name where there are several."""
        pairs = [pair for budget in budgets for pair in _rows(budget)]
        self._bars.lengths = [length for _, length in pairs]
        self.show_rows(row for row, _ in pairs)
        self.clearSpans()
        for number, (row, _) in enumerate(pairs):
            if not row.item:
                self.setSpan(number, 0, 1, len(_HEADINGS))

    def bar_lengths(self) -> list[float]:
        """Length of each row's bar, against the largest; 0 for a circuit's name."""
        return list(self._bars.lengths)


class _Bars(QStyledItemDelegate):
    """Draws a pale bar behind a cell's words."""

    def __init__(self, parent: AnswerTable) -> None:
        super().__init__(parent)
        self.lengths: list[float] = []

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """The bar under the words; on a selected row, whose ground would hide it, over them."""
        selected = bool(option.state & QStyle.StateFlag.State_Selected)
        if not selected:
            self._paint_bar(painter, QRectF(option.rect), index.row())
        super().paint(painter, option, index)
        if selected:
            self._paint_bar(painter, QRectF(option.rect), index.row())

    def _paint_bar(self, painter: QPainter, cell: QRectF, row: int) -> None:
        length = self.lengths[row] if row < len(self.lengths) else 0.0
        if length > 0:
            bar = cell.adjusted(0, _MARGIN_PX, 0, -_MARGIN_PX - 1)
            bar.setWidth(max(_LEAST_PX, length * bar.width()))
            pale = QColor(themes.current.liquid)
            pale.setAlphaF(_PALE)
            painter.fillRect(bar, pale)


def _rows(budget: Budget) -> Iterator[tuple[Row, float]]:
    """Rows with the length of their bars."""
    if budget.circuit:
        yield Row("", (f"Circuit of {budget.circuit}", *[""] * (len(_HEADINGS) - 1))), 0.0
    largest = budget.lines[0].part.share
    yield from ((_row(line), line.part.share / largest) for line in budget.lines)


def _row(line: BudgetLine) -> Row:
    part = line.part
    data = ", ".join(each for each in (part.provenance or "", "beyond" if part.beyond_data else "") if each)
    cells = (
        part.name,
        figures.percent(part.share),
        figures.percent(line.running),
        figures.number(abs(part.dp), "kpa"),
        figures.number(abs(part.flow), "l_h"),
        data or figures.NONE,
    )
    return Row(part.id, cells)
