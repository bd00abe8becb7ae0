"""The steps of a plan, to be ticked off: what is done is kept with the build while the plan says the same."""

from collections.abc import Collection, Sequence
from typing import NamedTuple

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QPalette, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QFrame, QListWidget, QListWidgetItem

from app import figures
from app.theme import CONTROL, Theme, themes

__all__ = ["Step", "StepList"]

_GAP_PX = 8  # above and below the words of a step, together
_RIM = 140  # the style draws a box's rim so much darker than a window's ground [%]
_BOX_PX = 34  # that the box to tick takes, with what is left free beside it


class Step(NamedTuple):
    """One step: its number, what to do, and the key by which a tick knows it."""

    number: int
    sentence: str
    key: str


class StepList(QListWidget):
    """As high as its steps need; a step is chosen by a click or the arrows, and ticked by its box or Space.

    Signals
    -------
    step_chosen(int)
        Its number.
    ticked(str, bool)
        Key of a step, and whether it is done now.
    """

    step_chosen = Signal(int)
    ticked = Signal(str, bool)

    def __init__(self, name: str) -> None:
        super().__init__()
        self.steps: tuple[Step, ...] = ()
        self._done: Collection[str] = ()
        self._told = False
        self.setAccessibleName(name)
        self.setWordWrap(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self._on_theme(themes.current)
        themes.changed.connect(self._on_theme)
        self.itemChanged.connect(self._on_changed)
        self.currentRowChanged.connect(self._on_row)

    @property
    def done(self) -> int:
        """How many are ticked."""
        return sum(step.key in self._done for step in self.steps)

    def show_steps(self, steps: Sequence[Step], done: Collection[str], old: bool = False) -> None:
        """Show steps, those that are `done` ticked; `old` dims them and takes no tick."""
        self._done = done
        if tuple(steps) != self.steps:
            self._fill(tuple(steps))
        self.show_done(done)
        self.setEnabled(not old)

    def show_done(self, done: Collection[str]) -> None:
        """Tick the steps with these keys."""
        self._done = done
        self._told = True
        for row, step in enumerate(self.steps):
            state = _ticked(step.key in done)
            if self.item(row).checkState() != state:
                self.item(row).setCheckState(state)
        self._told = False

    def choose(self, number: int) -> None:
        """Bring a step out, without telling anyone."""
        row = next((row for row, step in enumerate(self.steps) if step.number == number), -1)
        if row != self.currentRow():
            self._told = True
            self.setCurrentRow(row)
            self._told = False

    def sizeHint(self) -> QSize:
        return QSize(320, 6 * CONTROL)

    def minimumSizeHint(self) -> QSize:
        return QSize(160, CONTROL)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fill(self, steps: tuple[Step, ...]) -> None:
        self._told = True
        self.steps = steps
        self.clear()
        for step in steps:
            item = QListWidgetItem(figures.unbroken(f"{step.number}. {step.sentence}."), self)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(_ticked(step.key in self._done))
        self._told = False
        self._fit()

    def _fit(self) -> None:
        """Give every step the lines that it needs, and the list the height of all."""
        metrics, wide = QFontMetrics(self.font()), self.viewport().width() - _BOX_PX
        total = 0
        for row in range(self.count()):
            item = self.item(row)
            words = metrics.boundingRect(QRect(0, 0, max(wide, 1), 10_000), Qt.TextFlag.TextWordWrap, item.text())
            item.setSizeHint(QSize(wide, max(words.height() + _GAP_PX, CONTROL)))
            total += item.sizeHint().height()
        self.setFixedHeight(total + 2)

    def _on_theme(self, theme: Theme) -> None:
        colours = self.palette()
        for role, colour in (
            (QPalette.ColorRole.Base, theme.bench),
            (QPalette.ColorRole.Text, theme.ink),
            (QPalette.ColorRole.Highlight, theme.chosen),
            (QPalette.ColorRole.HighlightedText, theme.ink),
            (QPalette.ColorRole.Window, theme.soft_ink.lighter(_RIM)),
        ):
            colours.setColor(role, colour)
        self.setPalette(colours)

    def _on_changed(self, item: QListWidgetItem) -> None:
        """Of all changes of an item, its size too, only another tick tells anyone."""
        step, is_done = self.steps[self.row(item)], item.checkState() == Qt.CheckState.Checked
        if not self._told and is_done != (step.key in self._done):
            self.ticked.emit(step.key, is_done)

    def _on_row(self, row: int) -> None:
        if not self._told and 0 <= row < len(self.steps):
            self.step_chosen.emit(self.steps[row].number)


def _ticked(is_done: bool) -> Qt.CheckState:
    return Qt.CheckState.Checked if is_done else Qt.CheckState.Unchecked
