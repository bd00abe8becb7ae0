"""The coolant's temperature along its way, on the screen."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from app import figures
from app.drawn_axes import DrawnAxes
from app.stream_plot import StreamPlot
from app.theme import themes
from loopsim.studies import CoolantStep, Staircase

__all__ = ["StaircasePlot"]

_LEAST_SPAN = 2.0  # the axis shows no less, or nothing would look like something [K]
_OLD = 0.4  # opacity of an answer to an earlier sketch


class StaircasePlot(StreamPlot):
    """One circuit's staircase: up through what heats, down through what cools."""

    def __init__(self) -> None:
        super().__init__(DrawnAxes("distance along the stream", "coolant", "m", "c"), "coolant staircase")
        self.shown: Staircase | None = None
        self._corners = np.empty((0, 2))
        self._old = False

    def show_stairs(self, stairs: Staircase | None, old: bool = False) -> None:
        """Show a staircase, or nothing; `old` dims it."""
        self.shown, self._old = stairs, old
        self._corners = np.array(stairs.corners) if stairs is not None else np.empty((0, 2))
        self.setVisible(stairs is not None)
        self.setAccessibleDescription(self._in_words(stairs) if stairs is not None else "")
        self.lay_out()

    def steps(self) -> Sequence[CoolantStep]:
        return self.shown.steps if self.shown is not None else ()

    def curves(self) -> list[NDArray[np.float64]]:
        return [self._axes.points(*self._corners.T)]

    def middle(self, step: CoolantStep) -> tuple[float, float]:
        return self._axes.x((step.start + step.end) / 2), self._axes.y((step.enters + step.leaves) / 2)

    def fit_axes(self) -> None:
        temperatures = self._corners[:, 1]
        least, most = float(temperatures.min()), float(temperatures.max())
        spare = max(0.0, _LEAST_SPAN - (most - least)) / 2
        self._axes.fit(least - spare, most + spare, float(self._corners[-1, 0]), QRectF(self.rect()))

    def tip(self, step: CoolantStep) -> str:
        """Temperatures at both ends of a step."""
        enters, leaves = figures.amount(step.enters, "c"), figures.amount(step.leaves, "c")
        change = figures.localised(f"{figures.in_own(abs(step.change), 'k'):.2f} {figures.label('k')}")
        side = "warmer" if step.change > 0 else "cooler"
        return f"{step.name}\nenters at {enters}, leaves at {leaves}, {change} {side}"

    def paint_shown(self, painter: QPainter) -> None:
        theme, axes = themes.current, self._axes
        painter.setOpacity(_OLD if self._old else 1.0)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(theme.liquid, 2.2))
        painter.drawPolyline(axes.polygon(*self._corners.T))
        painter.setPen(QPen(theme.liquid, 4.5))
        for step in self.steps():
            if step.id in self.ids:
                start, end = ((step.start, step.enters), (step.end, step.leaves))
                painter.drawLine(QLineF(*(QPointF(axes.x(x), axes.y(y)) for x, y in (start, end))))
        painter.setOpacity(1.0)
        self.paint_names(painter)

    def _in_words(self, stairs: Staircase) -> str:
        warmest, coldest = stairs.warmest, stairs.coldest
        return (
            f"From {figures.amount(coldest.leaves, 'c')} after {coldest.name} "
            f"to {figures.amount(warmest.leaves, 'c')} after {warmest.name}."
        )
