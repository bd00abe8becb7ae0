"""What plots along the coolant's way share: the parts where they lie, their names, and what a click chooses."""

from collections.abc import Sequence
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from app.drawn_axes import DrawnAxes
from app.focus_mark import paint_focus_mark
from app.key_steps import stepped
from app.stream_names import Name, Named, place_names
from app.theme import Theme, Type, font, themes

__all__ = ["StreamPlot", "StreamStep"]

_REACH_PX = 4.0  # a part narrower than this is still hit


class StreamStep(Protocol):
    """A part or tube run on the way, from one distance to another [m]."""

    @property
    def id(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def start(self) -> float: ...
    @property
    def end(self) -> float: ...


class StreamPlot(QWidget):
    """A click chooses the part or run under it, arrow keys the next one; resting there tells its figures.

    A plot of its own says which steps it shows, fits the axes to them, and paints its curves.
    """

    chosen = Signal(object)  # frozenset of ids

    def __init__(self, axes: DrawnAxes, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.ids: frozenset[str] = frozenset()
        self.names: list[Name] = []
        self._axes = axes
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(190)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        themes.changed.connect(self._on_theme)

    def steps(self) -> Sequence[StreamStep]:
        """What is shown, in the order of the flow; nothing where there is nothing to show."""
        raise NotImplementedError

    def curves(self) -> list[NDArray[np.float64]]:
        """The curves, the first of which carries the names, shape (n, 2) each [px]."""
        raise NotImplementedError

    def middle(self, step: StreamStep) -> tuple[float, float]:
        """Middle of a step's piece of the first curve [px]."""
        raise NotImplementedError

    def tip(self, step: StreamStep) -> str:
        """Figures of a step."""
        raise NotImplementedError

    def fit_axes(self) -> None:
        """Make room for what is shown."""
        raise NotImplementedError

    def paint_shown(self, painter: QPainter) -> None:
        """Paint the curves, over the grounds and the axes."""
        raise NotImplementedError

    def paint_grounds(self, painter: QPainter) -> None:
        """The parts, and the selected run, as grounds under everything else."""
        theme = themes.current
        for step in self.steps():
            if step.id in self.ids or step.kind != "tube_run":
                painter.fillRect(self.band(step.start, step.end), theme.chosen if step.id in self.ids else theme.grid)

    def choose(self, ids: frozenset[str]) -> None:
        """Bring out what is selected."""
        if ids != self.ids:
            self.ids = ids
            self.lay_out()

    def sizeHint(self) -> QSize:
        return QSize(460, 260)

    def x_of(self, distance: float) -> float:
        """Place across of a distance along the line [px]."""
        return self._axes.x(distance)

    def step_at(self, x: float) -> StreamStep | None:
        """What lies at a place across, parts before runs; None outside the axes."""
        steps = self.steps()
        if not steps or not self._axes.left - _REACH_PX <= x <= self._axes.right + _REACH_PX:
            return None
        near = [(self._away(step, x), step.kind == "tube_run", n) for n, step in enumerate(steps)]
        away, _, number = min(((0.0 if away <= _REACH_PX and not run else away, run, n) for away, run, n in near))
        return steps[number] if away <= _REACH_PX else None

    def band(self, start: float, end: float) -> QRectF:
        """From one distance to another, over the whole height."""
        left, right = self._axes.x(start), self._axes.x(end)
        return QRectF(left, self._axes.top, max(right - left, 2.0), self._axes.bottom - self._axes.top)

    def lay_out(self) -> None:
        """Fit the axes and place the names."""
        self.names = []
        if self.steps():
            self.fit_axes()
            axes = self._axes
            pieces = [Named(step.id, step.name, *self.middle(step)) for step in self.steps() if step.kind != "tube_run"]
            within = QRectF(axes.left, axes.top, axes.right - axes.left, axes.bottom - axes.top)
            self.names = place_names(pieces, self.curves(), within, self.ids)
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        step = self.step_at(event.position().x())
        self.chosen.emit(frozenset((step.id,)) if step is not None else frozenset())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {step.id: step for step in self.steps()}
        found = stepped(event.key(), list(steps), self.ids)
        if found is None:
            super().keyPressEvent(event)
            return
        self.chosen.emit(frozenset((found,)))
        place = self.band(steps[found].start, steps[found].end).center().toPoint()
        QToolTip.showText(self.mapToGlobal(place), self.tip(steps[found]), self)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            step = self.step_at(event.pos().x())
            QToolTip.showText(event.globalPos(), self.tip(step) if step is not None else "", self)
            return True
        return super().event(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(font(Type.SMALL))
        if self.steps():
            self.paint_grounds(painter)
            self._axes.paint(painter, themes.current)
            self.paint_shown(painter)
        paint_focus_mark(painter, self)

    def paint_names(self, painter: QPainter) -> None:
        """The names, each on a ground that lets a line behind it be guessed at."""
        theme = themes.current
        ground = QColor(theme.bench)
        ground.setAlphaF(0.75)
        for name in self.names:
            painter.setFont(font(Type.SMALL, bold=name.id in self.ids))
            if name.leader is not None:
                painter.setPen(QPen(theme.soft_ink, 0.8))
                painter.drawLine(*name.leader)
            painter.fillRect(name.box, ground)
            painter.setPen(theme.ink)
            painter.drawText(name.box, Qt.AlignmentFlag.AlignCenter, name.text)

    def _away(self, step: StreamStep, x: float) -> float:
        return max(self._axes.x(step.start) - x, x - self._axes.x(step.end), 0.0)

    def _on_theme(self, _: Theme) -> None:
        self.update()
