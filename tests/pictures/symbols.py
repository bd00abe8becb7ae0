"""A contact sheet of every symbol at 16, 24 and 48 px, light and dark: ``python tests/pictures/symbols.py SHEET.png``.

Each is shown as it is drawn in the drawer and on the plan, and the smallest once more, enlarged.
"""

import os
import sys

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

import icons
from app.symbols import paint_symbol
from app.theme import DARK, LIGHT, Theme, Type, font

SIZES = (16, 24, 48)
_ENLARGED = 4  # of the smallest
_CELL, _NAME, _COLUMNS = 190, 18, 4
_PAD = 6


def _paint(painter: QPainter, at: QPointF, name: str, theme: Theme) -> None:
    painter.setPen(theme.ink)
    painter.setFont(font(Type.SMALL))
    painter.drawText(QRectF(at, at + QPointF(_CELL, _NAME)), Qt.AlignmentFlag.AlignVCenter, name)
    left, top = at.x(), at.y() + _NAME
    for size in SIZES:
        paint_symbol(painter, name, theme.ink, QRectF(left, top, size, size))
        left += size + _PAD
    small = QImage(SIZES[0], SIZES[0], QImage.Format.Format_ARGB32_Premultiplied)
    small.fill(theme.paper)
    inner = QPainter(small)
    inner.setRenderHint(QPainter.RenderHint.Antialiasing)
    paint_symbol(inner, name, theme.ink, QRectF(0, 0, SIZES[0], SIZES[0]))
    inner.end()
    side = SIZES[0] * _ENLARGED
    painter.drawImage(QRectF(left, top, side, side), small)


def sheet() -> QImage:
    """All symbols, light above dark."""
    all_names = icons.names()
    rows = -(-len(all_names) // _COLUMNS)
    high = SIZES[0] * _ENLARGED + _NAME + _PAD
    image = QImage(_COLUMNS * _CELL, 2 * rows * high, QImage.Format.Format_ARGB32_Premultiplied)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for part, theme in enumerate((LIGHT, DARK)):
        painter.fillRect(QRectF(0, part * rows * high, image.width(), rows * high), theme.paper)
        for number, name in enumerate(all_names):
            row, column = divmod(number, _COLUMNS)
            _paint(painter, QPointF(column * _CELL + _PAD, (part * rows + row) * high + _PAD), name, theme)
    painter.end()
    return image


def main(arguments: list[str]) -> int:
    application = QApplication.instance() or QApplication(sys.argv[:1])
    sheet().save(arguments[0] if arguments else "symbols.png")
    del application
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
