"""What is begun from the menu and then shown on the ground: a space, an opening, the scale of the drawing below."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app import figures
from app.plan.coordinates import snapped, to_scene
from app.plan.gesture import Gesture, Pointer
from app.plan.ground_paint import opening_box
from app.plan.part_item import pen
from app.plan.surface import Surface
from app.plan.typed_number import TypedNumber
from loopsim.build import Enclosure, Reserved, WallOpening, ground_edits

__all__ = ["CutOpening", "DrawSpace", "ScaleBackground", "nearest_wall"]

_OPENING_MM = {"hole": (20.0, 20.0), "grille": (120.0, 40.0)}


class DrawSpace(Gesture):
    """Reserves the space over which a drag goes."""

    cursor = Qt.CursorShape.CrossCursor
    follows_clicks = True

    def __init__(self, plan: Surface) -> None:
        super().__init__(plan)
        self._from: tuple[float, float] | None = None
        self._to = (0.0, 0.0)

    def start(self, at: Pointer) -> None:  # noqa: ARG002
        self.plan.message.emit("drag over the space that must stay free; Esc gives up")

    def press(self, at: Pointer) -> None:
        place = at.on_grid
        if self._from is not None and place != self._from:
            self.finish(at)
        else:
            self._from = self._to = place

    def move(self, at: Pointer) -> None:
        self._to = at.on_grid

    def release(self, at: Pointer) -> None:
        if self._from is not None and at.on_grid != self._from:
            self.finish(at)

    def finish(self, at: Pointer) -> None:
        self._to = at.on_grid
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
        return figures.lengths_mm(abs(to - begin) for to, begin in zip(self._to, self._from, strict=True))

    def paint(self, painter: QPainter) -> None:
        if self._from is not None:
            painter.setPen(pen(self.plan.theme.liquid, 1.5))
            painter.drawRect(QRectF(to_scene(*self._from), to_scene(*self._to)).normalized())


class CutOpening(Gesture):
    """A click at a wall cuts a hole or a grille into it."""

    cursor = Qt.CursorShape.CrossCursor
    follows_clicks = True

    def __init__(self, plan: Surface, kind: str) -> None:
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

    def __init__(self, plan: Surface) -> None:
        super().__init__(plan)
        self._points: list[tuple[float, float]] = []
        self._typed = TypedNumber()
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
            self.plan.message.emit(f"type the distance between them in {figures.label('mm')}, then Enter")
            self.follows_clicks = False

    def release(self, at: Pointer) -> None:
        """Clicks count when they begin."""

    def key(self, key: Qt.Key) -> bool:
        if len(self._points) < 2:
            return False
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._scale()
            return True
        return self._typed.key(key)

    def _scale(self) -> None:
        document = self.plan.document
        if self._typed.refusal:
            self.plan.message.emit(self._typed.refusal)
            return
        distance = self._typed.take()
        if distance is None:
            return
        args = (document.build, document.layout.name, self._points[0], self._points[1], distance)
        self.do(lambda: ground_edits.scale_background(*args))
        self.is_over = True

    def words(self) -> str:
        return self._typed.words if len(self._points) == 2 else ""

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
