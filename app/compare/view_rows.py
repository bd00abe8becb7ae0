"""The views of a bench that has many of them: names in rows, each row under the question that its views answer."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QGridLayout, QHBoxLayout, QLabel, QPushButton, QWidget

from app.theme import STEP

__all__ = ["ViewRows"]


class ViewRows(QWidget):
    """All names stay in sight, and one of them is in view. Arrow keys go from one to the next.

    Parameters
    ----------
    rows : mapping of str to sequence of str
        Names of the views under each question.

    Signals
    -------
    chosen(int)
        Number of the view that came up, counted through the rows.
    """

    chosen = Signal(int)

    def __init__(self, rows: Mapping[str, Sequence[str]]) -> None:
        super().__init__()
        self.group = QButtonGroup(self)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(STEP)
        grid.setVerticalSpacing(0)
        grid.setColumnStretch(1, 1)
        for number, (question, names) in enumerate(rows.items()):
            label = QLabel(question, self)
            label.setProperty("tone", "soft")
            grid.addWidget(label, number, 0)
            grid.addLayout(self._row(question, names), number, 1)
        self.group.buttons()[0].setChecked(True)
        self._keep_stop()
        self.group.idToggled.connect(self._on_toggled)

    @property
    def names(self) -> list[str]:
        """The views' names, in order."""
        return [button.text() for button in self.group.buttons()]

    @property
    def number(self) -> int:
        """Of the view in view, counted through the rows."""
        return self.group.checkedId()

    def show_view(self, name: str) -> None:
        """Bring a view up."""
        self.group.button(self.names.index(name)).setChecked(True)

    def _row(self, question: str, names: Sequence[str]) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(STEP // 2)
        for name in names:
            button = QPushButton(name, self, checkable=True)
            button.setProperty("tab", True)
            button.setAccessibleDescription(f"view of the comparison: {question}")
            self.group.addButton(button, len(self.group.buttons()))
            row.addWidget(button)
        row.addStretch(1)
        return row

    def _on_toggled(self, number: int, is_up: bool) -> None:
        if is_up:
            self._keep_stop()
            self.chosen.emit(number)

    def _keep_stop(self) -> None:
        """Tab stops at the name in view, however it came up."""
        for button in self.group.buttons():
            policy = Qt.FocusPolicy.StrongFocus if button.isChecked() else Qt.FocusPolicy.ClickFocus
            button.setFocusPolicy(policy)
