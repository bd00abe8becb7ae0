"""The map of colours as a bar, lowest on the left."""

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QLinearGradient, QPainter, QPen

from app.plan.tint import colour_at
from app.theme import Theme

__all__ = ["paint_colour_bar"]

_STOPS = 9


def paint_colour_bar(painter: QPainter, theme: Theme, bar: QRectF) -> None:
    """Paint it, with a thin rim."""
    gradient = QLinearGradient(QPointF(bar.left(), 0), QPointF(bar.right(), 0))
    for number in range(_STOPS):
        gradient.setColorAt(number / (_STOPS - 1), colour_at(number / (_STOPS - 1)))
    painter.setPen(QPen(theme.soft_ink, 1.0))
    painter.setBrush(gradient)
    painter.drawRect(bar)
