"""How the ground is drawn: the room with its openings, spaces kept free, and the handles by which they are changed."""

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from app import figures
from app.plan.coordinates import to_scene
from app.plan.part_item import pen
from app.theme import Theme, Type, font
from loopsim.build import Enclosure, Reserved, WallOpening

__all__ = [
    "opening_box",
    "outline_of",
    "paint_handles",
    "paint_invitation",
    "paint_openings",
    "paint_room",
    "paint_spaces",
    "space_shape",
]

_HANDLE_PX = 4.0
_INVITATION = (
    "Drag parts in from the drawer on the left: a reservoir, a pump, what is to be cooled, a radiator.\n"
    "Then click from port to port to draw the tubes."
)
_WALL_PX = 7.0


def outline_of(enclosure: Enclosure) -> QPolygonF:
    """The inside of the room in the scene."""
    return QPolygonF([to_scene(x, y) for x, y in enclosure.corners])


def space_shape(space: Reserved) -> QPolygonF:
    """A reserved space in the scene."""
    return QPolygonF([to_scene(spot.x_mm, spot.y_mm) for spot in space.corners])


def opening_box(opening: WallOpening, enclosure: Enclosure, wall_mm: float) -> QRectF:
    """Where an opening shows in plan; `wall_mm` is how thick a wall is drawn."""
    half = opening.length_mm / 2
    if opening.wall in ("floor", "lid"):
        middle = to_scene(opening.along_mm, opening.up_mm)
        return QRectF(middle - QPointF(half, opening.tall_mm / 2), middle + QPointF(half, opening.tall_mm / 2))
    if opening.wall in ("front", "back"):
        y = 0.0 if opening.wall == "front" else enclosure.width_mm
        middle = to_scene(opening.along_mm, y)
        return QRectF(middle - QPointF(half, wall_mm / 2), middle + QPointF(half, wall_mm / 2))
    middle = to_scene(0.0 if opening.wall == "left" else enclosure.length_mm, opening.along_mm)
    return QRectF(middle - QPointF(wall_mm / 2, half), middle + QPointF(wall_mm / 2, half))


def paint_room(painter: QPainter, enclosure: Enclosure, theme: Theme) -> None:
    """The inside of the walls."""
    painter.setPen(pen(theme.ink, 2.0))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolygon(outline_of(enclosure))


def paint_openings(painter: QPainter, enclosure: Enclosure, theme: Theme, scale: float, chosen: str = "") -> None:
    """A gap in the wall for a hole, with bars for a grille; broken lines for what is in floor or lid."""
    for opening in enclosure.openings:
        box = opening_box(opening, enclosure, _WALL_PX / scale)
        is_flat = opening.wall in ("floor", "lid")
        edge = pen(theme.liquid if opening.name == chosen else theme.ink, 1.2)
        if is_flat:
            edge.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(edge)
        painter.setBrush(Qt.BrushStyle.NoBrush if is_flat else QBrush(theme.paper))
        painter.drawRect(box)
        if opening.kind == "grille":
            _bars(painter, box, scale)


def _bars(painter: QPainter, box: QRectF, scale: float) -> None:
    step = max(6.0 / scale, 1e-3)
    if box.width() >= box.height():
        for number in range(1, math.ceil(box.width() / step)):
            x = box.left() + number * step
            painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))
    else:
        for number in range(1, math.ceil(box.height() / step)):
            y = box.top() + number * step
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))


def paint_spaces(
    painter: QPainter, spaces: tuple[Reserved, ...], enclosure: Enclosure, theme: Theme, scale: float, chosen: str = ""
) -> None:
    """Hatched, each with its name, its heights and its rule in words."""
    for space in spaces:
        shape = space_shape(space)
        tint = QColor(theme.soft_ink)
        tint.setAlphaF(0.35)
        brush = QBrush(tint, Qt.BrushStyle.BDiagPattern)
        brush.setTransform(painter.worldTransform().inverted()[0])
        edge = pen(theme.liquid if space.name == chosen else theme.soft_ink, 2.0 if space.name == chosen else 1.0)
        edge.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(edge)
        painter.setBrush(brush)
        painter.drawPolygon(shape)
        _space_words(painter, space, shape.boundingRect(), enclosure, theme, scale)


def _space_words(
    painter: QPainter, space: Reserved, box: QRectF, enclosure: Enclosure, theme: Theme, scale: float
) -> None:
    """Inside, as far as there is room."""
    lines = [space.name, figures.lengths_mm((space.low_mm, space.top_mm(enclosure)), " to ")]
    if space.rule == "electronics below":
        lines.append("no joint above")
    painter.save()
    painter.translate(box.topLeft())
    painter.scale(1.0 / scale, 1.0 / scale)
    painter.setFont(font(Type.SMALL))
    size = QFontMetricsF(painter.font())
    for number, line in enumerate(lines):
        place = QRectF(6.0, 4.0 + number * size.height(), box.width() * scale - 12.0, size.height())
        if place.bottom() < box.height() * scale and place.width() > 24.0:
            text = size.elidedText(line, Qt.TextElideMode.ElideRight, place.width())
            painter.fillRect(
                QRectF(place.topLeft(), place.bottomRight()).adjusted(
                    -2, 0, size.horizontalAdvance(text) + 4 - place.width(), 0
                ),
                theme.paper,
            )
            painter.setPen(theme.soft_ink)
            painter.drawText(place, Qt.AlignmentFlag.AlignLeft, text)
    painter.restore()


def paint_invitation(painter: QPainter, enclosure: Enclosure, theme: Theme, scale: float) -> None:
    """What to do with a room in which nothing stands."""
    painter.save()
    painter.translate(to_scene(enclosure.length_mm / 2, enclosure.width_mm / 2))
    painter.scale(1.0 / scale, 1.0 / scale)
    painter.setFont(font(Type.PLAIN))
    painter.setPen(theme.soft_ink)
    width = max(160.0, enclosure.length_mm * scale - 32.0)
    place = QRectF(-width / 2, -60.0, width, 120.0)
    painter.drawText(place, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, _INVITATION)
    painter.restore()


def paint_handles(painter: QPainter, points: list[QPointF], theme: Theme, scale: float) -> None:
    """Small squares that can be dragged."""
    painter.setPen(QPen(pen(theme.liquid, 1.5)))
    painter.setBrush(theme.paper)
    half = _HANDLE_PX / scale
    for point in points:
        painter.drawRect(QRectF(point - QPointF(half, half), point + QPointF(half, half)))
