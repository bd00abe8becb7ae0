"""A slider over the moments of the fill plan."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QSlider, QVBoxLayout, QWidget

from app import figures
from app.theme import CONTROL
from loopsim.build import Build
from loopsim.studies.fill import FillSnapshot
from loopsim.studies.words import duration

__all__ = ["MomentRow", "moment_words"]


class MomentRow(QWidget):
    """Scrubs through moments in order of time.

    Signals
    -------
    moved(FillSnapshot)
    """

    moved = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.snapshots: tuple[FillSnapshot, ...] = ()
        self.build: Build | None = None
        self.slider = QSlider(Qt.Orientation.Horizontal, minimumHeight=CONTROL, pageStep=1)
        self.slider.setAccessibleName("moment of the fill")
        self.slider.setToolTip("Moves through the simulated fill; plan and heights show what is liquid then.")
        self.words = QLabel(wordWrap=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.slider)
        column.addWidget(self.words)
        self.slider.valueChanged.connect(self._on_moved)

    @property
    def snapshot(self) -> FillSnapshot | None:
        """The moment in view."""
        return self.snapshots[self.slider.value()] if self.snapshots else None

    def show_snapshots(self, build: Build | None, snapshots: Sequence[FillSnapshot]) -> None:
        """Offer moments; the one in view stays at its step, as far as there still is one."""
        if self.build is build and self.snapshots == tuple(snapshots):
            return
        before = self.snapshot
        self.build, self.snapshots = build, tuple(snapshots)
        at = len(self.snapshots) - 1
        if before is not None:
            last = before.step, before.time
            at = next((number for number, each in enumerate(self.snapshots) if (each.step, each.time) >= last), at)
        self.slider.blockSignals(True)
        self.slider.setRange(0, max(len(self.snapshots) - 1, 0))
        self.slider.setValue(max(at, 0))
        self.slider.blockSignals(False)
        self._on_moved()

    def go_to(self, step: int) -> None:
        """The end of a step."""
        ends = [number for number, each in enumerate(self.snapshots) if each.step == step]
        if ends:
            self.slider.setValue(ends[-1])

    def _on_moved(self, _: int = 0) -> None:
        now = self.snapshot
        self.words.setText("" if now is None or self.build is None else figures.unbroken(moment_words(self.build, now)))
        if now is not None:
            self.moved.emit(now)


def moment_words(build: Build, now: FillSnapshot) -> str:
    """A moment in a sentence: ``"Step 3, 20 s: 934 mL poured, 290 mL of air inside; Reservoir at 38 mm"``."""
    levels = [f"{build.part(part).name} at {figures.amount(level, 'mm')}" for part, level in now.levels.items()]
    step = f"Step {now.step}" if now.step else "Before the first step"
    said = f"{figures.amount(now.poured, 'ml')} poured, {figures.amount(now.air, 'ml')} of air where liquid shall be"
    return f"{step}, after {duration(now.time)}: {said}{'; ' if levels else ''}{', '.join(levels)}"
