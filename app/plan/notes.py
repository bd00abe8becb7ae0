"""Notes on the plan: words with an arrow to what they speak of."""

import math
from collections.abc import Callable, Iterable

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter

from app.plan.coordinates import to_scene
from app.plan.part_item import pen
from app.theme import Theme, Type, font
from loopsim.build import Note

__all__ = ["note_at", "note_box", "paint_notes"]

_WIDEST_PX = 220.0
_MARGIN_PX = 5.0
_HEAD_PX = 9.0

ToPixel = Callable[[QPointF], QPointF]


def note_box(note: Note, to_pixel: ToPixel) -> QRectF:
    """Where a note's words stand, in pixels of the view; its place is their upper left corner."""
    metrics = QFontMetricsF(font(Type.SMALL))
    flags = Qt.TextFlag.TextWordWrap
    words = metrics.boundingRect(QRectF(0.0, 0.0, _WIDEST_PX, 1000.0), flags, note.text)
    corner = to_pixel(to_scene(note.x_mm, note.y_mm))
    return QRectF(corner.x(), corner.y(), words.width() + 2 * _MARGIN_PX, words.height() + 2 * _MARGIN_PX)


def note_at(notes: Iterable[Note], pixel: QPointF, to_pixel: ToPixel) -> Note | None:
    """The note at a pixel of the view, the last one written first."""
    return next((note for note in reversed([*notes]) if note_box(note, to_pixel).contains(pixel)), None)


def paint_notes(painter: QPainter, notes: Iterable[Note], selected: str, to_pixel: ToPixel, theme: Theme) -> None:
    """Words on a slip of paper, and a thin arrow; in pixels of the view."""
    painter.setFont(font(Type.SMALL))
    for note in notes:
        box = note_box(note, to_pixel)
        if note.to_x_mm is not None and note.to_y_mm is not None:
            _paint_arrow(painter, box, to_pixel(to_scene(note.to_x_mm, note.to_y_mm)), theme)
        painter.setPen(pen(theme.ink if note.id == selected else theme.soft_ink, 1.5 if note.id == selected else 1.0))
        painter.setBrush(theme.paper)
        painter.drawRect(box)
        painter.setPen(theme.ink)
        inner = box.adjusted(_MARGIN_PX, _MARGIN_PX, _MARGIN_PX, _MARGIN_PX)
        painter.drawText(inner, Qt.TextFlag.TextWordWrap, note.text)


def _paint_arrow(painter: QPainter, box: QRectF, tip: QPointF, theme: Theme) -> None:
    line = QLineF(box.center(), tip)
    if line.length() < 1.0:
        return
    painter.setPen(pen(theme.soft_ink, 1.2))
    painter.drawLine(line)
    angle = math.atan2(line.dy(), line.dx())
    for turned in (angle + 2.7, angle - 2.7):
        painter.drawLine(tip, tip + QPointF(math.cos(turned), math.sin(turned)) * _HEAD_PX)
