"""A page of text over a window: help, keys, what the program says of itself."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFrame, QTextBrowser, QVBoxLayout, QWidget

from app.theme import STEP

__all__ = ["show_text"]

_WIDTH = 560
_SHARE = 0.8  # of the screen that a page may take


def show_text(title: str, text: str, parent: QWidget, width: int = _WIDTH) -> None:
    """Show a page of text over a window, until it is closed; what does not fit on the screen scrolls."""
    page = QDialog(parent)
    page.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    page.setWindowTitle(title)
    words = QTextBrowser(page)
    words.setFrameShape(QFrame.Shape.NoFrame)
    words.setAccessibleName(title)
    words.setHtml(text)
    words.document().setTextWidth(width)
    height = int(words.document().size().height()) + 2 * STEP
    words.setMinimumSize(min(width, _most(page).width()), min(height, _most(page).height()))
    close = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, page)
    close.rejected.connect(page.close)
    column = QVBoxLayout(page)
    column.setContentsMargins(3 * STEP, STEP, 3 * STEP, 2 * STEP)
    column.addWidget(words)
    column.addWidget(close)
    page.open()


def _most(page: QDialog) -> QSize:
    """What a page may take of its screen."""
    return page.screen().availableSize() * _SHARE
