"""A curve's points, the line that is calculated with, and its band: what the table above it means."""

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app import figures
from app.axis_ends import round_end
from app.plot_ink import Band
from app.points_table import PointsTable
from app.theme import STEP, Theme, Type, font, themes
from loopsim.curves import DataCurve, DrawnCurve, drawn
from loopsim.errors import LoopsimError
from loopsim.units import converted

__all__ = ["PointsPlot"]

FloatArray = NDArray[np.float64]

_HEIGHT, _WIDTH = 128, 360  # of the plot [px]
_FOOT = 32  # height of the lower axis with its label [px]
_MARGIN = 0.02  # of the axes


class PointsPlot(QWidget):
    """The picture of a table with two columns of figures, in the units of its headings. Made when first needed."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = QLabel(self, wordWrap=True)
        self.words.setProperty("tone", "soft")
        self.words.setFont(font(Type.SMALL))
        self.line = np.empty((0, 2))  # as drawn, in the units shown
        self.canvas: _Canvas | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, STEP // 2, 0, STEP // 2)
        self._column.setSpacing(2)
        self._column.addWidget(self.words)
        self.hide()
        themes.changed.connect(self._on_theme)

    def show_curve(self, curve: DataCurve | None, table: PointsTable) -> None:
        """Show a curve; nothing, if there is none or it has no line of its own."""
        line = _line(curve)
        self.setVisible(line is not None)
        if curve is None or line is None:
            return
        if self.canvas is None:
            self.canvas = _Canvas(self)
            self._column.insertWidget(0, self.canvas)
        self.line = _in_units(line.x, line.y, table)
        share = curve.relative_tolerance
        low, high = (_in_units(line.x, line.y * (1 + side * share), table) for side in (-1, 1))
        names = [column.name for column in table.columns]
        points = np.array([[getattr(point, name) for name in names] for point in curve.points], dtype=float)
        self.canvas.draw(self.line, low, high, _in_units(*points.T, table))
        self.canvas.name(*table.titles())
        words = (f"Shaded: ±{figures.plain(100 * share)} %.", line.words, _of_levelling(line, table))
        self.words.setText(" ".join(each for each in words if each))

    def _on_theme(self, theme: Theme) -> None:
        if self.canvas is not None:
            self.canvas.wear(theme)


class _Canvas(pg.PlotWidget):
    """The plot itself: it keeps still, and leaves the mouse to the sheet around it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFixedHeight(_HEIGHT)
        self.setMaximumWidth(_WIDTH)
        item = self.getPlotItem()
        item.setMenuEnabled(False)
        item.hideButtons()
        item.getViewBox().disableAutoRange()
        item.layout.setContentsMargins(0, STEP, 2 * STEP, 0)
        self.band = Band(item)
        self._line, self._points = (item.plot([], [], antialias=True) for _ in range(2))
        for axis in (item.getAxis("left"), item.getAxis("bottom")):
            axis.setStyle(tickFont=font(Type.SMALL), tickLength=0, maxTickLevel=0, hideOverlappingLabels=False)
        item.getAxis("bottom").setHeight(_FOOT)
        self.wear(themes.current)

    def wear(self, theme: Theme) -> None:
        """Wear a theme."""
        self.setBackground(theme.bench)
        self.band.tint(theme.liquid)
        self._line.setPen(pg.mkPen(theme.liquid, width=1.5))
        self._points.setPen(None)
        self._points.setSymbol("o")
        self._points.setSymbolSize(6)
        self._points.setSymbolPen(pg.mkPen(theme.ink, width=1))
        self._points.setSymbolBrush(pg.mkBrush(theme.paper))
        for name in ("left", "bottom"):
            axis = self.getPlotItem().getAxis(name)
            axis.setPen(pg.mkPen(theme.rule))
            axis.setTextPen(pg.mkPen(theme.soft_ink))

    def name(self, across: str, up: str) -> None:
        """Label the axes."""
        for name, text in (("bottom", across), ("left", up)):
            axis = self.getPlotItem().getAxis(name)
            axis.setLabel(text)
            axis.label.setFont(font(Type.SMALL))
            axis.enableAutoSIPrefix(False)

    def draw(self, line: FloatArray, low: FloatArray, high: FloatArray, points: FloatArray) -> None:
        """Draw line, both edges of the band and points, each shape (n, 2), on axes from zero to round ends."""
        self.band.draw(low[:, 0], low[:, 1], high[:, 1])
        self._line.setData(*line.T)
        self._points.setData(*points.T)
        across, up = (round_end(float(np.vstack((high, points))[:, at].max())) for at in (0, 1))
        for name, end in (("bottom", across), ("left", up)):
            self.getPlotItem().getAxis(name).setTickSpacing(end.step * (2 if name == "left" else 1), end.step)
        self.getPlotItem().setRange(xRange=(0.0, across.end), yRange=(0.0, up.end), padding=_MARGIN)


def _line(curve: DataCurve | None) -> DrawnCurve | None:
    try:
        return drawn(curve) if curve is not None else None
    except LoopsimError:
        return None  # points that make no curve are refused where the part is solved


def _of_levelling(line: DrawnCurve, table: PointsTable) -> str:
    """Where and by how much the line was lowered to fall, in the units of the headings; and what follows from it."""
    if not line.levelled:
        return ""
    begins, ends = np.array(line.levelled).T
    origin, depth = _in_units(np.zeros(2), np.array([0.0, line.lowered]), table)[:, 1]
    stretches = zip(*(_in_units(each, each, table)[:, 0] for each in (begins, ends)), strict=True)
    flow_unit, head_unit = (unit.label for unit in table.units)
    where = " and ".join(f"from {begin:.3g} to {end:.3g} {flow_unit}" for begin, end in stretches)
    return (
        f"The {table.columns[1].label} does not fall {where}: levelled there, by at most {depth - origin:.2g} "
        f"{head_unit}. At work in that stretch the flow may swing."
    )


def _in_units(x: FloatArray, y: FloatArray, table: PointsTable) -> FloatArray:
    """Values in the units of the file, as the table shows them, shape (n, 2)."""
    sides = []
    for values, own, unit in zip((x, y), table.own_units, table.units, strict=True):
        scale = [converted(value, own, unit, table.density) for value in (0.0, 1.0)]
        sides.append(scale[0] + (scale[1] - scale[0]) * values)
    return np.column_stack(sides)
