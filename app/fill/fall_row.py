"""The level's fall when the pumps are switched on, as it was read: how much air that stands for."""

from PySide6.QtWidgets import QDoubleSpinBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app import figures
from app.measures import measures
from app.theme import STEP
from loopsim.studies.fill import LevelFall

__all__ = ["FallRow"]

_MOST = 0.2  # [m]
_STEP_MM, _STEP_IN = 0.5, 0.02


class FallRow(QWidget):
    """Takes a reading; keeps nothing of it."""

    def __init__(self) -> None:
        super().__init__()
        self.fall: LevelFall | None = None
        self._fall = 0.0  # as it was read [m]
        self.how, self.words = QLabel(wordWrap=True), QLabel()
        self.read = QDoubleSpinBox()
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
        self.read.valueChanged.connect(self._on_read)
        measures.changed.connect(self._on_units)
        self._read_in_own()

    def show_fall(self, fall: LevelFall | None) -> None:
        """Say what is to be expected of this vessel."""
        self.fall = fall
        self.how.setText("" if fall is None else figures.unbroken(figures.sentence(fall.sentence)))
        self.read.setEnabled(fall is not None and fall.air_per_fall < float("inf"))
        self._show()

    def _on_units(self, _: object) -> None:
        fall = self._fall
        self._read_in_own()
        self.read.setValue(figures.in_own(fall, "mm"))

    def _read_in_own(self) -> None:
        """Take the reading in the builder's unit."""
        is_own = measures.is_own("mm")
        self.read.setDecimals(1 if is_own else 2)
        self.read.setMaximum(figures.in_own(_MOST, "mm"))
        self.read.setSingleStep(_STEP_MM if is_own else _STEP_IN)
        self.read.setSuffix(f" {figures.label('mm')}")

    def _on_read(self, value: float) -> None:
        self._fall = figures.from_own(value, "mm")
        self._show()

    def _show(self) -> None:
        if self.fall is None or self._fall <= 0 or not self.read.isEnabled():
            self.words.clear()
        else:
            air = self.fall.air(self._fall)
            self.words.setText(figures.unbroken(f"up to {figures.amount(air, 'ml')} of air are inside"))
