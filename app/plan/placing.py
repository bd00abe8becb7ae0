"""Placing a new part: a copy of a specimen."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter

from app.plan.changes import new_part
from app.plan.coordinates import snapped, to_scene
from app.plan.gesture import Gesture, Pointer
from app.plan.part_item import paint_body
from loopsim.parts import Part

if TYPE_CHECKING:
    from app.plan.view import PlanView

__all__ = ["PlacePart"]


class PlacePart(Gesture):
    """A part at true size follows the pointer until a click, or a drop, sets a copy down; R turns it before."""

    cursor = Qt.CursorShape.CrossCursor
    follows_clicks = True

    def __init__(self, plan: "PlanView", specimen: Part) -> None:
        super().__init__(plan)
        self.specimen = specimen
        self.rotation_deg = 0.0
        self._place = (0.0, 0.0)

    def start(self, at: Pointer) -> None:
        self.move(at)
        self.plan.message.emit(f"Click where the {self.specimen.title} goes. R turns it, Alt frees it from the grid.")

    def move(self, at: Pointer) -> None:
        x, y = at.mm
        self._place = snapped(x, at.is_free), snapped(y, at.is_free)

    def press(self, at: Pointer) -> None:
        self.move(at)
        self.finish(at)

    def release(self, at: Pointer) -> None:
        """The button came up from the click that chose the kind; nothing to do."""

    def finish(self, at: Pointer) -> None:
        document = self.plan.document
        before = frozenset(document.layout.placements)
        if self.do(
            lambda: new_part(document.build, document.layout.name, self.specimen, *self._place, self.rotation_deg)
        ):
            document.select(frozenset(document.layout.placements) - before)
        super().finish(at)

    def key(self, key: Qt.Key) -> bool:
        if key == Qt.Key.Key_R:
            self.rotation_deg = (self.rotation_deg + 90.0) % 360.0
            return True
        return False

    def words(self) -> str:
        x, y = self._place
        return f"x {x:g}, y {y:g} mm"

    def paint(self, painter: QPainter) -> None:
        painter.save()
        painter.translate(to_scene(*self._place))
        painter.rotate(-self.rotation_deg)
        painter.setOpacity(0.7)
        paint_body(painter, self.specimen, self.plan.theme, self.plan.theme.soft_ink)
        for port in self.specimen.ports.values():
            painter.drawEllipse(QPointF(to_scene(port.spot.x_mm, port.spot.y_mm)), port.bore_mm / 2, port.bore_mm / 2)
        painter.restore()
