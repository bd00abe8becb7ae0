"""A page that scrolls in a window too low for it, by keys too."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

__all__ = ["ScrollPage"]


class ScrollPage(QScrollArea):
    """Tab stops at it only while there is something to scroll; else it would be a stop at which nothing can be done."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent, widgetResizable=True)
        self.setAccessibleName(name)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.verticalScrollBar().rangeChanged.connect(self._on_range)

    def _on_range(self, least: int, most: int) -> None:
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if most > least else Qt.FocusPolicy.NoFocus)
