"""From a symbol's name to a drawing in the colour at hand."""

from functools import lru_cache

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

import icons

__all__ = ["paint_symbol", "symbol_icon"]


def paint_symbol(painter: QPainter, name: str, colour: QColor, into: QRectF) -> None:
    """Draw a symbol; FileNotFoundError if there is none of this name."""
    _renderer(name, colour.name()).render(painter, into)


def symbol_icon(name: str, colour: QColor, sizes: tuple[int, ...] = (16, 24, 48)) -> QIcon:
    """A symbol as an icon, drawn afresh for each size, and for screens of twice the density."""
    icon = QIcon()
    for size in sizes:
        for density in (1, 2):
            icon.addPixmap(_pixmap(name, colour, size, density))
    return icon


def _pixmap(name: str, colour: QColor, size: int, density: int) -> QPixmap:
    pixmap = QPixmap(size * density, size * density)
    pixmap.setDevicePixelRatio(density)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    paint_symbol(painter, name, colour, QRectF(0, 0, size, size))
    painter.end()
    return pixmap


@lru_cache(maxsize=64)
def _renderer(name: str, colour: str) -> QSvgRenderer:
    return QSvgRenderer(QByteArray(icons.svg(name).replace("currentColor", colour).encode()))
