"""The list of failures: for each its verdict with a sign and in words, and below it what it leads to."""

from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app import figures
from app.failing import words
from app.failing.rows import CaseRow
from app.theme import STEP, Theme, Type, font, themes
from loopsim.studies import FailureOutcome

__all__ = ["CaseList"]

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole
Side = Qt.AlignmentFlag

_ROW_PX = 42
_SIGN_PX = 20  # before the words
_OLD = 0.45  # opacity of what belongs to an earlier sketch
_HEALTHY = "Everything in order"


class _Cases(QAbstractListModel):
    """The healthy machine first, then the cases."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.rows: tuple[CaseRow, ...] = ()
        self.healthy = ""

    def show(self, rows: tuple[CaseRow, ...], healthy: str) -> None:
        same = [row.title for row in rows] == [row.title for row in self.rows]
        if not same:
            self.beginResetModel()
        self.rows, self.healthy = rows, healthy
        if same:
            self.dataChanged.emit(self.index(0), self.index(len(rows)))
        else:
            self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.rows) + 1

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        if role not in (Role.DisplayRole, Role.ToolTipRole, Role.AccessibleTextRole):
            return None
        row = self.row(index)
        if row is None:
            return f"{_HEALTHY}: {self.healthy}"
        first = row.outcomes[0]
        if role == Role.ToolTipRole:
            return "<br>".join(figures.told(each.failure.title) for each in row.outcomes)
        return f"{figures.told(row.title)}: {words.verdict(first)}. {words.figures_of(first)}"

    def row(self, index: Index) -> CaseRow | None:
        """The row of a place in the list; None for the healthy machine."""
        return self.rows[index.row() - 1] if index.row() > 0 else None


class CaseList(QListView):
    """Choosing a row brings its case into view.

    Signals
    -------
    chosen(FailureOutcome or None)
    """

    chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._cases = _Cases(self)
        self._told = False
        self.setModel(self._cases)
        self.setItemDelegate(_Lines(self))
        self.setAccessibleName("failures by verdict")
        self.setUniformItemSizes(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.selectionModel().currentChanged.connect(self._on_current)
        themes.changed.connect(self._on_theme)

    @property
    def rows(self) -> tuple[CaseRow, ...]:
        """What is shown, without the healthy machine."""
        return self._cases.rows

    def show_rows(self, rows: tuple[CaseRow, ...], healthy: str, old: bool) -> None:
        """Show cases below the healthy machine's figures; `old` dims them. The very same once more cost nothing."""
        opacity = _OLD if old else 1.0
        if rows is not self.rows or (healthy, opacity) != (self._cases.healthy, self.itemDelegate().opacity):
            self.itemDelegate().opacity = opacity
            self._cases.show(rows, healthy)
            self.viewport().update()

    def choose(self, outcome: FailureOutcome | None) -> None:
        """Mark the row of a case, without telling anyone."""
        title = outcome.failure.title if outcome is not None else None
        found = (n for n, row in enumerate(self.rows, 1) if any(each.failure.title == title for each in row.outcomes))
        index = self._cases.index(next(found, 0))
        self._told = True
        self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.ClearAndSelect)
        self._told = False

    def sizeHint(self) -> QSize:
        return QSize(420, 6 * _ROW_PX)

    def minimumSizeHint(self) -> QSize:
        return QSize(200, 3 * _ROW_PX)

    def _on_current(self, current: QModelIndex, _: QModelIndex) -> None:
        if not self._told and current.isValid():
            row = self._cases.row(current)
            self.chosen.emit(None if row is None else row.outcomes[0])

    def _on_theme(self, _: Theme) -> None:
        self.viewport().update()


class _Lines(QStyledItemDelegate):
    """Two lines: sign, title and verdict; then the figures."""

    opacity = 1.0

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:  # noqa: ARG002
        return QSize(100, _ROW_PX)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        theme, model = themes.current, index.model()
        row = model.row(index)
        painter.save()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(option.rect, theme.chosen)
        painter.fillRect(QRect(option.rect.left(), option.rect.bottom(), option.rect.width(), 1), theme.rule)
        painter.setOpacity(self.opacity)
        if row is None:
            _paint(painter, option.rect, ("", _HEALTHY, "", model.healthy), theme.ink)
        else:
            first = row.outcomes[0]
            texts = words.SIGNS[row.verdict], figures.told(row.title), words.verdict(first), words.figures_of(first)
            _paint(painter, option.rect, texts, getattr(theme, words.ROLES[row.verdict]))
        painter.restore()


def _paint(painter: QPainter, row: QRect, texts: tuple[str, str, str, str], tone: QColor) -> None:
    sign, title, verdict, numbers = texts
    theme, small = themes.current, font(Type.SMALL)
    upper = row.adjusted(STEP // 2, 3, -STEP // 2, -_ROW_PX // 2)
    lower = row.adjusted(STEP // 2, _ROW_PX // 2, -STEP // 2, -3)
    wide = QFontMetrics(font(Type.PLAIN)).horizontalAdvance(verdict)
    painter.setFont(font(Type.PLAIN, bold=bool(sign)))
    painter.setPen(tone)
    painter.drawText(upper, Side.AlignLeft | Side.AlignVCenter, sign)
    painter.setFont(font(Type.PLAIN))
    painter.drawText(upper, Side.AlignRight | Side.AlignVCenter, verdict)
    painter.setPen(theme.ink)
    _elided(painter, upper.adjusted(_SIGN_PX, 0, -wide - STEP, 0), title)
    painter.setFont(small)
    painter.setPen(theme.soft_ink)
    _elided(painter, lower.adjusted(_SIGN_PX, 0, 0, 0), numbers)


def _elided(painter: QPainter, box: QRect, text: str) -> None:
    shown = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, box.width())
    painter.drawText(box, Side.AlignLeft | Side.AlignVCenter, shown)
