"""Named lines on common axes, each with a stroke of its own."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.compare.strokes import stroke_of
from app.drawn_axes import DrawnAxes
from app.stream_names import Name, Named, place_names
from app.theme import Theme, Type, font, themes

__all__ = ["LinePlot", "NamedLine"]

FloatArray = NDArray[np.float64]

_OLD = 0.4
_LEAST_SPAN = 1e-3  # of the largest value: lines that are level all the way keep some room
_DOT_PX = 3.0
_BAND = 0.18  # opacity
_LONGEST_PX = 240.0  # of a name


class NamedLine(NamedTuple):
    """A line: its name, its places across and up, both of shape (n,); not a number where it is interrupted.

    `low` and `high` are the edges of its band where it has one.
    """

    name: str
    x: FloatArray
    y: FloatArray
    low: FloatArray | None = None
    high: FloatArray | None = None


class LinePlot(QWidget):
    """The lines in the order in which they are given, which is that of the layouts."""

    def __init__(self, name: str, has_dots: bool = False) -> None:
        super().__init__()
        self.lines: tuple[NamedLine, ...] = ()
        self.names: list[Name] = []
        self.has_dots = has_dots
        self._axes = DrawnAxes("", "")
        self._old = False
        self.setAccessibleName(name)
        self.setMinimumHeight(200)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        themes.changed.connect(self._on_theme)

    def show_lines(self, lines: Sequence[NamedLine], across: str, up: str, old: bool = False) -> None:
        """Show lines under captions; `old` dims them."""
        self.lines, self._old = tuple(lines), old
        self._axes.across, self._axes.up = across, up
        self.setAccessibleDescription(f"{up} against {across}: {', '.join(line.name for line in self.lines)}")
        self._lay_out()

    def sizeHint(self) -> QSize:
        return QSize(460, 280)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._lay_out()

    def points_of(self, number: int) -> FloatArray:
        """Places of a line on the widget, without those where it is interrupted, shape (n, 2) [px]."""
        line = self.lines[number]
        known = np.isfinite(line.y)
        return self._axes.points(line.x[known], line.y[known])

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        if not self._has_values():
            return
        painter, theme = QPainter(self), themes.current
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font(Type.SMALL))
        self._axes.paint(painter, theme)
        painter.setOpacity(_OLD if self._old else 1.0)
        for number in range(len(self.lines)):
            self._paint_line(painter, theme, number)
        self._paint_names(painter, theme)

    def _paint_line(self, painter: QPainter, theme: Theme, number: int) -> None:
        stroke, line = stroke_of(number), self.lines[number]
        colour = getattr(theme, stroke.role)
        if line.low is not None and line.high is not None:
            self._paint_band(painter, QColor(colour), line)
        points = [QPointF(*each) for each in self.points_of(number)]
        painter.setPen(QPen(colour, 2.0, stroke.dash))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF(points))
        if self.has_dots:
            painter.setPen(QPen(colour, 1.5))
            painter.setBrush(theme.paper)
            for point in points:
                painter.drawEllipse(point, _DOT_PX, _DOT_PX)

    def _paint_band(self, painter: QPainter, colour: QColor, line: NamedLine) -> None:
        known = np.isfinite(line.low) & np.isfinite(line.high)
        there = self._axes.points(line.x[known], line.high[known])
        back = self._axes.points(line.x[known], line.low[known])[::-1]
        colour.setAlphaF(_BAND)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        painter.drawPolygon(QPolygonF([QPointF(*each) for each in np.vstack([there, back])]))

    def _paint_names(self, painter: QPainter, theme: Theme) -> None:
        ground = QColor(theme.bench)
        ground.setAlphaF(0.75)
        painter.setFont(font(Type.SMALL, bold=True))
        for name in self.names:
            if name.leader is not None:
                painter.setPen(QPen(theme.soft_ink, 0.8))
                painter.drawLine(*name.leader)
            painter.fillRect(name.box, ground)
            painter.setPen(getattr(theme, stroke_of(int(name.id)).text_role))
            painter.drawText(name.box, Qt.AlignmentFlag.AlignCenter, name.text)

    def _has_values(self) -> bool:
        return any(np.isfinite(line.y).any() for line in self.lines)

    def _lay_out(self) -> None:
        self.names = []
        if self._has_values():
            self._fit()
            curves = [self.points_of(number) for number in range(len(self.lines))]
            pieces = [Named(str(n), self.lines[n].name, *_where(curve, n, len(curves)))
                      for n, curve in enumerate(curves) if len(curve)]  # fmt: skip
            axes = self._axes
            within = QRectF(axes.left, axes.top, axes.right - axes.left, axes.bottom - axes.top)
            self.names = place_names(pieces, curves, within, frozenset(), _LONGEST_PX)
        self.update()

    def _fit(self) -> None:
        edges = [edge for line in self.lines for edge in (line.y, line.low, line.high) if edge is not None]
        y, x = np.concatenate(edges), np.concatenate([line.x for line in self.lines])
        least, most = float(np.nanmin(y)), float(np.nanmax(y))
        spare = max(0.0, _LEAST_SPAN * max(abs(least), abs(most), _LEAST_SPAN) - (most - least))
        start = float(x.min())
        self._axes.fit(least - spare, most + spare, float(x.max()) - start, QRectF(self.rect()), start)

    def _on_theme(self, _: Theme) -> None:
        self.update()


def _where(line: FloatArray, number: int, count: int) -> tuple[float, float]:
    """The point of a line that carries its name: spread out, so that names of near lines keep apart."""
    at = int((0.25 + 0.5 * (number + 0.5) / max(count, 1)) * (len(line) - 1))
    return float(line[at, 0]), float(line[at, 1])
