"""Pump curves against the system curve, with the operating points: the plot that shows why."""

from collections.abc import Sequence

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app import figures, label_places, words
from app.axis_ends import End, round_end
from app.curve_axes import CurveAxes, liquid_axes
from app.plot_ink import Band, Drawing, Label, Stroke
from app.theme import STEP, Theme, Type, font, themes
from loopsim.studies import CurveLine, PumpPlot, StoppedCase

__all__ = ["CurvePlot"]

FloatArray = NDArray[np.float64]
Line = Qt.PenStyle

_MARGIN = 0.003  # of the axes, so that the first and the last tick lie inside
_OLD = 0.4  # opacity of curves that belong to an earlier sketch


class CurvePlot(QWidget):
    """One group's plot. Items are made once and filled anew; axes run from zero to round ends."""

    def __init__(self, shows_stopped: bool = True, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.shows_stopped = shows_stopped
        self.shown: PumpPlot | None = None
        self.chosen: frozenset[str] = frozenset()
        self.axes = liquid_axes()
        self.tolerance = 0.0  # half width of the band around the combined curve, as a share of its head
        self._strokes: dict[str, Stroke] = {}
        self._labels: list[Label] = []
        self._ends = End(0.0, 0.0), End(0.0, 0.0)
        self._widget = pg.PlotWidget(parent=self)
        self.band, self.system_band = Band(self._item), Band(self._item)
        self._grid = pg.GridItem(textPen=None)  # an axis with a grid would not label its ends
        self._head_words = self._caption(self.axes.head_words, Qt.AlignmentFlag.AlignLeft)
        self._flow_words = self._caption(self.axes.flow_words, Qt.AlignmentFlag.AlignRight)
        self._band_words = self._caption("", Qt.AlignmentFlag.AlignLeft)
        self._quieten()
        self._lay_out()
        self.set_theme(themes.current)
        themes.changed.connect(self.set_theme)

    def show_plot(
        self, plot: PumpPlot | None, old: bool = False, tolerance: float = 0.0, axes: CurveAxes | None = None
    ) -> None:
        """Show a plot; `old` dims it, `tolerance` is a share of the head by which all its pumps may miss."""
        axes = axes or liquid_axes()
        self._view.setOpacity(_OLD if old else 1.0)
        self._head_words.setText(f"{axes.head_words}  (curves of the sketch before)" if old else axes.head_words)
        self._flow_words.setText(axes.flow_words)
        if plot is not self.shown or (tolerance, axes) != (self.tolerance, self.axes):
            self.shown, self.tolerance, self.axes = plot, tolerance, axes
            self._draw()

    def choose(self, ids: frozenset[str]) -> None:
        """Bring out the case of a selected pump."""
        if ids != self.chosen:
            self.chosen = ids
            self._draw()

    def set_theme(self, theme: Theme) -> None:
        """Wear a theme."""
        self._widget.setBackground(theme.bench)
        self.band.tint(theme.liquid)
        self.system_band.tint(theme.ink)
        self._grid.setPen(pg.mkPen(theme.rule))
        for name in ("left", "bottom"):
            axis = self._item.getAxis(name)
            axis.setPen(pg.mkPen(theme.rule))
            axis.setTextPen(pg.mkPen(theme.soft_ink))
            axis.setTickPen(pg.mkPen(theme.rule))
        self._draw()

    def label_texts(self) -> list[str]:
        """The words that stand in the plot."""
        return [label.text() for label in self._labels if label.isVisible()]

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place_labels()

    @property
    def _item(self) -> pg.PlotItem:
        return self._widget.getPlotItem()

    @property
    def _view(self) -> pg.ViewBox:
        return self._item.getViewBox()

    def _caption(self, text: str, side: Qt.AlignmentFlag) -> QLabel:
        label = QLabel(text, self, alignment=side)
        label.setProperty("tone", "soft")
        label.setFont(font(Type.SMALL))
        return label

    def _quieten(self) -> None:
        """No menu, no buttons, no dragging, no automatic range: the axes keep still while a part is dragged."""
        self._widget.setMinimumHeight(180)
        self._widget.setAntialiasing(True)
        self._widget.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._widget.setAccessibleName(f"curves of {self.axes.machine}s against what the loop asks for")
        self._item.setMenuEnabled(False)
        self._item.hideButtons()
        self._item.layout.setContentsMargins(0, STEP, 2 * STEP, 0)  # room for half of the last label
        self._view.addItem(self._grid, ignoreBounds=True)
        self._view.setMouseEnabled(False, False)
        self._view.disableAutoRange()
        self._view.sigResized.connect(self._place_labels)
        for name in ("left", "bottom"):
            axis = self._item.getAxis(name)
            axis.setStyle(tickFont=font(Type.SMALL), tickLength=0, maxTickLevel=0, hideOverlappingLabels=False)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._head_words)
        column.addWidget(self._widget, 1)
        foot = QHBoxLayout()
        foot.setContentsMargins(0, 0, STEP, 0)
        self._band_words.setWordWrap(True)
        foot.addWidget(self._band_words, 1)
        foot.addWidget(self._flow_words, 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(foot)

    def _draw(self) -> None:
        drawing = Drawing(themes.current, self.axes)
        if self.shown is not None:
            self._compose(self.shown, drawing)
            self._set_ends(self.shown)
        self._draw_band()
        self._fill(drawing)
        self._widget.setAccessibleDescription("; ".join(self.label_texts()))

    def _draw_band(self) -> None:
        """Shade the heads that the pumps may give if all miss their curve alike, and those that may be needed."""
        share = self.tolerance if self.shown is not None else 0.0
        x, head = self.axes.shown(self.shown.combined) if share else (np.empty(0), np.empty(0))
        self.band.draw(x, (1 - share) * head, (1 + share) * head)
        needs_band = self._draw_system_band()
        parts = [f"±{figures.percent(share)} % of the {self.axes.head_name}"] if share else []
        whose = "loops" if self.axes.machine == "pump" else "machines"
        parts += [f"what 95 of 100 {whose} ask for"] if needs_band else []
        self._band_words.setText(f"shaded: {'; '.join(parts)}" if parts else "")

    def _draw_system_band(self) -> bool:
        """Shade what the rest may ask for; True if anything is known of that."""
        line = self._asked_for()
        if line is None or line.band is None:
            self.system_band.draw(np.empty(0), np.empty(0), np.empty(0))
            return False
        x, head = self.axes.shown(line)
        width = np.asarray(self.axes.up(line.band))
        self.system_band.draw(x, head - width, head + width)
        return True

    def _asked_for(self) -> CurveLine | None:
        """The system curve around which a band is shaded."""
        return None if self.shown is None else self.shown.system

    def _compose(self, plot: PumpPlot, drawing: Drawing) -> None:
        """Collect the strokes and labels of a plot, the most important label first."""
        theme, pumps = themes.current, len(plot.pumps)
        state = words.all_run(pumps) if not plot.why_single else f"{plot.combined.label} running"
        drawing.curve("system", plot.system, theme.ink, 1.5)
        if pumps > 1:
            self._compose_each(plot, drawing)
        drawing.curve("combined", plot.combined, theme.liquid, 2.0)
        drawing.point("all run", plot.flow, plot.head, theme.liquid)
        drawing.name_point(f"{state}: {self.axes.flow_text(plot.flow)}", plot.flow, plot.head, theme.liquid_text, True)
        if self.shows_stopped:
            for number, cases in enumerate(_alike(plot.stopped, self.axes)):
                self._compose_stopped(number, cases, plot, drawing)
        drawing.name_line(plot.system.label, plot.system, theme.ink, 0.75)
        drawing.name_line(plot.combined.label, plot.combined, theme.liquid_text, 0.8)

    def _compose_each(self, plot: PumpPlot, drawing: Drawing) -> None:
        theme = themes.current
        for number, lines in enumerate(_same_lines(plot.each)):
            drawing.curve(f"each {number}", lines[0], theme.soft_ink, 1.0)
            together = (
                f"each {self.axes.machine} alone"
                if len(lines) == len(plot.each)
                else ", ".join(line.label for line in lines)
            )
            drawing.name_line(together, lines[0], theme.soft_ink, 0.55)

    def _compose_stopped(self, number: int, cases: list[StoppedCase], plot: PumpPlot, drawing: Drawing) -> None:
        theme, case = themes.current, cases[0]
        chosen = any(each.stopped in self.chosen for each in cases)
        drawing.curve(f"stopped {number}", case.combined, theme.rust, 2.0 if chosen else 1.5, Line.DashLine)
        if not _same(case.system, plot.system):
            drawing.curve(f"stopped system {number}", case.system, theme.soft_ink, 1.0, Line.DashLine)
        drawing.point(f"stopped {number}", case.flow, case.head, theme.rust)
        who = case.name  # of what else has failed, as it is called
        if case.stopped:
            who = words.either_stopped([each.name for each in cases], len(plot.stopped), self.axes.machine)
        drawing.name_point(f"{who}: {self.axes.flow_text(case.flow)}", case.flow, case.head, theme.rust_text, True)

    def _reach(self, plot: PumpPlot) -> tuple[float, float]:
        """Largest flow [m3/s] and head [m] to be shown."""
        stopped = [case.combined for case in plot.stopped] if self.shows_stopped else []
        lines = [plot.combined, *plot.each, *stopped]
        flow = max([plot.flow, *(_last_flow(line) for line in lines)])
        return flow, max([plot.head, *(float(line.head.max(initial=0.0)) for line in lines)])

    def _set_ends(self, plot: PumpPlot) -> None:
        flow, head = self._reach(plot)
        across = round_end(float(self.axes.across(np.array(flow))), self._ends[0])
        up = round_end(float(self.axes.up(np.array(head))), self._ends[1])
        if (across, up) != self._ends:
            self._ends = across, up
            self._item.getAxis("bottom").setTickSpacing(across.step, across.step)
            self._item.getAxis("left").setTickSpacing(up.step, up.step)
            self._grid.setTickSpacing(x=[across.step], y=[up.step])
            self._view.setRange(xRange=(0.0, across.end), yRange=(0.0, up.end), padding=_MARGIN)

    def _fill(self, drawing: Drawing) -> None:
        for name in self._strokes.keys() | drawing.strokes.keys():
            if name not in self._strokes:
                self._strokes[name] = Stroke(self._item)
            self._strokes[name].draw(drawing.strokes.get(name))
        while len(self._labels) < len(drawing.labels):
            self._labels.append(Label(self._view))
        for number, label in enumerate(self._labels):
            label.show_words(drawing.labels[number] if number < len(drawing.labels) else None)
        self._place_labels()

    def _place_labels(self) -> None:
        shown = [label for label in self._labels if label.isVisible()]
        bounds = self._view.boundingRect()
        if not shown or bounds.width() < 50:
            return
        within = label_places.Box(bounds.left(), bounds.top(), bounds.width(), bounds.height())
        lines = [self._on_screen(stroke.x, stroke.y) for stroke in self._strokes.values() if len(stroke.x)]
        wanted = [label.wanted(self._on_screen) for label in shown]
        for label, box in zip(shown, label_places.place(wanted, lines, within), strict=True):
            label.setPos(box.left, box.top)

    def _on_screen(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Flow and head as shown, in the view's pixels, what lies outside the axes left away, shape (n, 2)."""
        across, up = (end.end for end in self._ends)
        inside = (x >= 0) & (x <= across) & (y >= 0) & (y <= up)
        start = self._view.mapFromView(QPointF(0.0, 0.0))
        end = self._view.mapFromView(QPointF(across, up))
        at_x = start.x() + x[inside] / across * (end.x() - start.x())
        at_y = start.y() + y[inside] / up * (end.y() - start.y())
        return np.column_stack([at_x, at_y])


def _last_flow(line: CurveLine) -> float:
    """Flow at which the head of a curve has gone to zero [m3/s]."""
    positive = np.asarray(line.flow)[np.asarray(line.head) >= 0]
    return float(positive.max(initial=0.0))


def _same(one: CurveLine, other: CurveLine) -> bool:
    """True if two lines could not be told apart on the screen."""
    at = np.linspace(0.0, min(one.flow[-1], other.flow[-1]), 20)
    first, second = np.interp(at, one.flow, one.head), np.interp(at, other.flow, other.head)
    return bool(np.allclose(first, second, atol=0.005 * max(np.abs(first).max(), 1e-9)))


def _same_lines(lines: Sequence[CurveLine]) -> list[list[CurveLine]]:
    groups: list[list[CurveLine]] = []
    for line in lines:
        group = next((group for group in groups if _same(group[0], line)), None)
        groups.append([line]) if group is None else group.append(line)
    return groups


def _alike(cases: Sequence[StoppedCase], axes: CurveAxes) -> list[list[StoppedCase]]:
    """Cases that leave the same flow and the same curve stand together."""
    groups: list[list[StoppedCase]] = []
    for case in cases:
        group = next((group for group in groups if _same_case(group[0], case, axes)), None)
        groups.append([case]) if group is None else group.append(case)
    return groups


def _same_case(one: StoppedCase, other: StoppedCase, axes: CurveAxes) -> bool:
    return axes.flow_text(one.flow) == axes.flow_text(other.flow) and _same(one.combined, other.combined)
