"""The editor inside one cell of a table of points: a line, or a box of choices."""

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex
from PySide6.QtWidgets import QComboBox, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from loopsim.fields import FieldDescription

__all__ = ["PointsCell"]


class PointsCell(QStyledItemDelegate):
    """Makes the editor of a cell when it is opened."""

    def __init__(self, columns: Sequence[FieldDescription], parent: QWidget) -> None:
        super().__init__(parent)
        self.columns = columns

    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        column = self.columns[index.column()]
        if not column.choices:
            return super().createEditor(parent, option, index)
        box = QComboBox(parent)
        box.addItems([*([column.empty] if column.optional else []), *(map(column.label_of, column.choices))])
        box.activated.connect(lambda _: self._on_chosen(box))
        return box

    def _on_chosen(self, box: QComboBox) -> None:
        self.commitData.emit(box)
        self.closeEditor.emit(box)
