"""A figure over two numbers: every point a cell in the colours of the plan, with its figure or contours over them."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFontMetricsF,
    QHelpEvent,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from app.compare.number_map import Contour, NumberMap
from app.drawn_axes import DrawnAxes
from app.focus_mark import paint_focus_mark
from app.plan.colour_bar import paint_colour_bar
from app.plan.tint import arrow_colour, colour_at
from app.theme import Theme, Type, font, themes

__all__ = ["MapPlot"]

FloatArray = NDArray[np.float64]

_OLD = 0.4
_LEGEND, _BAR, _BAR_HIGH = 24.0, 110.0, 10.0  # height of the legend, and its bar [px]
_SPARE = 6.0  # beside a figure in its cell [px]
_SHORTEST = 70.0  # contour that bears a figure [px]
_STEPS = {Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Down: (0, -1), Qt.Key.Key_Up: (0, 1)}
_RING = QSizeF(17.0, 11.0)  # half width and half height: round a figure [px]


class MapPlot(QWidget):
    """Cells between whose figures one can read where they have room; where they have none, contours say the same.

    Arrow keys go from cell to cell and tell each one's figures, as resting on it does.
    """

    def __init__(self, name: str) -> None:
        super().__init__()
        self.map: NumberMap | None = None
        self.figures: list[str] = []  # what is written on the map, as it was painted last
        self._axes = DrawnAxes("", "")
        self._contours: list[Contour] = []
        self._old = False
        self._at: tuple[int, int] | None = None  # the cell to which keys have led
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(200)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        themes.changed.connect(self._on_theme)

    def show_map(self, shown: NumberMap, old: bool = False) -> None:
        """Show a map; `old` dims it."""
        self.map, self._old = shown, old
        self._contours, self._at = shown.contours(), None
        self._axes.across, self._axes.up, figure = shown.captions
        self.setAccessibleDescription(f"{figure} over {self._axes.across} and {self._axes.up}. {shown.words()}")
        self._lay_out()

    def sizeHint(self) -> QSize:
        return QSize(460, 320)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._lay_out()

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), self.words_at(QPointF(event.pos())), self)
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(Qt.Key(event.key()))
        if step is None or self.map is None or self.map.is_empty:
            super().keyPressEvent(event)
            return
        last = len(self.map.x) - 1, len(self.map.y) - 1
        before = self._at or (0, 0)
        led = (min(max(now + by, 0), end) for now, by, end in zip(before, step, last, strict=True))
        across, up = self._at = tuple(led) if self._at is not None else before
        place = next(cell for *at, cell in self._cells() if at == [across, up]).center().toPoint()
        self.setAccessibleDescription(self.map.at(across, up))
        QToolTip.showText(self.mapToGlobal(place), self.map.at(across, up), self)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._at = None

    def words_at(self, place: QPointF) -> str:
        """The point whose cell is at a place of the widget, in words; empty beside the map."""
        for across, up, cell in self._cells():
            if cell.contains(place):
                return self.map.at(across, up)
        return ""

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        self.figures = []
        if self.map is None or self.map.is_empty:
            return
        painter, theme = QPainter(self), themes.current
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font(Type.SMALL))
        self._axes.paint(painter, theme)
        self._paint_legend(painter, theme)
        painter.setOpacity(_OLD if self._old else 1.0)
        self._paint_cells(painter)
        if self._has_room(QFontMetricsF(painter.font())):
            self._paint_figures(painter)
        else:
            self._paint_contours(painter)
        self._paint_now(painter, theme)
        self._paint_reached(painter, theme)
        paint_focus_mark(painter, self)

    def _cells(self) -> Iterator[tuple[int, int, QRectF]]:
        """Number across, number up, and place of every cell."""
        if self.map is None:
            return
        across = [self._axes.x(edge) for edge in _edges(self.map.x)]
        up = [self._axes.y(edge) for edge in _edges(self.map.y)]
        for number, (left, right) in enumerate(pairwise(across)):
            for other, (bottom, top) in enumerate(pairwise(up)):
                yield number, other, QRectF(QPointF(left, top), QPointF(right, bottom))

    def _valued(self) -> Iterator[tuple[float, QRectF]]:
        for across, up, cell in self._cells():
            if np.isfinite(self.map.z[across, up]):
                yield float(self.map.z[across, up]), cell

    def _paint_cells(self, painter: QPainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)  # no seams
        for value, cell in self._valued():
            painter.fillRect(cell, colour_at(self.map.share(value)))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def _has_room(self, metrics: QFontMetricsF) -> bool:
        """True if every figure fits in its cell."""
        cell = next(self._cells())[2]
        widest = max(metrics.horizontalAdvance(self.map.figure(end)) for end in self.map.ends)
        return widest + _SPARE <= cell.width() and metrics.height() <= cell.height()

    def _paint_figures(self, painter: QPainter) -> None:
        for value, cell in self._valued():
            painter.setPen(self._ink(value))
            self._write(painter, cell, value)

    def _paint_contours(self, painter: QPainter) -> None:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        lines = [(each.value, self._axes.points(*each.places.T)) for each in self._contours]
        for value, line in lines:
            painter.setPen(QPen(self._ink(value), 1.0))
            painter.drawPolyline(QPolygonF([QPointF(*place) for place in line]))
        taken: list[QRectF] = []
        for value, line in lines:
            box = self._label_box(value, line, QFontMetricsF(painter.font()))
            if box is not None and not any(box.intersects(other) for other in taken):
                taken.append(box)
                painter.fillRect(box, colour_at(self.map.share(value)))
                painter.setPen(self._ink(value))
                self._write(painter, box, value)

    def _label_box(self, value: float, line: FloatArray, metrics: QFontMetricsF) -> QRectF | None:
        """Where a contour bears its figure: half-way, inside the frame; None on a short one."""
        along = np.append(0.0, np.cumsum(np.hypot(*np.diff(line, axis=0).T)))
        if along[-1] < _SHORTEST:
            return None
        middle = QPointF(*(float(np.interp(along[-1] / 2, along, line[:, axis])) for axis in (0, 1)))
        box = QRectF(0, 0, metrics.horizontalAdvance(self.map.figure(value)) + _SPARE, metrics.height())
        box.moveCenter(middle)
        axes = self._axes
        return (
            box if QRectF(axes.left, axes.top, axes.right - axes.left, axes.bottom - axes.top).contains(box) else None
        )

    def _write(self, painter: QPainter, box: QRectF, value: float) -> None:
        text = self.map.figure(value)
        self.figures.append(text)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)

    def _ink(self, value: float) -> QColor:
        """A colour that stands out where the map has this value."""
        return arrow_colour(colour_at(self.map.share(value)))

    def _paint_now(self, painter: QPainter, theme: Theme) -> None:
        """A ring where the machine is now, dark and light so that it stands out on any colour."""
        if not self.map.holds_now:
            return
        place = QPointF(self._axes.x(self.map.now[0]), self._axes.y(self.map.now[1]))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for colour, width in ((theme.paper, 4.0), (theme.ink, 1.5)):
            painter.setPen(QPen(colour, width))
            painter.drawEllipse(place, _RING.width(), _RING.height())

    def _paint_reached(self, painter: QPainter, theme: Theme) -> None:
        """The cell to which keys have led, dark and light so that it stands out on any colour."""
        for *at, cell in self._cells():
            if at == list(self._at or ()):
                painter.setBrush(Qt.BrushStyle.NoBrush)
                for colour, width in ((theme.paper, 4.0), (theme.ink, 1.5)):
                    painter.setPen(QPen(colour, width))
                    painter.drawRect(cell)

    def _paint_legend(self, painter: QPainter, theme: Theme) -> None:
        """Caption, lowest value, the map of colours, highest value."""
        metrics, high = QFontMetricsF(painter.font()), _LEGEND - 4
        low_text, high_text = (self.map.figure(end) for end in self.map.ends)
        painter.setPen(theme.ink)
        x = 2.0
        for text, gap in ((self.map.captions[-1], 10.0), (low_text, 6.0)):
            painter.drawText(QRectF(x, 0, self.width(), high), Qt.AlignmentFlag.AlignVCenter, text)
            x += metrics.horizontalAdvance(text) + gap
        bar = QRectF(x, (high - _BAR_HIGH) / 2, _BAR, _BAR_HIGH)
        end = QRectF(bar.right() + 6, 0, self.width(), high)
        painter.drawText(end, Qt.AlignmentFlag.AlignVCenter, high_text)
        paint_colour_bar(painter, theme, bar)

    def _lay_out(self) -> None:
        if self.map is not None:
            x, y = _edges(self.map.x), _edges(self.map.y)
            within = QRectF(self.rect()).adjusted(0, _LEGEND, 0, 0)
            self._axes.frame((float(x[0]), float(x[-1])), (float(y[0]), float(y[-1])), within)
        self.update()

    def _on_theme(self, _: Theme) -> None:
        self.update()


def _edges(values: FloatArray) -> FloatArray:
    """Where the cells of points in a row begin and end: half-way between them, shape (n + 1,)."""
    halves = np.diff(values) / 2
    return np.concatenate([[values[0] - halves[0]], values[:-1] + halves, [values[-1] + halves[-1]]])
