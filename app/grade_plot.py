"""The grade line on the screen: heads and the tube's height against distance, with the parts where they lie."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QHelpEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from app import figures
from app.grade_axes import GradeAxes
from app.grade_names import Name, place_names
from app.theme import Theme, Type, font, themes
from loopsim.studies import GradeLine, GradeStep
from loopsim.units import from_si

__all__ = ["GradePlot"]

FloatArray = NDArray[np.float64]
Line = Qt.PenStyle

_REACH_PX = 4.0  # a part narrower than this is still hit
_KEY_PX = 18.0
_HATCH_PX = 8.0
_LEAST_PX = 190


class GradePlot(QWidget):
    """One circuit's line. A click chooses the part or run under it; resting there tells its heads and pressures."""

    chosen = Signal(object)  # frozenset of ids

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.shown: GradeLine | None = None
        self.ids: frozenset[str] = frozenset()
        self.names: list[Name] = []
        self._axes = GradeAxes()
        self.setAccessibleName("grade line")
        self.setMinimumHeight(_LEAST_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        themes.changed.connect(self._on_theme)

    def show_line(self, line: GradeLine | None) -> None:
        """Show a line, or nothing."""
        self.shown = line
        self.setAccessibleDescription(line.sentence if line is not None else "")
        self._lay_out()

    def choose(self, ids: frozenset[str]) -> None:
        """Bring out what is selected."""
        if ids != self.ids:
            self.ids = ids
            self._lay_out()

    def sizeHint(self) -> QSize:
        return QSize(460, _LEAST_PX)

    def x_of(self, distance: float) -> float:
        """Place across of a distance along the line [px]."""
        return self._axes.x(distance)

    def step_at(self, x: float) -> GradeStep | None:
        """What lies at a place across, parts before runs; None outside the axes."""
        if self.shown is None or not self._axes.left - _REACH_PX <= x <= self._axes.right + _REACH_PX:
            return None
        near = [(self._away(step, x), step.kind == "tube_run", n) for n, step in enumerate(self.shown.steps)]
        away, _, number = min(((0.0 if away <= _REACH_PX and not run else away, run, n) for away, run, n in near))
        return self.shown.steps[number] if away <= _REACH_PX else None

    def _away(self, step: GradeStep, x: float) -> float:
        start, end = (self._axes.x(float(step.distance[at])) for at in (0, -1))
        return max(start - x, x - end, 0.0)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        step = self.step_at(event.position().x())
        self.chosen.emit(frozenset((step.id,)) if step is not None else frozenset())

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            step = self.step_at(event.pos().x())
            QToolTip.showText(event.globalPos(), self.tip(step) if step is not None else "", self)
            return True
        return super().event(event)

    def tip(self, step: GradeStep) -> str:
        """Heads and pressures at both ends of a step."""
        line = self.shown
        assert line is not None
        points = {point.distance: point for point in line.points}
        lines = [step.name]
        for distance in (float(step.distance[0]), float(step.distance[-1])):
            point = points[distance]
            pressure = f"{figures.dp_kpa(point.pressure)} kPa gauge"
            if point.absolute is not None:
                pressure += f", {from_si(point.absolute, 'kpa'):.1f} kPa absolute"
            lines.append(f"{point.name}: {figures.head_m(point.piezometric_head)} m, {pressure}")
        return "\n".join(lines)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._lay_out()

    def _on_theme(self, _: Theme) -> None:
        self.update()

    def _lay_out(self) -> None:
        """Fit the axes and place the names."""
        line = self.shown
        if line is not None:
            self._axes.fit(line, QRectF(self.rect()).adjusted(0, 0, 0, -_KEY_PX))
            self.names = place_names(line, self._axes, self.ids)
        else:
            self.names = []
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font(Type.SMALL))
        if self.shown is None:
            return
        self._paint_grounds(painter, self.shown)
        self._axes.paint(painter, themes.current)
        self._paint_curves(painter, self.shown)
        self._paint_names(painter)
        self._paint_key(painter, self.shown)

    def _paint_grounds(self, painter: QPainter, line: GradeLine) -> None:
        """Parts, suction and hatching, which lie under everything else."""
        theme = themes.current
        for step in line.steps:
            if step.id in self.ids or step.kind != "tube_run":
                ground = theme.chosen if step.id in self.ids else theme.grid
                painter.fillRect(self._band(float(step.distance[0]), float(step.distance[-1])), ground)
        if line.suction is not None:
            painter.fillRect(self._band(line.suction.start, line.suction.end), _suction(theme))
        for stretch in line.below_atmosphere:
            _hatch(painter, self._band(stretch.start, stretch.end), theme.rust)

    def _band(self, start: float, end: float) -> QRectF:
        left, right = self._axes.x(start), self._axes.x(end)
        return QRectF(left, self._axes.top, max(right - left, 2.0), self._axes.bottom - self._axes.top)

    def _paint_curves(self, painter: QPainter, line: GradeLine) -> None:
        theme = themes.current
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(theme.ink, 1.2))
        painter.drawPolyline(self._polygon(line.distance, line.elevation))
        painter.setPen(QPen(theme.liquid, 1.2, Line.DashLine))
        painter.drawPolyline(self._polygon(line.distance, line.total_head))
        painter.setPen(QPen(theme.liquid, 2.2))
        painter.drawPolyline(self._polygon(line.distance, line.piezometric_head))
        painter.setPen(QPen(theme.liquid, 4.5))
        for step in line.steps:
            if step.id in self.ids:
                painter.drawPolyline(self._polygon(step.distance, step.piezometric_head))

    def _polygon(self, distance: FloatArray, head: FloatArray) -> QPolygonF:
        return QPolygonF([QPointF(*each) for each in self._axes.points(distance, head)])

    def _paint_names(self, painter: QPainter) -> None:
        theme = themes.current
        for name in self.names:
            painter.setFont(font(Type.SMALL, bold=name.id in self.ids))
            if name.leader is not None:
                painter.setPen(QPen(theme.soft_ink, 0.8))
                painter.drawLine(*name.leader)
            ground = QColor(theme.bench)
            ground.setAlphaF(0.75)
            painter.fillRect(name.box, ground)
            painter.setPen(theme.ink)
            painter.drawText(name.box, Qt.AlignmentFlag.AlignCenter, name.text)

    def _paint_key(self, painter: QPainter, line: GradeLine) -> None:
        """What lines and grounds are, below the axis, each in words beside its own stroke."""
        theme = themes.current
        painter.setFont(font(Type.SMALL))
        entries: list[tuple[str, Callable[[QRectF], None]]] = [
            ("static", lambda box: _stroke(painter, box, QPen(theme.liquid, 2.2))),
            ("total", lambda box: _stroke(painter, box, QPen(theme.liquid, 1.2, Line.DashLine))),
            ("tube", lambda box: _stroke(painter, box, QPen(theme.ink, 1.2))),
        ]
        if line.suction is not None:
            entries.append(("suction", lambda box: painter.fillRect(box, _suction(theme))))
        if line.below_atmosphere:
            entries.append(("below room pressure", lambda box: _hatch(painter, box, theme.rust)))
        x, middle = 2.0, self.height() - _KEY_PX / 2
        metrics = QFontMetricsF(painter.font())
        for words, draw in entries:
            draw(QRectF(x, middle - 5, 16, 10))
            painter.setPen(theme.ink)
            painter.drawText(QPointF(x + 20, middle + metrics.ascent() / 2 - 1), words)
            x += 30 + metrics.horizontalAdvance(words)


def _stroke(painter: QPainter, box: QRectF, pen: QPen) -> None:
    painter.setPen(pen)
    painter.drawLine(QPointF(box.left(), box.center().y()), QPointF(box.right(), box.center().y()))


def _suction(theme: Theme) -> QColor:
    colour = QColor(theme.liquid)
    colour.setAlphaF(0.25)
    return colour


def _hatch(painter: QPainter, box: QRectF, colour: QColor) -> None:
    painter.save()
    painter.setClipRect(box, Qt.ClipOperation.IntersectClip)
    painter.setPen(QPen(colour, 1.0))
    rise = box.height() + box.width()
    for offset in np.arange(0.0, rise, _HATCH_PX):
        start = QPointF(box.left(), box.top() + float(offset))
        painter.drawLine(start, start + QPointF(box.width(), -box.width()))
    painter.restore()
