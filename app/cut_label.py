"""Words that give way where there is no room for them."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QLabel

from app.theme import Type, font

__all__ = ["CutLabel"]


class CutLabel(QLabel):
    """A label that gives way: words that do not fit end in an ellipsis, and the tool tip has them whole."""

    def __init__(self, size: Type, bold: bool = False) -> None:
        super().__init__()
        self.whole, self._bold = "", bold
        self.setFont(font(size, bold))
        self.setMinimumSize(48, self.sizeHint().height())

    def set_whole(self, text: str) -> None:
        """Show this text, as far as there is room."""
        self.whole = text
        self._cut()

    def fits(self, size: Type) -> bool:
        """True if the whole text has room in a size."""
        return QFontMetrics(font(size, self._bold)).horizontalAdvance(self.whole) <= self.width()

    def wear(self, size: Type) -> None:
        """Show it in a size."""
        if self.font() != font(size, self._bold):
            self.setFont(font(size, self._bold))
            self._cut()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._cut()

    def _cut(self) -> None:
        shown = self.fontMetrics().elidedText(self.whole, Qt.TextElideMode.ElideRight, self.width())
        self.setText(shown)
        self.setToolTip(self.whole if shown != self.whole else "")
