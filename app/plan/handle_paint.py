"""Handles of what is selected: round for a bend, square for an elbow, standing on its corner for a mitre."""

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPainterPath, QPolygonF

from app.plan.at_scale import AtScale, around
from app.plan.handles import corners_of, ends_of, turn_handle
from app.plan.part_item import pen
from app.theme import Theme

__all__ = ["HANDLE_PX", "paint_handles"]

HANDLE_PX = 4.0  # half of a handle's side


def paint_handles(painter: QPainter, seen: AtScale, theme: Theme, corner: tuple[str, int] | None) -> None:
    """All handles; the selected `corner` of a run is filled.

    At the ends of a run, a ring around the port: there it is taken to lead it to another one.
    """
    painter.setPen(pen(theme.ink, 1.5))
    painter.setBrush(theme.liquid)
    for _, point in ends_of(seen.scene):
        painter.drawEllipse(around(point * seen.scale, HANDLE_PX))
    _paint_turn_handle(painter, seen, theme)
    for item, index, point in corners_of(seen.scene):
        box = around(point * seen.scale, HANDLE_PX)
        painter.setBrush(theme.ink if (item.run_id, index) == corner else theme.paper)
        painter.drawPath(_outline(box, item.run.corners[index].turn))


def _paint_turn_handle(painter: QPainter, seen: AtScale, theme: Theme) -> None:
    turn = turn_handle(seen.scene, 1.0 / seen.scale)
    if turn is not None:
        at, foot = turn[1] * seen.scale, turn[2] * seen.scale
        painter.setBrush(theme.paper)
        painter.drawLine(at, foot)
        painter.drawEllipse(around(at, HANDLE_PX))


def _outline(box: QRectF, turn: str) -> QPainterPath:
    path, middle = QPainterPath(), box.center()
    if turn == "bend":
        path.addEllipse(box)
    elif turn == "elbow":
        path.addRect(box)
    else:
        ends = (middle.x(), box.top()), (box.right(), middle.y()), (middle.x(), box.bottom()), (box.left(), middle.y())
        path.addPolygon(QPolygonF([QPointF(x, y) for x, y in ends]))
        path.closeSubpath()
    return path
