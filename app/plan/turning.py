"""Turning one part by a handle beside it."""

import math

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter

from app.plan.coordinates import to_scene
from app.plan.gesture import Drag, Pointer
from app.plan.part_item import pen
from app.plan.surface import Surface
from loopsim.build.arranging import turn_to

__all__ = ["TurnPart"]

_STEP_DEG, _FINE_DEG = 15.0, 0.1
_STICKS_DEG = 3.0  # within which the hand is drawn to a step


class TurnPart(Drag):
    """The part follows the hand round; near a step of 15 degrees it keeps to it, unless Alt is held."""

    cursor = Qt.CursorShape.SizeAllCursor

    def __init__(self, plan: Surface, part_id: str) -> None:
        super().__init__(plan)
        self.build, self.layout = plan.document.build, plan.document.layout
        self._stands = self.layout.placement(part_id)
        self._middle = to_scene(self._stands.x_mm, self._stands.y_mm)
        self.angle_deg = self._stands.rotation_deg

    def drag(self, at: Pointer) -> None:
        turned = self._stands.rotation_deg + self._seen(at.point) - self._seen(self.origin.point)
        step = round(turned / _STEP_DEG) * _STEP_DEG
        keeps = not at.is_free and abs(turned - step) <= _STICKS_DEG
        self.angle_deg = (step if keeps else round(round(turned / _FINE_DEG) * _FINE_DEG, 1)) % 360.0
        self.do(lambda: turn_to(self.build, self.layout.name, self._stands.part, self.angle_deg))

    def finish(self, at: Pointer) -> None:
        if self.angle_deg == self._stands.rotation_deg:
            self.plan.document.take_back(self)
        super().finish(at)

    def words(self) -> str:
        return f"{self.angle_deg:g}°"

    def paint(self, painter: QPainter) -> None:
        painter.setPen(pen(self.plan.theme.soft_ink, 1.0, Qt.PenStyle.DashLine))
        painter.drawLine(self._middle, self.plan.hand.at.point)

    def _seen(self, point: QPointF) -> float:
        """Direction of a point from the part's middle, counter-clockwise as the plan is."""
        away = point - self._middle
        return math.degrees(math.atan2(-away.y(), away.x()))
