"""Strokes and labels of a curve plot: what is drawn, and the items that are kept for good and filled anew."""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QGraphicsSimpleTextItem, QWidget

from app import label_places
from app.curve_axes import CurveAxes
from app.theme import Theme, Type, font, themes
from loopsim.studies import CurveLine

__all__ = ["Band", "Drawing", "Ink", "Label", "Stroke", "Words"]

FloatArray = NDArray[np.float64]
Line = Qt.PenStyle

_BAND = 0.22  # opacity of a band


@dataclass
class Ink:
    """What one stroke draws: a line in the units of its axes, or a single ring."""

    x: FloatArray
    y: FloatArray
    pen: QPen
    ring: QColor | None = None


@dataclass
class Words:
    """A label: its words, and the point or line that it names."""

    text: str
    x: FloatArray
    y: FloatArray
    colour: QColor
    bold: bool = False
    first: float | None = None  # share of the line at which it stands best; None at a point


@dataclass
class Drawing:
    """The strokes and labels of one picture."""

    theme: Theme
    axes: CurveAxes
    strokes: dict[str, Ink] = field(default_factory=dict)
    labels: list[Words] = field(default_factory=list)

    def curve(self, name: str, line: CurveLine, colour: QColor, width: float, style: Line = Line.SolidLine) -> None:
        """A line, dashed (or dotted, if it is dashed already) where it is an estimate."""
        sure, guess = _parted(line, self.axes)
        beyond = Line.DotLine if style == Line.DashLine else Line.DashLine
        self.strokes[name] = Ink(*sure, pg.mkPen(colour, width=width, style=style))
        self.strokes[f"{name}, beyond the data"] = Ink(*guess, pg.mkPen(colour, width=width, style=beyond))

    def point(self, name: str, flow: float, head: float, colour: QColor) -> None:
        """An operating point, with a thin line down to its flow."""
        x, y = self._place(flow, head)
        foot = pg.mkPen(colour, width=1, style=Line.DotLine)
        self.strokes[f"foot of {name}"] = Ink(np.append(x, x), np.append(0.0, y), foot)
        self.strokes[f"point {name}"] = Ink(x, y, pg.mkPen(colour, width=2), self.theme.paper)

    def name_point(self, text: str, flow: float, head: float, colour: QColor, bold: bool) -> None:
        """Words beside an operating point."""
        self.labels.append(Words(text, *self._place(flow, head), colour, bold))

    def name_line(self, text: str, line: CurveLine, colour: QColor, first: float) -> None:
        """Words beside a line."""
        self.labels.append(Words(text, *self.axes.shown(line), colour, first=first))

    def _place(self, flow: float, head: float) -> tuple[FloatArray, FloatArray]:
        return self.axes.across(np.array([flow])), self.axes.up(np.array([head]))


class Stroke:
    """One item of the plot, kept for good and filled anew."""

    def __init__(self, item: pg.PlotItem) -> None:
        self.x = self.y = np.empty(0)
        self._line = item.plot([], [], antialias=True)

    def draw(self, ink: Ink | None) -> None:
        """Show this ink, or nothing."""
        self.x, self.y = (ink.x, ink.y) if ink else (np.empty(0), np.empty(0))
        if ink is None:
            self._line.setData([], [])
        elif ink.ring is not None:
            self._line.setData(
                self.x, self.y, pen=None, symbol="o", symbolSize=10, symbolPen=ink.pen, symbolBrush=pg.mkBrush(ink.ring)
            )
            self._line.setZValue(10)
        else:
            self._line.setData(self.x, self.y, pen=ink.pen)


class Band:
    """The shaded stretch between two lines, behind everything else."""

    def __init__(self, item: pg.PlotItem) -> None:
        self._edges = [item.plot([], [], pen=pg.mkPen(None)) for _ in range(2)]  # with no pen at all it has no path
        self._ground = pg.FillBetweenItem(*self._edges)
        self._ground.setZValue(-1)
        item.addItem(self._ground)

    def draw(self, x: FloatArray, low: FloatArray, high: FloatArray) -> None:
        """Shade between `low` and `high` over `x`; nothing where all are empty."""
        for edge, y in zip(self._edges, (low, high), strict=True):
            edge.setData(x, y)
        self._ground.setVisible(len(x) > 0)  # without data it would keep its old path

    def holds(self, x: float, y: float) -> bool:
        """True if a place lies in the shade."""
        return self._ground.isVisible() and self._ground.path().contains(QPointF(x, y))

    def tint(self, colour: QColor) -> None:
        """Shade in a thin wash of a colour."""
        wash = QColor(colour)
        wash.setAlphaF(_BAND)
        self._ground.setBrush(wash)


class Label(QGraphicsSimpleTextItem):
    """Words in the plot, on a ground that lets a line behind them be guessed at."""

    def __init__(self, view: pg.ViewBox) -> None:
        super().__init__(view)
        self.setZValue(20)
        self._words: Words | None = None

    def show_words(self, words_: Words | None) -> None:
        """Show these words, or nothing."""
        self._words = words_
        self.setVisible(words_ is not None)
        if words_ is not None:
            self.setText(words_.text)
            self.setFont(font(Type.SMALL, words_.bold))
            self.setBrush(words_.colour)

    def wanted(self, on_screen: Callable[[FloatArray, FloatArray], FloatArray]) -> label_places.Wanted:
        """Where the words may stand."""
        box, words_ = self.boundingRect(), self._words
        at = on_screen(words_.x, words_.y)
        size = box.width(), box.height()
        if words_.first is not None:
            corners = label_places.along(at, *size, words_.first)
        else:
            corners = label_places.around(*(at[0] if len(at) else (0.0, 0.0)), *size)
        return label_places.Wanted(*size, corners)

    def paint(self, painter: QPainter, option: object, widget: QWidget | None = None) -> None:
        ground = QColor(themes.current.bench)
        ground.setAlphaF(0.8)
        painter.fillRect(QRectF(self.boundingRect()), ground)
        super().paint(painter, option, widget)


def _parted(line: CurveLine, axes: CurveAxes) -> tuple[tuple[FloatArray, FloatArray], tuple[FloatArray, FloatArray]]:
    """The sure part and the estimated part, which share the point at which they meet."""
    x, y = axes.shown(line)
    if line.sure_up_to is None:
        return (x, y), (x[:0], y[:0])
    limit = float(axes.across(np.array(line.sure_up_to)))
    if not len(x) or limit >= x[-1]:
        return (x, y), (x[:0], y[:0])
    meet = np.interp(limit, x, y)
    sure, guess = x < limit, x > limit
    return (np.append(x[sure], limit), np.append(y[sure], meet)), (
        np.insert(x[guess], 0, limit),
        np.insert(y[guess], 0, meet),
    )
