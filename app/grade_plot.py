"""The grade line on the screen: heads and the tube's height against distance, with the parts where they lie."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QWidget

from app import figures
from app.grade_axes import GradeAxes
from app.stream_plot import StreamPlot
from app.theme import Theme, Type, font, themes
from loopsim.studies import GradeLine, GradeStep

__all__ = ["GradePlot"]

FloatArray = NDArray[np.float64]
Line = Qt.PenStyle

_KEY_PX, _HATCH_PX = 18.0, 8.0


class GradePlot(StreamPlot):
    """One circuit's line. A click chooses the part or run under it; resting there tells its heads and pressures."""

    _axes: GradeAxes

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(GradeAxes(), "grade line", parent)
        self.shown: GradeLine | None = None
        self.struck: FloatArray | None = None  # heads along the same way after a failure [m]

    def show_line(self, line: GradeLine | None, struck: FloatArray | None = None) -> None:
        """Show a line, or nothing; beside it the heads after a failure, if there are any."""
        self.shown, self.struck = line, struck
        self.setAccessibleDescription(figures.told(line.sentence) if line is not None else "")
        self.lay_out()

    def steps(self) -> Sequence[GradeStep]:
        return self.shown.steps if self.shown is not None else ()

    def curves(self) -> list[FloatArray]:
        line = self.shown
        others = [] if self.struck is None else [self.struck]
        return [self._axes.points(line.distance, head) for head in (line.piezometric_head, line.elevation, *others)]

    def middle(self, step: GradeStep) -> tuple[float, float]:
        x, y = self._axes.points(step.distance[[0, -1]], step.piezometric_head[[0, -1]]).mean(axis=0)
        return float(x), float(y)

    def fit_axes(self) -> None:
        others = [] if self.struck is None else [self.struck]
        self._axes.fit_line(self.shown, QRectF(self.rect()).adjusted(0, 0, 0, -_KEY_PX), *others)

    def tip(self, step: GradeStep) -> str:
        """Heads and pressures at both ends of a step."""
        points = {point.distance: point for point in self.shown.points}
        lines = [step.name]
        for distance in (step.start, step.end):
            point = points[distance]
            pressure = f"{figures.amount(point.pressure, 'kpa')} gauge"
            if point.absolute is not None:
                pressure += f", {figures.amount(point.absolute, 'kpa')} absolute"
            lines.append(f"{point.name}: {figures.amount(point.piezometric_head, 'm')}, {pressure}")
        return "\n".join(lines)

    def paint_grounds(self, painter: QPainter) -> None:
        """Parts, suction and hatching, which lie under everything else."""
        super().paint_grounds(painter)
        theme, line = themes.current, self.shown
        if line.suction is not None:
            painter.fillRect(self.band(line.suction.start, line.suction.end), _suction(theme))
        for stretch in line.below_atmosphere:
            _hatch(painter, self.band(stretch.start, stretch.end), theme.rust)

    def paint_shown(self, painter: QPainter) -> None:
        self._paint_curves(painter, self.shown)
        self.paint_names(painter)
        self._paint_key(painter, self.shown)

    def _paint_curves(self, painter: QPainter, line: GradeLine) -> None:
        theme, axes = themes.current, self._axes
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(theme.ink, 1.2))
        painter.drawPolyline(axes.polygon(line.distance, line.elevation))
        if self.struck is None:
            painter.setPen(QPen(theme.liquid, 1.2, Line.DashLine))
            painter.drawPolyline(axes.polygon(line.distance, line.total_head))
        painter.setPen(QPen(theme.liquid, 2.2))
        painter.drawPolyline(axes.polygon(line.distance, line.piezometric_head))
        if self.struck is not None:
            known = np.isfinite(self.struck)
            painter.setPen(QPen(theme.rust, 2.0, Line.DashLine))
            painter.drawPolyline(axes.polygon(line.distance[known], self.struck[known]))
        painter.setPen(QPen(theme.liquid, 4.5))
        for step in line.steps:
            if step.id in self.ids:
                painter.drawPolyline(axes.polygon(step.distance, step.piezometric_head))

    def _paint_key(self, painter: QPainter, line: GradeLine) -> None:
        """What lines and grounds are, below the axis, each in words beside its own stroke."""
        theme = themes.current
        painter.setFont(font(Type.SMALL))
        entries: list[tuple[str, Callable[[QRectF], None]]] = [
            ("static", lambda box: _stroke(painter, box, QPen(theme.liquid, 2.2))),
            ("total", lambda box: _stroke(painter, box, QPen(theme.liquid, 1.2, Line.DashLine))),
            ("tube", lambda box: _stroke(painter, box, QPen(theme.ink, 1.2))),
        ]
        if self.struck is not None:
            entries[1] = ("after the failure", lambda box: _stroke(painter, box, QPen(theme.rust, 2.0, Line.DashLine)))
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
