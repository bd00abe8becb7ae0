"""What of the ground lies at a point of the plan while the room is edited."""

from typing import NamedTuple

from PySide6.QtCore import QPointF, Qt

from app.plan.coordinates import to_scene
from app.plan.ground_paint import opening_box, space_shape
from app.plan.surface import Surface
from loopsim.build import Enclosure, Reserved

__all__ = ["Thing", "thing_at"]

_REACH_PX, _WALL_PX = 8.0, 9.0


class Thing(NamedTuple):
    """What of the ground lies at a point."""

    kind: str  # opening, corner, space corner, space, wall, background
    name: str = ""
    number: int = -1


def thing_at(plan: Surface, point: QPointF) -> Thing | None:
    """The opening, corner, reserved space or wall at a point of the scene, in this order."""
    room, spaces, pixel = plan.document.build.enclosure, plan.document.layout.reserved, plan.pixel_mm
    return (
        _opening(room, point, _WALL_PX * pixel)
        or _corner(room, spaces, point, _REACH_PX * pixel)
        or _space(spaces, point)
        or _wall(room, point, _REACH_PX * pixel)
    )


def _opening(room: Enclosure, point: QPointF, reach: float) -> Thing | None:
    for opening in room.openings:
        if opening_box(opening, room, reach).adjusted(-1, -1, 1, 1).contains(point):
            return Thing("opening", opening.name)
    return None


def _corner(room: Enclosure, spaces: tuple[Reserved, ...], point: QPointF, reach: float) -> Thing | None:
    for space in spaces:
        for number, corner in enumerate(space_shape(space)):
            if _away(corner, point) <= reach:
                return Thing("space corner", space.name, number)
    for number, (x, y) in enumerate(room.corners):
        if _away(to_scene(x, y), point) <= reach:
            return Thing("corner", number=number)
    return None


def _space(spaces: tuple[Reserved, ...], point: QPointF) -> Thing | None:
    for space in reversed(spaces):
        if space_shape(space).containsPoint(point, Qt.FillRule.OddEvenFill):
            return Thing("space", space.name)
    return None


def _wall(room: Enclosure, point: QPointF, reach: float) -> Thing | None:
    corners = [to_scene(x, y) for x, y in room.corners]
    for number, start in enumerate(corners):
        if _away_from_line(point, start, corners[(number + 1) % len(corners)]) <= reach:
            return Thing("wall", number=number)
    return None


def _away(a: QPointF, b: QPointF) -> float:
    return ((a.x() - b.x()) ** 2 + (a.y() - b.y()) ** 2) ** 0.5


def _away_from_line(point: QPointF, start: QPointF, end: QPointF) -> float:
    along = end - start
    length = QPointF.dotProduct(along, along)
    share = min(1.0, max(0.0, QPointF.dotProduct(point - start, along) / length)) if length else 0.0
    return _away(point, start + along * share)
