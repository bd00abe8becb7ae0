"""Measuring on the plan."""

import math

from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QPainter

from app import figures
from app.plan.coordinates import snapped, to_scene
from app.plan.gesture import Gesture, Pointer
from app.plan.hits import port_at
from app.plan.part_item import pen, pixel_mm
from app.plan.routing import Point
from app.plan.snapping import Snapping, marks_of
from app.plan.surface import Surface

__all__ = ["Measure"]

_TICK_PX = 5.0


class Measure(Gesture):
    """From a click to the next one; the distance stays until a third click begins anew, or Esc ends it."""

    cursor = Qt.CursorShape.CrossCursor
    follows_clicks = seeks_ports = seeks_all_ports = True

    def __init__(self, plan: Surface) -> None:
        super().__init__(plan)
        self.points: list[Point] = []
        self._at: Point = (0.0, 0.0)

    @property
    def distance_mm(self) -> float:
        """From the first point to the second, or to the pointer."""
        return math.dist(*self._ends()) if self.points else 0.0

    def start(self, at: Pointer) -> None:
        self.move(at)
        self.plan.message.emit(
            "Click the two ends of what you measure. Alt frees from ports, edges and grid; Esc ends."
        )

    def move(self, at: Pointer) -> None:
        self._at = self._found(at)

    def press(self, at: Pointer) -> None:
        self.move(at)
        self.points = [self._at] if len(self.points) != 1 else [*self.points, self._at]

    def release(self, at: Pointer) -> None:
        """A click's release means nothing."""

    def words(self) -> str:
        if not self.points:
            return ""
        (x, y), (to_x, to_y) = self._ends()
        apart = figures.length_mm(float(f"{self.distance_mm:.4g}"))
        return f"{apart} · {figures.bare_length(abs(to_x - x))} across, {figures.bare_length(abs(to_y - y))} along"

    def paint(self, painter: QPainter) -> None:
        if not self.points:
            return
        start, end = (to_scene(*point) for point in self._ends())
        painter.setPen(pen(self.plan.theme.ink, 1.5))
        painter.drawLine(start, end)
        line = QLineF(start, end)
        if line.length() > 0:
            tick = line.normalVector().unitVector()
            away = QPointF(tick.dx(), tick.dy()) * _TICK_PX * pixel_mm(painter)
            for point in (start, end):
                painter.drawLine(point - away, point + away)

    def _ends(self) -> tuple[Point, Point]:
        return self.points[0], self.points[1] if len(self.points) > 1 else self._at

    def _found(self, at: Pointer) -> Point:
        """A port at the pointer, or the nearest edges and grid lines."""
        if at.is_free:
            return snapped(at.mm[0], free=True), snapped(at.mm[1], free=True)
        document, pixel = self.plan.document, self.plan.pixel_mm
        port = port_at(self.plan.scene(), at.point, pixel, only_open=False)
        if port is not None:
            return document.build.port_spot(document.layout, port.reference)[:2]
        place, _ = Snapping(marks_of(document.build, document.layout, near=at.mm), pixel).place(at.mm)
        return place
