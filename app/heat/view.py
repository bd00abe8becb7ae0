"""What the views of the heat bench share."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.answer import Answer, CaseHeat
from app.measures import System, measures
from app.theme import STEP, Type, font

__all__ = ["HeatView"]


class HeatView(QWidget):
    """One view. Out of sight it waits until it is looked at again: a drag has no time for it.

    A view of its own adds its widgets to `column` and says in `show_case` and `mark` what they show.
    """

    chosen = Signal(object)  # frozenset of ids
    case_chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.answer: Answer | None = None
        self.ids: frozenset[str] = frozenset()
        self._is_stale = False
        self._shown: tuple[CaseHeat, bool, System] | None = None
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, STEP, 0)
        self.column.setSpacing(STEP // 2)

    def show_answer(self, answer: Answer) -> None:
        """Show an answer's load case in view, once the view is looked at."""
        self.answer = answer
        self._follow()

    def choose(self, ids: frozenset[str]) -> None:
        """Follow the selection."""
        if ids != self.ids:
            self.ids = ids
            if self.isVisible():
                self.mark(ids)

    def show_case(self, answer: Answer, found: CaseHeat) -> None:
        """Show what was found."""
        raise NotImplementedError

    def mark(self, ids: frozenset[str]) -> None:
        """Bring out what is selected."""
        raise NotImplementedError

    def heading(self, text: str) -> QLabel:
        """A heading below what is there already."""
        label = QLabel(text)
        label.setFont(font(Type.PLAIN, bold=True))
        label.setContentsMargins(0, STEP, 0, 0)
        self.column.addWidget(label)
        return label

    def add_all(self, widgets: Sequence[QWidget]) -> None:
        """Put widgets below what is there already; those that choose parts are listened to."""
        for widget in widgets:
            self.column.addWidget(widget)
            if hasattr(widget, "chosen"):
                widget.chosen.connect(self.chosen)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._is_stale:
            self._follow()

    def _follow(self) -> None:
        self._is_stale = not self.isVisible()
        found = self.answer.in_view if self.answer is not None else None
        if self._is_stale or self.answer is None or found is None:
            return
        shows = found, self.answer.heat_is_old, measures.system
        if self._shown is None or shows[0] is not self._shown[0] or shows[1:] != self._shown[1:]:
            self._shown = shows  # while a drag goes on, heat stays as it was
            self.show_case(self.answer, found)
            self.mark(self.ids)
