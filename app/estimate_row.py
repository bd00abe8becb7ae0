"""A curve from a few numbers, for a builder who has no points: what the numbers are, the numbers, and a button."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.field_editors import QuietBox
from app.points_table import PointsTable
from app.theme import STEP, Type, font
from loopsim.curves import Estimate
from loopsim.errors import LoopsimError
from loopsim.fields import describe

__all__ = ["EstimateRow"]


class EstimateRow(QWidget):
    """Numbers of one of several kinds of estimates.

    Signals
    -------
    made(DataCurve, str)
        A curve, and what it was made from.
    """

    made = Signal(object, str)

    def __init__(self, kinds: Sequence[type[Estimate]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kinds = kinds
        self.box = QuietBox(self)
        self.box.addItems([kind.title for kind in kinds])
        self.box.setAccessibleName("what the curve is estimated from")
        self.box.activated.connect(self._on_kind)
        self.tables = [self._table(kind) for kind in kinds]
        self.refusal = QLabel(self, wordWrap=True, visible=False)
        self.refusal.setProperty("tone", "rust")
        self.refusal.setFont(font(Type.SMALL))
        self.button = QPushButton("Fill the table", self)
        self.button.clicked.connect(self.fill)
        self._lay_out()
        self._on_kind(0)

    @property
    def table(self) -> PointsTable:
        """The numbers of the kind in view."""
        return self.tables[self.box.currentIndex()]

    def fill(self) -> None:
        """Make the curve, or say what is missing."""
        kind = self.kinds[self.box.currentIndex()]
        try:
            (numbers,), _ = self.table.read()
            missing = [column.label for column in self.table.columns if numbers[column.name] is None]
            if missing:
                raise ValueError(f"missing: {', '.join(missing)}")
            curve = kind(**numbers).curve()
        except (ValueError, LoopsimError) as error:
            self._refuse(str(error).removeprefix("row 1: "))
            return
        self._refuse("")
        self.made.emit(curve, kind.title)

    def _table(self, kind: type[Estimate]) -> PointsTable:
        table = PointsTable(describe(kind), self)
        table.setAccessibleName(kind.title)
        table.write([[column.default for column in table.columns]])
        table.pasted.connect(self._on_pasted)
        table.typed.connect(lambda: self._refuse(""))
        return table

    def _lay_out(self) -> None:
        choice = QHBoxLayout()
        choice.setSpacing(STEP)
        choice.addWidget(QLabel("from"))
        choice.addWidget(self.box)
        choice.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, STEP)
        column.setSpacing(STEP // 2)
        column.addLayout(choice)
        for table in self.tables:
            column.addWidget(table)
        column.addWidget(self.refusal)
        end = QHBoxLayout()
        end.addWidget(self.button)
        end.addStretch(1)
        column.addLayout(end)

    def _on_kind(self, number: int) -> None:
        for at, table in enumerate(self.tables):
            table.setVisible(at == number)
        self._refuse("")

    def _on_pasted(self) -> None:
        try:
            self.table.paste()
        except ValueError as error:
            self._refuse(str(error))
            return
        pasted = self.table.rowCount()
        self.table.keep_rows(1)
        self._refuse(f"one row of numbers is wanted here, {pasted} were pasted: the first stands" if pasted > 1 else "")

    def _refuse(self, why: str) -> None:
        self.refusal.setText(why)
        self.refusal.setVisible(bool(why))
