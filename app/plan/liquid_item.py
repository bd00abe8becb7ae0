"""The loop at one moment of its fill, over the plan: tubes hollow where they are dry, dark where liquid is."""

from collections.abc import Iterable, Mapping

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath
from PySide6.QtWidgets import QGraphicsItem

from app.fill.marks import Moment, Piece
from app.plan.coordinates import to_scene
from app.plan.part_item import PartItem, pen, pixel_mm
from app.plan.run_item import RunItem, line_path, tube_pen
from app.theme import Theme

__all__ = ["LiquidItem", "liquid_colour"]

_OVER_ALL = 24.0  # z: over parts and the tubes that pass over them
_INNER = 0.72  # of a tube's outside, that shows what is in it
_LEAST_PX = 2.4
_EDGE_PX = 1.2


class LiquidItem(QGraphicsItem):
    """Shows a moment; empty without one."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.theme = theme
        self.moment: Moment | None = None
        self._runs: Mapping[str, RunItem] = {}
        self._parts: Mapping[str, PartItem] = {}
        self._box = QRectF()
        self.setZValue(_OVER_ALL)

    def show_moment(self, moment: Moment | None, runs: Mapping[str, RunItem], parts: Mapping[str, PartItem]) -> None:
        """Show a moment of these runs and parts."""
        self.prepareGeometryChange()
        self.moment, self._runs, self._parts = moment, runs, parts
        boxes = [item.sceneBoundingRect() for item in (*runs.values(), *parts.values())] if moment is not None else []
        self._box = QRectF()
        for box in boxes:
            self._box = self._box.united(box)
        self.update()

    def boundingRect(self) -> QRectF:
        return self._box

    def paint(self, painter: QPainter, *_: object) -> None:
        if self.moment is None:
            return
        pixel = pixel_mm(painter)
        for part_id, item in self._parts.items():
            share = self.moment.share_of(part_id)
            if share is not None:
                self._paint_part(painter, item, share)
        for run_id, item in self._runs.items():
            self._paint_run(painter, item, self.moment, run_id, max(_INNER * item.outer_mm, _LEAST_PX * pixel))

    def _paint_part(self, painter: QPainter, item: PartItem, share: float) -> None:
        """Filled from the front edge on by its share; the words beside its name say the same."""
        box = item.outline().boundingRect()
        colour = liquid_colour(self.theme)
        painter.setPen(pen(colour, _EDGE_PX))
        colour.setAlphaF(0.4)
        painter.setBrush(colour)
        if share > 0:
            painter.drawRect(QRectF(box.left(), box.bottom() - share * box.height(), box.width(), share * box.height()))

    def _paint_run(self, painter: QPainter, item: RunItem, moment: Moment, run_id: str, width: float) -> None:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.strokePath(line_path(item.line), tube_pen(self.theme.paper, width))
        painter.strokePath(_joined(moment.pieces(run_id)), tube_pen(liquid_colour(self.theme), width))


def liquid_colour(theme: Theme) -> QColor:
    """Darker than tubes are drawn; on dark paper, brighter."""
    return QColor(theme.liquid) if theme.is_dark else theme.liquid.darker(135)


def _joined(pieces: Iterable[Piece]) -> QPainterPath:
    """Stretches one after the other, in one stroke where they touch."""
    path, at = QPainterPath(), None
    for piece in pieces:
        if at is None or piece.begin > at:
            path.moveTo(to_scene(*piece.first[:2]))
        path.lineTo(to_scene(*piece.last[:2]))
        at = piece.end
    return path
