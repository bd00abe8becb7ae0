"""Small pictures that are drawn once and copied many times: words and marks of the plan."""

from collections.abc import Callable

from PySide6.QtCore import QPointF, QSize, QSizeF, Qt
from PySide6.QtGui import QImage, QPainter

__all__ = ["copy_to", "picture"]


def picture(size: QSizeF, ratio: float, draw: Callable[[QPainter], None]) -> QImage:
    """A transparent picture of a size, for a screen of so many dots per pixel, with what `draw` puts on it."""
    image = QImage((size * ratio).toSize() + QSize(1, 1), QImage.Format.Format_ARGB32_Premultiplied)
    image.setDevicePixelRatio(ratio)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    draw(painter)
    painter.end()
    return image


def copy_to(painter: QPainter, corner: QPointF, image: QImage) -> None:
    """Put a picture with its upper left corner at a point, or where the pixels nearest to it begin: it stays sharp.

    The painter may be moved, but neither turned nor scaled.
    """
    moved = painter.worldTransform()
    x, y = round(corner.x() + moved.dx()), round(corner.y() + moved.dy())
    painter.drawImage(QPointF(x - moved.dx(), y - moved.dy()), image)
