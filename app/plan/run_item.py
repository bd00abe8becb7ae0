"""A tube run in the plan: its centre line at true width, arrows where liquid flows."""

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from app.plan.coordinates import to_scene
from app.plan.kept_item import KeptItem
from app.plan.part_item import pixel_mm
from app.plan.tint import arrow_colour
from app.theme import Theme
from loopsim.geometry import Path, Spot
from loopsim.parts import TubeRun

__all__ = ["RunItem", "line_path", "tube_pen"]

_LEAST_PX = 2.0  # a tube is never thinner on the screen
_RIM_PX = 1.6  # of a coloured tube, both sides together
_ARROW_EVERY = 24.0  # tube widths
_ARROW_ROOM = 3.0  # tube widths of straight tube that an arrow needs


class RunItem(KeptItem):
    """Shows one tube run; keeps nothing but what it was last told to show."""

    def __init__(self, run_id: str, theme: Theme) -> None:
        super().__init__()
        self.run_id, self.theme = run_id, theme
        self.run: TubeRun | None = None
        self.path: Path | None = None
        self.outer_mm = 0.0
        self.line: list[Spot] = []
        self.flow_sign = 0  # of the solved flow; 0 where nothing flows or nothing is known
        self.is_selected = False
        self.tint: QColor | None = None  # None: plain
        self._drawn = QPainterPath()
        self._bounds = QRectF()
        self._arrows: list[tuple[QPointF, float]] = []
        self._crossed: list[QPointF] = []

    def show_run(self, run: TubeRun, path: Path, outer_mm: float) -> None:
        """Show a run along a path."""
        self.prepareGeometryChange()
        self.run, self.path, self.outer_mm = run, path, outer_mm
        self.line = path.centre_line()
        self._drawn, wide = line_path(self.line), 2.0 * outer_mm + 10.0
        self._bounds = self._drawn.controlPointRect().adjusted(-wide, -wide, wide, wide)
        self._arrows = _arrow_places(path, outer_mm)
        self.setZValue(10.0 + 1e-4 * sum(path.heights_mm) / len(path.heights_mm))
        self.update()

    def keep_clear(self, crossed: list[QPointF]) -> None:
        """Keep arrows away from where other runs cross."""
        self.show_as(_crossed=crossed)

    def distance_mm(self, point: QPointF) -> float:
        """From a point of the scene to the centre line."""
        at = (point.x(), -point.y())
        return min(_distance(a, b, at) for a, b in pairwise(self.line))

    def middle(self) -> QPointF:
        """The point half way along it."""
        return self._drawn.pointAtPercent(0.5)

    def boundingRect(self) -> QRectF:
        return self._bounds

    def paint(self, painter: QPainter, *_: object) -> None:
        pixel = pixel_mm(painter)
        width = max(self.outer_mm, _LEAST_PX * pixel)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if self.is_selected:
            painter.strokePath(self._drawn, tube_pen(self.theme.ink, width + 4.0 * pixel))
            painter.strokePath(self._drawn, tube_pen(self.theme.paper, width + 1.6 * pixel))
        if self.tint is not None:  # a rim, since the map's ends come near to paper, light or dark
            painter.strokePath(self._drawn, tube_pen(self.theme.soft_ink, width + _RIM_PX * pixel))
        painter.strokePath(self._drawn, tube_pen(self.tint or self.theme.tube, width))
        if self.flow_sign and self.outer_mm > 3.0 * pixel:
            self._paint_arrows(painter)

    def _paint_arrows(self, painter: QPainter) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self.theme.paper if self.tint is None else arrow_colour(self.tint))
        turned = math.pi if self.flow_sign < 0 else 0.0
        for point, angle in self._arrows:
            painter.drawPolygon(_arrow(self._aside(point, angle), angle + turned, self.outer_mm))

    def _aside(self, point: QPointF, angle: float) -> QPointF:
        """The point, or one further on if another run crosses here."""
        reach = 1.8 * self.outer_mm
        if any((point - each).manhattanLength() < reach for each in self._crossed):
            return point + QPointF(math.cos(angle), math.sin(angle)) * 1.5 * reach
        return point


def line_path(line: Sequence[Spot]) -> QPainterPath:
    """A centre line as a path of the scene."""
    path = QPainterPath(to_scene(*line[0][:2]))
    for spot in line[1:]:
        path.lineTo(to_scene(spot.x_mm, spot.y_mm))
    return path


def tube_pen(colour: QColor, width_mm: float) -> QPen:
    """A pen as wide as a tube."""
    return QPen(_tube_pen(colour.rgba(), width_mm))


@lru_cache(maxsize=128)
def _tube_pen(colour: int, width_mm: float) -> QPen:
    shape = Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap, Qt.PenJoinStyle.RoundJoin
    return QPen(QColor.fromRgba(colour), width_mm, *shape)


def _arrow_places(path: Path, outer_mm: float) -> list[tuple[QPointF, float]]:
    """Points of the scene and directions, spread over the straight stretches; the longest one at least has one."""
    stretches = _straights(path)
    wanted = [(line, int(line.length() / (_ARROW_EVERY * outer_mm))) for line in stretches]
    longest = max(stretches, key=QLineF.length)
    places = []
    for line, count in wanted:
        if line.length() < _ARROW_ROOM * outer_mm:
            continue
        count = max(count, 1 if line is longest or line.length() > 6.0 * outer_mm else 0)
        angle = math.atan2(line.dy(), line.dx())
        places += [(line.pointAt((number + 0.5) / count), angle) for number in range(count)]
    return places


def _straights(path: Path) -> list[QLineF]:
    """What the bends leave of each stretch, in the scene."""
    cut = {bend.corner + 1: bend.tangent_mm for bend in path.bends}
    lines = []
    for index, (a, b) in enumerate(pairwise(path.spots)):
        line = QLineF(to_scene(*a[:2]), to_scene(*b[:2]))
        length = line.length() or 1.0
        first, last = cut.get(index, 0.0) / length, 1.0 - cut.get(index + 1, 0.0) / length
        lines.append(QLineF(line.pointAt(first), line.pointAt(max(first, last))))
    return lines


def _arrow(tip_middle: QPointF, angle: float, outer_mm: float) -> QPolygonF:
    along = QPointF(math.cos(angle), math.sin(angle)) * outer_mm * 0.5
    across = QPointF(-math.sin(angle), math.cos(angle)) * outer_mm * 0.32
    return QPolygonF([tip_middle + along, tip_middle - along + across, tip_middle - along - across])


def _distance(a: Spot, b: Spot, at: tuple[float, float]) -> float:
    dx, dy = b.x_mm - a.x_mm, b.y_mm - a.y_mm
    length = dx * dx + dy * dy
    share = ((at[0] - a.x_mm) * dx + (at[1] - a.y_mm) * dy) / length if length else 0.0
    share = max(0.0, min(1.0, share))
    return math.hypot(a.x_mm + share * dx - at[0], a.y_mm + share * dy - at[1])
