"""Axes of the grade line's plot: round heads, round distances, and places on the screen."""

import math

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen

from app.axis_ends import round_end
from app.theme import Theme
from loopsim.studies import GradeLine

__all__ = ["GradeAxes"]

FloatArray = NDArray[np.float64]

_LEFT, _RIGHT, _TOP, _BOTTOM = 34.0, 10.0, 20.0, 32.0  # room for figures and captions [px]
_HEADROOM = 0.12  # of the heads' range, for names above the line


class GradeAxes:
    """Distance to the right, head upwards. The head's ends stay while a drag changes little."""

    def __init__(self) -> None:
        self.low, self.high, self.step = 0.0, 1.0, 0.5
        self.length = 1.0
        self.left, self.top, self.right, self.bottom = 0.0, 0.0, 1.0, 1.0

    def fit(self, line: GradeLine, within: QRectF) -> None:
        """Make room for a line in a rectangle of the widget."""
        heads = np.concatenate([line.total_head, line.piezometric_head, line.elevation])
        least, most = min(float(heads.min()), 0.0), max(float(heads.max()), 1e-3)
        room = _HEADROOM * (most - least)
        if not (self.low <= least - room / 2 and most + room / 2 <= self.high and self.high <= 2 * most):
            self.low, self.high = least - room, most + room
            self.step = round_end(self.high - self.low).step
        self.length = max(line.length, 1e-3)
        self.left, self.top = within.left() + _LEFT, within.top() + _TOP
        self.right, self.bottom = within.right() - _RIGHT, within.bottom() - _BOTTOM

    def x(self, distance: float) -> float:
        """Place across [px]."""
        return self.left + distance / self.length * (self.right - self.left)

    def points(self, distance: FloatArray, head: FloatArray) -> FloatArray:
        """Places of a curve, shape (n, 2) [px]."""
        x = self.left + distance / self.length * (self.right - self.left)
        y = self.bottom - (head - self.low) / (self.high - self.low) * (self.bottom - self.top)
        return np.column_stack([x, y])

    def paint(self, painter: QPainter, theme: Theme) -> None:
        """Grid, figures and captions."""
        metrics = QFontMetricsF(painter.font())
        for head in self.step * np.arange(math.ceil(self.low / self.step), math.floor(self.high / self.step) + 1):
            ((_, y),) = self.points(np.zeros(1), np.array([head]))
            painter.setPen(QPen(theme.soft_ink if abs(head) < 1e-9 else theme.rule, 1.0))
            painter.drawLine(QPointF(self.left, y), QPointF(self.right, y))
            painter.setPen(theme.soft_ink)
            box = QRectF(0, y - 10, self.left - 6, 20)
            painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, _figure(float(head)))
        step = round_end(self.length).step
        for distance in np.arange(0.0, self.length * (1 + 1e-9), step):
            x = self.x(float(distance))
            painter.setPen(QPen(theme.soft_ink, 1.0))
            painter.drawLine(QPointF(x, self.bottom), QPointF(x, self.bottom + 4))
            painter.drawText(
                QRectF(x - 30, self.bottom + 4, 60, 14), Qt.AlignmentFlag.AlignCenter, _figure(float(distance))
            )
        painter.drawText(QPointF(2, self.top - 8), "head, m")
        words = "distance along the stream, m"
        painter.drawText(QPointF(self.right - metrics.horizontalAdvance(words), self.bottom + 29), words)


def _figure(value: float) -> str:
    return f"{round(value, 6) + 0.0:g}".replace("-", "−")
