"""A line over the foot of the plan: what to do next in a gesture, or why something cannot be done there."""

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QLabel, QWidget

from app.theme import STEP

__all__ = ["PlanHint"]


class PlanHint(QLabel):
    """Lies over `plan`, so that nothing moves when it comes and goes."""

    def __init__(self, plan: QWidget) -> None:
        super().__init__(plan, objectName="hint", wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._plan = plan
        plan.installEventFilter(self)
        self.hide()

    def say(self, text: str) -> None:
        """Show a sentence; an empty one takes the last away."""
        self.setText(f"{text[:1].upper()}{text[1:]}")
        self.setVisible(bool(text))
        self._settle()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            self._settle()
        return super().eventFilter(watched, event)

    def _settle(self) -> None:
        room = self._plan.width() - 4 * STEP
        words = self.fontMetrics().horizontalAdvance(self.text()) + 4 * STEP
        width = min(room, words)
        height = self.heightForWidth(width)
        self.setGeometry(2 * STEP, self._plan.height() - height - STEP, width, height)
