"""A list of arrangements: a small drawing of each, its order in words, and its figures."""

from collections.abc import Iterable
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPixmap
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
from app.plan.small import small_plan
from app.theme import STEP, Theme, Type, font, themes
from loopsim.studies.arranging import Arrangement

__all__ = ["OrderList", "figures_of"]

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole

_PICTURE = QSize(148, 88)
_ROW_PX = _PICTURE.height() + 2 * (STEP // 2) + 1
_ROWS_SEEN = 3
_OLD = 0.45  # opacity of what belongs to an earlier sketch


def figures_of(each: Arrangement) -> str:
    """Flow, margin, tube and high points in a line."""
    kelvin = figures.label("k")
    margin = "no margin" if each.margin is None else f"{figures.banded(each.margin, 'k', 0.0)} {kelvin} left"
    points = "high point" if each.high_points == 1 else "high points"
    flow, tube = figures.amount(each.flow, "l_h"), figures.amount(each.tube, "m")
    return figures.unbroken(f"{flow}, {margin}, {tube} of tube, {each.high_points} {points}")


class _Orders(QAbstractListModel):
    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.rows: tuple[Arrangement, ...] = ()

    def show(self, rows: tuple[Arrangement, ...]) -> None:
        self.beginResetModel()
        self.rows = rows
        self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        return 0 if parent is not None and parent.isValid() else len(self.rows)

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        if role not in (Role.DisplayRole, Role.AccessibleTextRole, Role.ToolTipRole):
            return None
        each = self.rows[index.row()]
        return f"{each.words}: {figures_of(each)}"


class OrderList(QListView):
    """Arrangements, the best first; choosing a row brings it into view.

    Signals
    -------
    chosen(Arrangement or None)
    """

    chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._orders = _Orders(self)
        self._pictures: dict[tuple[int, str], QPixmap] = {}
        self.setModel(self._orders)
        self.setItemDelegate(_Lines(self))
        self.setAccessibleName("arrangements")
        self.setUniformItemSizes(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.selectionModel().currentChanged.connect(lambda *_: self.chosen.emit(self.in_view))
        themes.changed.connect(self._on_theme)

    @property
    def rows(self) -> tuple[Arrangement, ...]:
        """What is shown."""
        return self._orders.rows

    @property
    def in_view(self) -> Arrangement | None:
        """The chosen one."""
        index = self.currentIndex()
        return self.rows[index.row()] if index.isValid() else None

    def show_rows(self, rows: Iterable[Arrangement], old: bool) -> None:
        """Show arrangements, the chosen one staying chosen; `old` dims them."""
        self.itemDelegate().opacity = _OLD if old else 1.0
        shown, chosen = tuple(rows), self.in_view
        if shown != self.rows:
            self._orders.show(shown)
            if chosen in shown:
                self.setCurrentIndex(self._orders.index(shown.index(chosen)))
            kept = {id(each) for each in shown}
            self._pictures = {key: picture for key, picture in self._pictures.items() if key[0] in kept}
        self.viewport().update()

    def picture(self, each: Arrangement) -> QPixmap:
        """Its small drawing, made once for each theme."""
        key = id(each), themes.current.name
        if key not in self._pictures:
            self._pictures[key] = small_plan(each.build, each.layout, _PICTURE, themes.current)
        return self._pictures[key]

    def sizeHint(self) -> QSize:
        return QSize(420, _ROWS_SEEN * _ROW_PX)

    def minimumSizeHint(self) -> QSize:
        return QSize(_PICTURE.width() + 100, 2 * _ROW_PX)

    def _on_theme(self, _: Theme) -> None:
        self.viewport().update()


class _Lines(QStyledItemDelegate):
    """The picture, and beside it the order and the figures."""

    opacity = 1.0

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:  # noqa: ARG002  rows are alike
        return QSize(option.rect.width(), _ROW_PX)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        theme, view = themes.current, self.parent()
        assert isinstance(view, OrderList)
        each = view.rows[index.row()]
        painter.save()
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(option.rect, theme.chosen)
        painter.fillRect(QRect(option.rect.left(), option.rect.bottom(), option.rect.width(), 1), theme.rule)
        painter.setOpacity(self.opacity)
        box = option.rect.adjusted(STEP // 2, STEP // 2, -STEP // 2, -STEP // 2 - 1)
        painter.drawPixmap(box.topLeft(), view.picture(each))
        _write(painter, box.adjusted(_PICTURE.width() + STEP, 0, 0, 0), each, index.row() + 1)
        painter.restore()


def _write(painter: QPainter, box: QRect, each: Arrangement, number: int) -> None:
    """The order above its figures; a long order is cut off rather than written over them."""
    theme, wrapped = themes.current, int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)
    order = f"{number}  {each.words}"
    told = figures_of(each) + ("" if each.is_sound else "; see below")
    painter.setFont(font(Type.SMALL))
    upper = box.adjusted(0, 0, 0, -painter.boundingRect(box, wrapped, told).height() - 2)
    painter.setFont(font(Type.PLAIN))
    painter.setPen(theme.ink)
    used = painter.boundingRect(upper, wrapped, order)
    painter.drawText(upper, wrapped, order)
    painter.setFont(font(Type.SMALL))
    painter.setPen(theme.soft_ink if each.is_sound else theme.amber_text)
    painter.drawText(box.adjusted(0, min(used.height(), upper.height()) + 2, 0, 0), wrapped, told)
