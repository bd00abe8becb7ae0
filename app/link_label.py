"""Words with links that the keyboard reaches: Tab goes from link to link, Return follows the one that is marked."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent, QTextDocumentFragment
from PySide6.QtWidgets import QLabel, QWidget

__all__ = ["LinkLabel"]

_BY_TAB = {Qt.FocusReason.TabFocusReason: True, Qt.FocusReason.BacktabFocusReason: False}


class LinkLabel(QLabel):
    """A label of rich text in several lines. A plain label has no mark until Tab is pressed a second time."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, wordWrap=True, textFormat=Qt.TextFormat.RichText)
        self.setTextInteractionFlags(
            Qt.TextInteractionFlag.LinksAccessibleByMouse | Qt.TextInteractionFlag.LinksAccessibleByKeyboard
        )

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Go to the first link, or to the last one where the keyboard comes from behind."""
        super().focusInEvent(event)
        forwards = _BY_TAB.get(event.reason())
        if forwards is not None:
            end = len(QTextDocumentFragment.fromHtml(self.text()).toPlainText())
            self.setSelection(0 if forwards else end, 0)  # else it goes on from the link it was left at
            self.focusNextPrevChild(forwards)
