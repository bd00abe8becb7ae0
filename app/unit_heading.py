"""Headings over the columns of a table of points: the label, and below it a choice of units where there is one."""

from collections.abc import Sequence

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtWidgets import QHeaderView, QWidget

from app.field_editors import QuietBox
from app.pasted_columns import units_of
from app.theme import CONTROL, Type, font
from loopsim.fields import FieldDescription
from loopsim.units import Unit

__all__ = ["UnitHeading"]

_ARROW = 26  # room for the arrow of a box and its margins [px]


class UnitHeading(QHeaderView):
    """The heading row of a table.

    Signals
    -------
    chosen(int, Unit)
        A column is to be shown and read in this unit.
    """

    chosen = Signal(int, object)

    def __init__(self, columns: Sequence[FieldDescription], parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.offered = [units_of(column) for column in columns]
        self.boxes = {at: self._box(at, columns[at]) for at, units in enumerate(self.offered) if len(units) > 1}
        self.setFixedHeight(2 * CONTROL - 4 if self.boxes else CONTROL + 4)
        self.setSectionsClickable(False)
        self.setHighlightSections(False)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.sectionResized.connect(lambda *_: self.place())
        self.geometriesChanged.connect(self.place)

    def show_unit(self, at: int, unit: Unit) -> None:
        """Show the unit of a column."""
        if at in self.boxes:
            self.boxes[at].setCurrentIndex(self.offered[at].index(unit))
            self.place()

    def _box(self, at: int, column: FieldDescription) -> QuietBox:
        box = QuietBox(self)
        box.setFont(font(Type.SMALL))
        box.addItems([unit.label for unit in self.offered[at]])
        box.setAccessibleName(f"unit of {column.label}")
        box.setToolTip(f"unit in which {column.label} is shown, typed and pasted; the file keeps {column.unit_label}")
        box.view().setMinimumWidth(
            max(box.fontMetrics().horizontalAdvance(unit.label) for unit in self.offered[at]) + 24
        )
        box.activated.connect(lambda number: self.chosen.emit(at, self.offered[at][number]))
        return box

    def place(self) -> None:
        """Each box at the right of its column, over the figures, as wide as its unit."""
        for at, box in self.boxes.items():
            size = QSize(box.fontMetrics().horizontalAdvance(box.currentText()) + _ARROW, CONTROL - 2)
            right = self.sectionViewportPosition(at) + self.sectionSize(at)
            left = max(right - size.width(), self.sectionViewportPosition(at))
            box.setGeometry(QRect(left, self.height() - size.height() - 1, right - left, size.height()))
