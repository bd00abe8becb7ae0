"""A strip in the window for a sentence that must be read: what could not be done, or where something was written."""

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from app.theme import STEP

__all__ = ["MessageStrip"]

_NEWS_MS = 10_000


class MessageStrip(QWidget):
    """Shows one message. A refusal stays until it is put away; news goes by itself."""

    def __init__(self) -> None:
        super().__init__(objectName="message")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.label = QLabel(self, wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self.label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.away = QPushButton("Put away", self, flat=True)
        self.away.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a click leaves the keyboard where it is
        self._news = QTimer(self, singleShot=True, interval=_NEWS_MS)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * STEP, 4, 2 * STEP, 4)
        row.addWidget(self.label, 1)
        row.addWidget(self.away)
        self.away.clicked.connect(self.hide)
        self._news.timeout.connect(self.hide)
        self.hide()

    @property
    def text(self) -> str:
        """What is shown; empty when nothing is."""
        return "" if self.isHidden() else self.label.text()

    def refuse(self, message: str) -> None:
        """Say what could not be done."""
        self._say(message, "rust")

    def tell(self, message: str) -> None:
        """Say what was done."""
        self._say(message, "")
        self._news.start()

    def forget_refusal(self) -> None:
        """What was refused no longer matters; news stays."""
        if not self._news.isActive():
            self.hide()

    def _say(self, message: str, tone: str) -> None:
        self._news.stop()
        self.label.setText(message)
        self.label.setProperty("tone", tone)
        self.label.style().polish(self.label)
        self.show()
