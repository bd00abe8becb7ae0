"""What words on the plan keep clear of."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF

from app.plan.air_arrows import AirArrow
from app.plan.air_marks import BUBBLE_PX, pockets_at
from app.plan.at_scale import AtScale, around
from app.plan.found_marks import MARK_PX, FoundMark
from app.plan.handle_paint import HANDLE_PX
from app.plan.handles import corners_of, ports_of, turn_handle
from app.plan.labels import Obstacles
from app.plan.run_item import RunItem
from loopsim.build import Enclosure

__all__ = ["in_the_way"]

_RING_PX = 5.0
_WALL_PX = 2.0  # half of what a wall takes


def in_the_way(
    seen: AtScale,
    enclosure: Enclosure,
    slips: Sequence[QRectF],
    found: Sequence[FoundMark],
    arrows: Sequence[AirArrow],
) -> Obstacles:
    """Parts, slips of notes, ports, marks, handles and arrows; walls; tubes; and the room to stay in."""
    scene, scale = seen.scene, seen.scale
    parts = [seen.box(part_id) for part_id in scene.parts]
    rings = [around(point * scale, _RING_PX) for _, point in ports_of(scene)]
    marks = [around(point, MARK_PX) for point, _ in found]
    marks += [around(at * scale, BUBBLE_PX) for _, at in pockets_at(scene.marks)]
    tubes = [box for item in scene.runs.values() for box in _tube_boxes(item, scale)]
    room = seen.room(enclosure)
    covered = [*parts, *slips, *rings, *marks, *_handles(seen), *(arrow.box for arrow in arrows)]
    return Obstacles(covered, _walls(room), tubes, room, parts)


def _handles(seen: AtScale) -> list[QRectF]:
    handles = [around(point * seen.scale, HANDLE_PX) for _, _, point in corners_of(seen.scene)]
    turn = turn_handle(seen.scene, 1.0 / seen.scale)
    return handles + ([around(turn[1] * seen.scale, HANDLE_PX)] if turn is not None else [])


def _tube_boxes(item: RunItem, scale: float) -> Iterator[QRectF]:
    half = item.outer_mm / 2 * scale
    for a, b in pairwise(item.path.spots):
        ends = QRectF(QPointF(a.x_mm, -a.y_mm) * scale, QPointF(b.x_mm, -b.y_mm) * scale)
        yield ends.normalized().adjusted(-half, -half, half, half)


def _walls(room: QRectF) -> list[QRectF]:
    thick = 2 * _WALL_PX
    across = [QRectF(0.0, y - _WALL_PX, room.width(), thick) for y in (room.bottom(), room.top())]
    return across + [QRectF(x - _WALL_PX, room.top(), thick, room.height()) for x in (room.left(), room.right())]
