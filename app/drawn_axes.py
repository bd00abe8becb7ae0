"""Axes of a plot that is painted by hand: round figures, captions, and places on the screen."""

import math

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen, QPolygonF

from app.axis_ends import round_end
from app.theme import Theme

__all__ = ["DrawnAxes"]

FloatArray = NDArray[np.float64]

_LEFT, _RIGHT, _TOP, _BOTTOM = 34.0, 10.0, 20.0, 32.0  # room for figures and captions [px]
_HEADROOM = 0.12  # of the values' range, for names above the line


class DrawnAxes:
    """Something to the right, from zero or from `start`, something else upwards.

    The ends upwards stay while a drag changes little.
    """

    def __init__(self, across: str, up: str) -> None:
        self.across, self.up = across, up
        self.low, self.high, self.step = 0.0, 1.0, 0.5
        self.start, self.length = 0.0, 1.0
        self.left, self.top, self.right, self.bottom = 0.0, 0.0, 1.0, 1.0

    def fit(self, least: float, most: float, length: float, within: QRectF, start: float = 0.0) -> None:
        """Make room for values from `least` to `most`, over a length, in a rectangle of the widget."""
        room = _HEADROOM * (most - least)
        fits = self.low <= least - room / 2 and most + room / 2 <= self.high
        if not (fits and self.high - self.low <= 2 * (most - least)):
            self.low, self.high = least - room, most + room
            self.step = round_end(self.high - self.low).step
        self.start, self.length = start, max(length, 1e-3)
        self._place(within)

    def frame(self, across: tuple[float, float], up: tuple[float, float], within: QRectF) -> None:
        """Show just what lies between these ends."""
        (self.low, self.high), (self.start, end) = up, across
        self.length, self.step = end - self.start, round_end(self.high - self.low).step
        self._place(within)

    def _place(self, within: QRectF) -> None:
        self.left, self.top = within.left() + _LEFT, within.top() + _TOP
        self.right, self.bottom = within.right() - _RIGHT, within.bottom() - _BOTTOM

    def x(self, distance: float) -> float:
        """Place across [px]."""
        return self.left + (distance - self.start) / self.length * (self.right - self.left)

    def y(self, value: float) -> float:
        """Place down [px]."""
        return self.bottom - (value - self.low) / (self.high - self.low) * (self.bottom - self.top)

    def points(self, distance: FloatArray, value: FloatArray) -> FloatArray:
        """Places of a curve, shape (n, 2) [px]."""
        x = self.left + (distance - self.start) / self.length * (self.right - self.left)
        y = self.bottom - (value - self.low) / (self.high - self.low) * (self.bottom - self.top)
        return np.column_stack([x, y])

    def polygon(self, distance: FloatArray, value: FloatArray) -> QPolygonF:
        """A curve to be painted."""
        return QPolygonF([QPointF(*each) for each in self.points(distance, value)])

    def paint(self, painter: QPainter, theme: Theme) -> None:
        """Grid, figures and captions."""
        first, last = math.ceil(self.low / self.step), math.floor(self.high / self.step)
        for number in range(first, last + 1):
            self._paint_level(painter, theme, number * self.step)
        step, end = round_end(self.length).step, self.start + self.length
        for number in range(math.ceil(self.start / step - 1e-9), math.floor(end / step + 1e-9) + 1):
            self._paint_tick(painter, theme, number * step)
        painter.drawText(QPointF(2, self.top - 8), self.up)
        wide = QFontMetricsF(painter.font()).horizontalAdvance(self.across)
        painter.drawText(QPointF(self.right - wide, self.bottom + 29), self.across)

    def _paint_level(self, painter: QPainter, theme: Theme, value: float) -> None:
        y = self.y(value)
        painter.setPen(QPen(theme.soft_ink if abs(value) < 1e-9 else theme.rule, 1.0))
        painter.drawLine(QPointF(self.left, y), QPointF(self.right, y))
        painter.setPen(theme.soft_ink)
        box = QRectF(0, y - 10, self.left - 6, 20)
        painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, _figure(value))

    def _paint_tick(self, painter: QPainter, theme: Theme, distance: float) -> None:
        x = self.x(distance)
        painter.setPen(QPen(theme.soft_ink, 1.0))
        painter.drawLine(QPointF(x, self.bottom), QPointF(x, self.bottom + 4))
        painter.drawText(QRectF(x - 30, self.bottom + 4, 60, 14), Qt.AlignmentFlag.AlignCenter, _figure(distance))


def _figure(value: float) -> str:
    return f"{round(value, 6) + 0.0:g}".replace("-", "−")
