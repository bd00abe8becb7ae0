"""An item of the plan whose picture is kept until something of it changes."""

from typing import Any

from PySide6.QtGui import QPixmapCache
from PySide6.QtWidgets import QGraphicsItem

__all__ = ["KeptItem"]

_KEPT_KIB = 128 * 1024  # of pictures of all items; what finds no room is drawn anew each time


class KeptItem(QGraphicsItem):
    """Is drawn once, and copied to the screen from then on: in a drag, nearly all of the plan stays as it is.

    Such an item must not be turned or scaled itself: Qt then draws it anew each time. What it draws may be.
    """

    def __init__(self) -> None:
        super().__init__()
        QPixmapCache.setCacheLimit(max(_KEPT_KIB, QPixmapCache.cacheLimit()))
        self.setCacheMode(QGraphicsItem.CacheMode.DeviceCoordinateCache)

    def show_as(self, **shown: Any) -> None:
        """Take these values for attributes; only where one of them is another than before it is drawn anew."""
        changed = {name: value for name, value in shown.items() if getattr(self, name) != value}
        for name, value in changed.items():
            setattr(self, name, value)
        if changed:
            self.update()
