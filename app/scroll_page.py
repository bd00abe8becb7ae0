"""A page that scrolls in a window too low for it, by keys too."""

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

__all__ = ["ScrollPage"]

_LEAST_PX = 150  # of a page in view, if it is that high


class ScrollPage(QScrollArea):
    """As wide as its page at least, and as low as need be: it scrolls up and down only.

    Tab stops at it only while there is something to scroll; else it would be a stop at which nothing can be done.
    """

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent, widgetResizable=True)
        self.setAccessibleName(name)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.verticalScrollBar().rangeChanged.connect(self._on_range)

    def minimumSizeHint(self) -> QSize:
        page = self.widget()
        least = page.minimumSizeHint() if page is not None else QSize()
        bar = self.verticalScrollBar().sizeHint().width()
        return QSize(least.width() + bar, min(least.height(), _LEAST_PX))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """What the page needs across may have changed."""
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
        return super().eventFilter(watched, event)

    def _on_range(self, least: int, most: int) -> None:
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if most > least else Qt.FocusPolicy.NoFocus)
