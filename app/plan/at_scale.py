"""A scene at one zoom: where its things are in pixels of the screen, measured from the scene's origin."""

from PySide6.QtCore import QPointF, QRectF

from app.plan.part_item import PartItem
from app.plan.scene import PlanScene
from loopsim.build import Enclosure

__all__ = ["AtScale", "around", "scaled"]

_STOPPED_PX = 5.0  # that the frame of a stopped part adds on every side


class AtScale:
    """The scene, its scale in pixels per millimetre, and the box of every part at it."""

    def __init__(self, scene: PlanScene, scale: float) -> None:
        self.scene, self.scale = scene, scale
        self._boxes = {part_id: self._boxed(item) for part_id, item in scene.parts.items()}

    def box(self, part_id: str) -> QRectF:
        """A part with its frames."""
        return self._boxes[part_id]

    def middle(self, run_id: str) -> QPointF:
        """Half way along a run."""
        return self.scene.runs[run_id].middle() * self.scale

    def room(self, enclosure: Enclosure) -> QRectF:
        """The enclosure within its outermost walls."""
        return scaled(QRectF(0.0, -enclosure.width_mm, enclosure.length_mm, enclosure.width_mm), self.scale)

    def _boxed(self, item: PartItem) -> QRectF:
        frame = _STOPPED_PX * item.is_stopped
        return scaled(item.outline().boundingRect(), self.scale).adjusted(-frame, -frame, frame, frame)


def around(point: QPointF, reach: float) -> QRectF:
    """A square about a point."""
    return QRectF(point.x() - reach, point.y() - reach, 2 * reach, 2 * reach)


def scaled(box: QRectF, scale: float) -> QRectF:
    """A box of the scene in pixels."""
    return QRectF(box.topLeft() * scale, box.size() * scale)
