"""What a hand does to the ground: walls, openings, reserved spaces and the drawing below."""

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.plan.coordinates import snapped, to_scene
from app.plan.gesture import Drag, Gesture, Pointer
from app.plan.ground_paint import opening_box
from app.plan.part_item import pen
from loopsim.build import Background, Build, Enclosure, Reserved, WallOpening, edits, ground_edits
from loopsim.build.edits import Edit

if TYPE_CHECKING:
    from app.plan.view import PlanView

__all__ = [
    "CutOpening", "DrawSpace", "MoveBackground", "MoveOpening", "MoveSpace", "MoveWall", "ResizeSpace",
    "ScaleBackground", "lies_at", "nearest_wall", "resized",
]  # fmt: skip

_LEAST_MM = 10.0
_OPENING_MM = {"hole": (20.0, 20.0), "grille": (120.0, 40.0)}


class _GroundDrag(Drag):
    """A drag that always starts from the build it found."""

    cursor = Qt.CursorShape.SizeAllCursor

    def __init__(self, plan: "PlanView") -> None:
        super().__init__(plan)
        self.build, self.layout = plan.document.build, plan.document.layout

    def drag(self, at: Pointer) -> None:
        self.do(lambda: self.edit(at))

    def edit(self, at: Pointer) -> Edit:
        """The edit that leads from the build at the start to where the pointer is."""
        raise NotImplementedError

    def finish(self, at: Pointer) -> None:
        if self.is_refused:
            self.is_over = True
            return
        super().finish(at)


class MoveWall(_GroundDrag):
    """Moves corners of the room, all of one wall or a single one; a box whose far walls move stays a box."""

    def __init__(self, plan: "PlanView", corners: tuple[int, ...]) -> None:
        super().__init__(plan)
        self._corners = corners
        room = self.build.enclosure
        ends = [room.corners[number] for number in corners]
        is_wall = len(ends) == 2
        self._moves_x = not is_wall or abs(ends[0][0] - ends[1][0]) < 0.05 or abs(ends[0][1] - ends[1][1]) >= 0.05
        self._moves_y = not is_wall or abs(ends[0][1] - ends[1][1]) < 0.05 or abs(ends[0][0] - ends[1][0]) >= 0.05

    def edit(self, at: Pointer) -> Edit:
        room, (dx, dy) = self.build.enclosure, self.shift_mm(at)
        moved = [*room.corners]
        for number in self._corners:
            x, y = moved[number]
            moved[number] = (
                max(0.0, snapped(x + dx, at.is_free)) if self._moves_x else x,
                max(0.0, snapped(y + dy, at.is_free)) if self._moves_y else y,
            )
        if not room.outline and 2 in self._corners:  # the far corner, or one of the two walls that meet there
            return resized(self.build, max(moved[2][0], _LEAST_MM), max(moved[2][1], _LEAST_MM))
        return ground_edits.set_outline(self.build, moved)

    def finish(self, at: Pointer) -> None:
        super().finish(at)
        if self.plan.is_fitted:
            self.plan.fit()

    def words(self) -> str:
        room = self.plan.document.build.enclosure
        return f"{room.length_mm:g} x {room.width_mm:g} mm"


def resized(build: Build, length_mm: float, width_mm: float) -> Edit:
    """Another length and width of the room; an outline is stretched with it."""
    room = build.enclosure
    x, y = length_mm / room.length_mm, width_mm / room.width_mm
    values = {name: getattr(room, name) for name in Enclosure.model_fields}
    sizes = {"length_mm": length_mm, "width_mm": width_mm}
    outline = tuple(
        {"x_mm": min(length_mm, round(corner.x_mm * x, 3)), "y_mm": min(width_mm, round(corner.y_mm * y, 3))}
        for corner in room.outline
    )
    edit = edits.change_build(build, enclosure={**values, **sizes, "outline": outline})
    return edit._replace(text="Resize the enclosure")


class MoveSpace(_GroundDrag):
    """Moves a reserved space."""

    def __init__(self, plan: "PlanView", name: str) -> None:
        super().__init__(plan)
        self._space = next(each for each in self.layout.reserved if each.name == name)

    def edit(self, at: Pointer) -> Edit:
        (dx, dy), space = self.shift_mm(at), self._space
        to = {"x_mm": snapped(space.x_mm + dx, at.is_free), "y_mm": snapped(space.y_mm + dy, at.is_free)}
        edit = ground_edits.change_reserved(self.build, self.layout.name, space.name, **to)
        return edit._replace(text=f"Move {space.name}")


class ResizeSpace(MoveSpace):
    """Pulls one corner of a reserved space; the opposite one stays."""

    def __init__(self, plan: "PlanView", name: str, corner: int) -> None:
        super().__init__(plan, name)
        spots = self._space.corners
        self._stays = spots[(corner + 2) % 4]
        self._along = math.radians(self._space.rotation_deg)

    def edit(self, at: Pointer) -> Edit:
        x, y = (snapped(each, at.is_free) for each in at.mm)
        dx, dy = x - self._stays.x_mm, y - self._stays.y_mm
        cos, sin = math.cos(self._along), math.sin(self._along)
        size = abs(dx * cos + dy * sin), abs(dy * cos - dx * sin)
        values = {
            "x_mm": round(self._stays.x_mm + dx / 2, 3),
            "y_mm": round(self._stays.y_mm + dy / 2, 3),
            "length_mm": max(round(size[0], 3), 1.0),
            "width_mm": max(round(size[1], 3), 1.0),
        }
        edit = ground_edits.change_reserved(self.build, self.layout.name, self._space.name, **values)
        return edit._replace(text=f"Resize {self._space.name}")

    def words(self) -> str:
        return _size_words(self.plan.document.layout.reserved, self._space.name)


def _size_words(spaces: tuple[Reserved, ...], name: str) -> str:
    return next((f"{each.length_mm:g} x {each.width_mm:g} mm" for each in spaces if each.name == name), "")


class MoveOpening(_GroundDrag):
    """Slides an opening along its wall, or about in floor and lid."""

    def __init__(self, plan: "PlanView", name: str) -> None:
        super().__init__(plan)
        self._opening = next(each for each in self.build.enclosure.openings if each.name == name)

    def edit(self, at: Pointer) -> Edit:
        (dx, dy), opening, room = self.shift_mm(at), self._opening, self.build.enclosure
        is_side = opening.wall in ("left", "right")
        most = room.width_mm if is_side else room.length_mm
        along = snapped(opening.along_mm + (dy if is_side else dx), at.is_free)
        values = {"along_mm": min(max(along, opening.length_mm / 2), most - opening.length_mm / 2)}
        if opening.wall in ("floor", "lid"):
            values["up_mm"] = snapped(opening.up_mm + dy, at.is_free)
        edit = ground_edits.change_opening(self.build, opening.name, **values)
        return edit._replace(text=f"Move {opening.name}")

    def words(self) -> str:
        openings = self.plan.document.build.enclosure.openings
        return next((f"at {each.along_mm:g} mm" for each in openings if each.name == self._opening.name), "")


class MoveBackground(_GroundDrag):
    """Moves the drawing below."""

    def edit(self, at: Pointer) -> Edit:
        (dx, dy), lies = self.shift_mm(at), self.layout.background
        to = {"x_mm": round(lies.x_mm + dx, 1), "y_mm": round(lies.y_mm + dy, 1)}
        return ground_edits.change_background(self.build, self.layout.name, **to)._replace(
            text="Move the drawing below"
        )


class DrawSpace(Gesture):
    """Reserves the space over which a drag goes."""

    cursor = Qt.CursorShape.CrossCursor
    follows_clicks = True

    def __init__(self, plan: "PlanView") -> None:
        super().__init__(plan)
        self._from: tuple[float, float] | None = None
        self._to = (0.0, 0.0)

    def start(self, at: Pointer) -> None:  # noqa: ARG002
        self.plan.message.emit("drag over the space that must stay free; Esc gives up")

    def press(self, at: Pointer) -> None:
        place = self._place(at)
        if self._from is not None and place != self._from:
            self.finish(at)
        else:
            self._from = self._to = place

    def move(self, at: Pointer) -> None:
        self._to = self._place(at)

    def release(self, at: Pointer) -> None:
        if self._from is not None and self._place(at) != self._from:
            self.finish(at)

    def finish(self, at: Pointer) -> None:
        self._to = self._place(at)
        document, (x, y), (to_x, to_y) = self.plan.document, self._from, self._to
        if abs(to_x - x) < 1.0 or abs(to_y - y) < 1.0:
            return
        space = Reserved(
            name=ground_edits.free_reserved_name(document.layout),
            x_mm=(x + to_x) / 2,
            y_mm=(y + to_y) / 2,
            length_mm=abs(to_x - x),
            width_mm=abs(to_y - y),
        )
        self.do(lambda: ground_edits.add_reserved(document.build, document.layout.name, space))
        super().finish(at)

    def words(self) -> str:
        if self._from is None:
            return ""
        return f"{abs(self._to[0] - self._from[0]):g} x {abs(self._to[1] - self._from[1]):g} mm"

    def paint(self, painter: QPainter) -> None:
        if self._from is not None:
            painter.setPen(pen(self.plan.theme.liquid, 1.5))
            painter.drawRect(QRectF(to_scene(*self._from), to_scene(*self._to)).normalized())

    def _place(self, at: Pointer) -> tuple[float, float]:
        return snapped(at.mm[0], at.is_free), snapped(at.mm[1], at.is_free)


class CutOpening(Gesture):
    """A click at a wall cuts a hole or a grille into it."""

    cursor = Qt.CursorShape.CrossCursor
    follows_clicks = True

    def __init__(self, plan: "PlanView", kind: str) -> None:
        super().__init__(plan)
        self._kind = kind
        self._at: Pointer | None = None

    def start(self, at: Pointer) -> None:
        self._at = at
        self.plan.message.emit(f"click where the {self._kind} goes through a wall; Esc gives up")

    def move(self, at: Pointer) -> None:
        self._at = at

    def press(self, at: Pointer) -> None:
        self._at = at
        build = self.plan.document.build
        self.do(lambda: ground_edits.add_opening(build, self._opening()))
        self.finish(at)

    def release(self, at: Pointer) -> None:
        """The click that called for it."""

    def paint(self, painter: QPainter) -> None:
        if self._at is not None:
            box = opening_box(self._opening(), self.plan.document.build.enclosure, 7.0 * self.plan.pixel_mm)
            painter.setPen(pen(self.plan.theme.liquid, 1.5))
            painter.drawRect(box)

    def _opening(self) -> WallOpening:
        build = self.plan.document.build
        room = build.enclosure
        wall = nearest_wall(room, *self._at.mm)
        length, tall = _OPENING_MM[self._kind]
        most = room.width_mm if wall in ("left", "right") else room.length_mm
        length = min(length, most)
        along = snapped(self._at.mm[1 if wall in ("left", "right") else 0], self._at.is_free)
        return WallOpening(
            name=ground_edits.free_opening_name(build, self._kind.capitalize()),
            kind=self._kind,
            wall=wall,
            along_mm=min(max(along, length / 2), most - length / 2),
            up_mm=room.clear_height_mm / 2,
            length_mm=length,
            tall_mm=min(tall, room.clear_height_mm),
        )


def nearest_wall(room: Enclosure, x_mm: float, y_mm: float) -> str:
    """The wall that is nearest to a place in plan."""
    away = {
        "front": abs(y_mm),
        "back": abs(y_mm - room.width_mm),
        "left": abs(x_mm),
        "right": abs(x_mm - room.length_mm),
    }
    return min(away, key=lambda wall: away[wall])


class ScaleBackground(Gesture):
    """Two clicks on the drawing below, then the distance between them, typed."""

    cursor = Qt.CursorShape.CrossCursor
    follows_clicks = True

    def __init__(self, plan: "PlanView") -> None:
        super().__init__(plan)
        self._points: list[tuple[float, float]] = []
        self._typed = ""
        self._at: Pointer | None = None

    def start(self, at: Pointer) -> None:
        self._at = at
        self.plan.message.emit("click two ends of something of known length in the drawing below")

    def move(self, at: Pointer) -> None:
        self._at = at

    def press(self, at: Pointer) -> None:
        if len(self._points) < 2:
            self._points.append(at.mm)
        if len(self._points) == 2:
            self.plan.message.emit("type the distance between them in mm, then Enter")
            self.follows_clicks = False

    def release(self, at: Pointer) -> None:
        """Clicks count when they begin."""

    def key(self, key: Qt.Key) -> bool:
        if len(self._points) < 2:
            return False
        if Qt.Key.Key_0 <= key <= Qt.Key.Key_9:
            self._typed += chr(key)
        elif key in (Qt.Key.Key_Period, Qt.Key.Key_Comma) and "." not in self._typed:
            self._typed += "."
        elif key == Qt.Key.Key_Backspace:
            self._typed = self._typed[:-1]
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._scale()
        else:
            return False
        return True

    def _scale(self) -> None:
        document = self.plan.document
        try:
            distance = float(self._typed)
        except ValueError:
            return
        args = (document.build, document.layout.name, self._points[0], self._points[1], distance)
        self.do(lambda: ground_edits.scale_background(*args))
        self.is_over = True

    def words(self) -> str:
        return f"{self._typed or '...'} mm" if len(self._points) == 2 else ""

    def paint(self, painter: QPainter) -> None:
        painter.setPen(pen(self.plan.theme.liquid, 1.5))
        points = [to_scene(*each) for each in self._points]
        if len(points) == 1 and self._at is not None:
            points.append(self._at.point)
        cross = 5.0 * self.plan.pixel_mm
        for point in points:
            painter.drawLine(point - QPointF(cross, 0), point + QPointF(cross, 0))
            painter.drawLine(point - QPointF(0, cross), point + QPointF(0, cross))
        if len(points) == 2:
            painter.drawLine(*points)


def lies_at(background: Background, width: float, height: float, x_mm: float, y_mm: float) -> bool:
    """True if a place in plan is on the drawing below."""
    turn = math.radians(background.rotation_deg)
    dx, dy = x_mm - background.x_mm, y_mm - background.y_mm
    along, up = dx * math.cos(turn) + dy * math.sin(turn), dy * math.cos(turn) - dx * math.sin(turn)
    return 0 <= along <= width * background.mm_per_unit and 0 <= up <= height * background.mm_per_unit
