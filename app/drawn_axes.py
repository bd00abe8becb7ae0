"""Axes of a plot that is painted by hand: round figures, captions, and places on the screen."""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen, QPolygonF

from app import figures
from app.axis_ends import round_end
from app.theme import Theme

__all__ = ["DrawnAxes"]

FloatArray = NDArray[np.float64]

_LEFT, _RIGHT, _TOP, _BOTTOM = 34.0, 10.0, 20.0, 32.0  # room for figures and captions [px]
_SAME = 1e-9  # of a step: what lies so near to an end lies on it
_HEADROOM = 0.12  # of the values' range, for names above the line


class DrawnAxes:
    """Something to the right, from zero or from `start`, something else upwards.

    The ends upwards stay while a drag changes little. Values with a unit are in SI, temperatures in degrees Celsius;
    captions and round figures are in the builder's units.

    Parameters
    ----------
    across, up : str
        Captions, without a unit where one is given.
    across_unit, up_unit : str, optional
        Endings from `loopsim.units.UNITS`.
    """

    def __init__(self, across: str, up: str, across_unit: str | None = None, up_unit: str | None = None) -> None:
        self.across, self.up = across, up
        self.across_unit, self.up_unit = across_unit, up_unit
        self.low, self.high = 0.0, 1.0
        self.start, self.length = 0.0, 1.0
        self.left, self.top, self.right, self.bottom = 0.0, 0.0, 1.0, 1.0

    def fit(self, least: float, most: float, length: float, within: QRectF, start: float = 0.0) -> None:
        """Make room for values from `least` to `most`, over a length, in a rectangle of the widget."""
        room = _HEADROOM * (most - least)
        fits = self.low <= least - room / 2 and most + room / 2 <= self.high
        if not (fits and self.high - self.low <= 2 * (most - least)):
            self.low, self.high = least - room, most + room
        self.start, self.length = start, max(length, 1e-3)
        self._place(within)

    def frame(self, across: tuple[float, float], up: tuple[float, float], within: QRectF) -> None:
        """Show just what lies between these ends."""
        (self.low, self.high), (self.start, end) = up, across
        self.length = end - self.start
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

    def levels(self) -> Iterator[tuple[float, str]]:
        """Values upwards at which a line is drawn, each with its figure."""
        return _rounds(self.low, self.high, self.up_unit)

    def ticks(self) -> Iterator[tuple[float, str]]:
        """The same across."""
        return _rounds(self.start, self.start + self.length, self.across_unit)

    def paint(self, painter: QPainter, theme: Theme) -> None:
        """Grid, figures and captions."""
        for value, figure in self.levels():
            self._paint_level(painter, theme, value, figure)
        for distance, figure in self.ticks():
            self._paint_tick(painter, theme, distance, figure)
        across, up = figures.heading(self.across, self.across_unit), figures.heading(self.up, self.up_unit)
        painter.drawText(QPointF(2, self.top - 8), up)
        wide = QFontMetricsF(painter.font()).horizontalAdvance(across)
        painter.drawText(QPointF(self.right - wide, self.bottom + 29), across)

    def _paint_level(self, painter: QPainter, theme: Theme, value: float, figure: str) -> None:
        y = self.y(value)
        painter.setPen(QPen(theme.soft_ink if figure == "0" else theme.rule, 1.0))
        painter.drawLine(QPointF(self.left, y), QPointF(self.right, y))
        painter.setPen(theme.soft_ink)
        box = QRectF(0, y - 10, self.left - 6, 20)
        painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, figure)

    def _paint_tick(self, painter: QPainter, theme: Theme, distance: float, figure: str) -> None:
        x = self.x(distance)
        painter.setPen(QPen(theme.soft_ink, 1.0))
        painter.drawLine(QPointF(x, self.bottom), QPointF(x, self.bottom + 4))
        painter.drawText(QRectF(x - 30, self.bottom + 4, 60, 14), Qt.AlignmentFlag.AlignCenter, figure)


def _rounds(low: float, high: float, unit: str | None) -> Iterator[tuple[float, str]]:
    """Values that are round in the builder's unit, between two ends, each with its figure."""
    first, last = (figures.in_own(end, unit) for end in (low, high)) if unit else (low, high)
    step = round_end(last - first).step
    for number in range(math.ceil(first / step - _SAME), math.floor(last / step + _SAME) + 1):
        value = number * step
        yield figures.from_own(value, unit) if unit else value, figures.plain(round(value, 6) + 0.0).replace("-", "−")
