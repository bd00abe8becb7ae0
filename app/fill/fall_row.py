"""The level's fall when the pumps are switched on, as it was read: how much air that stands for."""

from PySide6.QtWidgets import QDoubleSpinBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app import figures
from app.theme import STEP
from loopsim.studies.fill import LevelFall
from loopsim.units import to_si

__all__ = ["FallRow"]

_MOST_MM = 200.0


class FallRow(QWidget):
    """Takes a reading; keeps nothing of it."""

    def __init__(self) -> None:
        super().__init__()
        self.fall: LevelFall | None = None
        self.how, self.words = QLabel(wordWrap=True), QLabel()
        self.read = QDoubleSpinBox(maximum=_MOST_MM, decimals=1, singleStep=0.5, suffix=" mm")
        self.read.setAccessibleName("fall of the level that was read")
        row = QHBoxLayout()
        row.setSpacing(STEP)
        for widget in (QLabel("It fell by"), self.read, self.words):
            row.addWidget(widget)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP // 2)
        column.addWidget(self.how)
        column.addLayout(row)
        self.read.valueChanged.connect(lambda _: self._show())

    def show_fall(self, fall: LevelFall | None) -> None:
        """Say what is to be expected of this vessel."""
        self.fall = fall
        self.how.setText("" if fall is None else figures.unbroken(f"{fall.sentence}."))
        self.read.setEnabled(fall is not None and fall.air_per_fall < float("inf"))
        self._show()

    def _show(self) -> None:
        fall_mm = self.read.value()
        if self.fall is None or fall_mm <= 0 or not self.read.isEnabled():
            self.words.clear()
        else:
            air = self.fall.air(to_si(fall_mm, "mm"))
            self.words.setText(figures.unbroken(f"up to {figures.amount(air, 'ml')} of air are inside"))
