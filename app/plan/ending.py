"""Leading an end of a tube run to another port; a run that ends there comes to the port left free."""

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter

from app.plan.coordinates import to_scene
from app.plan.gesture import Gesture, Pointer
from app.plan.handles import Hit
from app.plan.hits import port_at
from app.plan.part_item import pen, pixel_mm
from app.plan.surface import Surface
from loopsim.build.joining import End, move_end
from loopsim.build.run_edits import run_points

__all__ = ["MoveEnd"]

_REACH_PX = 12.0
_DRAGGED_PX = 6.0


class MoveEnd(Gesture):
    """The end in the hand goes to the port at which it is let go, or at which the next click is."""

    cursor = Qt.CursorShape.CrossCursor
    follows_clicks = True
    seeks_ports = seeks_all_ports = True

    def __init__(self, plan: Surface, run_id: str, which: End) -> None:
        super().__init__(plan)
        self.build, self.layout = plan.document.build, plan.document.layout
        self.run, self.which = self.layout.run(run_id), which
        points = run_points(self.build, self.layout, self.run)
        self._beside = points[1] if which == "start" else points[-2]
        self._leaves = self.run.start if which == "start" else self.run.end
        self._at: Pointer | None = None
        self._pressed_at: QPointF | None = None

    @property
    def begins_at(self) -> QPointF:
        """The port that the run leaves, in the scene."""
        return to_scene(*self.build.port_spot(self.layout, self._leaves)[:2])

    def start(self, at: Pointer) -> None:
        self._at, self._pressed_at = at, at.pixel
        self.plan.message.emit("Let it go at another port. A run that ends there takes the port that this one leaves.")

    def move(self, at: Pointer) -> None:
        self._at = at

    def press(self, at: Pointer) -> None:
        self._at = at
        self._lead(at)

    def release(self, at: Pointer) -> None:
        """Ends a drag; after a mere click the end stays in the hand until the next one."""
        pressed, self._pressed_at = self._pressed_at, None
        if pressed is not None and (at.pixel - pressed).manhattanLength() >= _DRAGGED_PX:
            self._at = at
            self._lead(at)

    def words(self) -> str:
        port = self._port()
        if port is None:
            return ""
        name = self.build.part(port.id).name
        taken = any(port.reference in (run.start, run.end) for run in self.layout.runs)
        return f"swap with the run at {name}, {port.port_words}" if taken else f"to {name}, {port.port_words}"

    def paint(self, painter: QPainter) -> None:
        pixel, port = pixel_mm(painter), self._port()
        at = self._at.point if port is None else to_scene(*self.build.port_spot(self.layout, port.reference)[:2])
        painter.setPen(pen(self.plan.theme.ink, 2.0, Qt.PenStyle.DashLine))
        painter.drawLine(to_scene(*self._beside), at)
        painter.setPen(pen(self.plan.theme.ink, 1.5))
        painter.setBrush(self.plan.theme.liquid if port else self.plan.theme.paper)
        painter.drawEllipse(at, 5 * pixel, 5 * pixel)

    def _lead(self, at: Pointer) -> None:
        """Lead the end to the port here; anywhere else it stays where it was."""
        port = self._port()
        if port is not None:
            self.do(lambda: move_end(self.build, self.layout.name, self.run.id, self.which, port.reference))
        self.finish(at)

    def _port(self) -> Hit | None:
        scene = self.plan.scene()
        hit = port_at(scene, self._at.point, self.plan.pixel_mm, only_open=False, reach_px=_REACH_PX)
        return None if hit is None or hit.reference == self._leaves else hit
