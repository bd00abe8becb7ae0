"""Temperatures against time, with the limits and where they are crossed."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app import figures
from app.drawn_axes import DrawnAxes
from app.measures import measures
from app.stream_names import Name, Named, place_names
from app.theme import Theme, Type, font, themes
from loopsim.studies import Transient

__all__ = ["TimePlot"]

FloatArray = NDArray[np.float64]
Dash = Qt.PenStyle

_SHORT = 180.0  # a run no longer than this is shown in seconds [s]
_OVER = 20.0  # above the highest limit nothing needs to be told apart [K]
_LEAST_SPAN = 2.0  # [K]
_OLD = 0.4
_DASHES = (Dash.SolidLine, Dash.DashLine, Dash.DashDotLine, Dash.DotLine, Dash.DashDotDotLine)


class Curve(NamedTuple):
    """One line: id of its part (empty: none), what it is called, temperatures, colour role, dash, width [px]."""

    item: str
    name: str
    values: FloatArray
    role: str
    dash: Dash
    width: float


class TimePlot(QWidget):
    """The course of one run: components in ink, told apart by their strokes, the warmest coolant, the spaces' air."""

    def __init__(self) -> None:
        super().__init__()
        self.shown: Transient | None = None
        self.ids: frozenset[str] = frozenset()
        self.curves: tuple[Curve, ...] = ()
        self.names: list[Name] = []
        self._axes = DrawnAxes("time, min", "temperature", up_unit="c")
        self._old = False
        self.setAccessibleName("course in time")
        self.setMinimumHeight(220)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        themes.changed.connect(self._on_theme)

    def show_course(self, course: Transient | None, old: bool = False) -> None:
        """Show a run, or nothing; `old` dims it."""
        self.shown, self._old = course, old
        self.curves = tuple(_curves(course)) if course is not None else ()
        self.setVisible(course is not None)
        self.setAccessibleDescription(figures.told(course.sentence) if course is not None else "")
        self._lay_out()

    def choose(self, ids: frozenset[str]) -> None:
        """Bring out what is selected."""
        if ids != self.ids:
            self.ids = ids
            self._lay_out()

    def sizeHint(self) -> QSize:
        return QSize(460, 300)

    @property
    def times(self) -> FloatArray:
        """Times as shown, shape (t,) [s] or [min]."""
        return self.shown.time / self._unit

    @property
    def _unit(self) -> float:
        return 1.0 if float(self.shown.time[-1]) <= _SHORT else 60.0

    def crossing_points(self) -> list[QPointF]:
        """Where components reach their limits [px]."""
        axes = self._axes
        return [QPointF(axes.x(each.time / self._unit), axes.y(each.limit)) for each in self.shown.crossings]

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        if self.shown is None:
            return
        painter, theme = QPainter(self), themes.current
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font(Type.SMALL))
        self._axes.paint(painter, theme)
        painter.setOpacity(_OLD if self._old else 1.0)
        self._paint_limits(painter, theme)
        painter.save()
        painter.setClipRect(self._inside())
        for curve in self.curves:
            width = curve.width + 1.5 * (curve.item in self.ids)
            painter.setPen(QPen(getattr(theme, curve.role), width, curve.dash))
            painter.drawPolyline(self._axes.polygon(self.times, self._clipped(curve.values)))
        painter.restore()
        self._paint_crossings(painter, theme)
        painter.setOpacity(1.0)
        self._paint_names(painter, theme)

    def _lay_out(self) -> None:
        self.names = []
        if self.shown is not None:
            self._fit()
            lines = [self._axes.points(self.times, self._clipped(curve.values)) for curve in self.curves]
            pieces = [
                Named(f"{number} {curve.item}", curve.name, *_where(line, number, len(lines)))
                for number, (curve, line) in enumerate(zip(self.curves, lines, strict=True))
            ]
            self.names = place_names(pieces, lines, self._inside(), frozenset())
        self.update()

    def _fit(self) -> None:
        limits = [each.limit for each in self.shown.components if each.limit is not None]
        ceiling = max(limits, default=np.inf) + _OVER
        most = max([float(np.minimum(curve.values, ceiling).max()) for curve in self.curves] + self._limits_near())
        least = min(float(curve.values.min()) for curve in self.curves)
        self._axes.across = "time, s" if self._unit == 1.0 else "time, min"
        most = max(most, least + _LEAST_SPAN)
        self._axes.fit(least, most, float(self.times[-1]), QRectF(self.rect()))

    def _limits_near(self) -> list[float]:
        """Limits of components that come within reach of theirs; others would only press the lines together."""
        return [
            each.limit
            for each in self.shown.components
            if each.limit is not None and each.limit < float(each.temperature.max()) + _OVER
        ]

    def _clipped(self, values: FloatArray) -> FloatArray:
        return np.minimum(values, self._axes.high + 1.0)

    def _inside(self) -> QRectF:
        axes = self._axes
        return QRectF(axes.left, axes.top, axes.right - axes.left, axes.bottom - axes.top)

    def _paint_limits(self, painter: QPainter, theme: Theme) -> None:
        metrics = QFontMetricsF(painter.font())
        for limit in sorted(set(self._limits_near())):
            if self._axes.low < limit < self._axes.high:
                y, words = self._axes.y(limit), f"limit {figures.in_unit(limit, 'c', measures.unit('c'))}"
                painter.setPen(QPen(theme.rust, 1.0, Dash.DashLine))
                painter.drawLine(QPointF(self._axes.left, y), QPointF(self._axes.right, y))
                painter.setPen(theme.rust_text)
                painter.drawText(QPointF(self._axes.right - metrics.horizontalAdvance(words) - 2, y - 3), words)

    def _paint_crossings(self, painter: QPainter, theme: Theme) -> None:
        painter.setPen(QPen(theme.rust, 2.0))
        painter.setBrush(theme.paper)
        for point in self.crossing_points():
            painter.drawEllipse(point, 4.5, 4.5)

    def _paint_names(self, painter: QPainter, theme: Theme) -> None:
        ground = QColor(theme.bench)
        ground.setAlphaF(0.75)
        for name in self.names:
            curve = self.curves[int(name.id.partition(" ")[0])]
            painter.setFont(font(Type.SMALL, bold=curve.item in self.ids and bool(curve.item)))
            if name.leader is not None:
                painter.setPen(QPen(theme.soft_ink, 0.8))
                painter.drawLine(*name.leader)
            painter.fillRect(name.box, ground)
            painter.setPen(theme.liquid_text if curve.role == "liquid" else getattr(theme, curve.role))
            painter.drawText(name.box, Qt.AlignmentFlag.AlignCenter, name.text)

    def _on_theme(self, _: Theme) -> None:
        self.update()


def _curves(course: Transient) -> Iterator[Curve]:
    """Components first, those that cross first before others; what shows the same line is named together."""
    groups: list[tuple[list[str], str, FloatArray]] = []
    for each in (each for each in course.components if each.cooled_by == "coolant"):
        alike = next((group for group in groups if np.allclose(group[2], each.temperature, atol=0.05)), None)
        if alike is None:
            groups.append(([each.name], each.part, each.temperature))
        else:
            alike[0].append(each.name)
    for number, (names, part, temperature) in enumerate(groups):
        yield Curve(
            part,
            names[0] if len(names) == 1 else f"{names[0]} and alike",
            temperature,
            "ink",
            _DASHES[number % len(_DASHES)],
            1.6,
        )
    if course.streams:
        warmest = np.max(list(course.streams.values()), axis=0)
        yield Curve("", "coolant, warmest", warmest, "liquid", Dash.SolidLine, 2.4)
    for number, (space, temperature) in enumerate(course.spaces.items()):
        yield Curve("", f"air, {space}", temperature, "soft_ink", _DASHES[number % len(_DASHES)], 1.2)


def _where(line: FloatArray, number: int, count: int) -> tuple[float, float]:
    """The point of a line that carries its name: spread out, so that names of near lines keep apart."""
    at = int((0.35 + 0.5 * (number + 0.5) / max(count, 1)) * (len(line) - 1))
    return float(line[at, 0]), float(line[at, 1])
