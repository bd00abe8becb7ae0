"""Drawing a tube run from port to port."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter

from app.plan.changes import new_run, next_tube
from app.plan.gesture import Gesture, Pointer
from app.plan.part_item import pen, pixel_mm
from app.plan.routing import closing, next_corner
from app.plan.run_item import line_path, tube_pen
from app.plan.scene import Hit
from loopsim.geometry import Path, Spot
from loopsim.parts import Tube

if TYPE_CHECKING:
    from app.plan.view import PlanView

__all__ = ["DrawRun"]

_REACH_PX = 12.0
_DRAGGED_PX = 10.0


class DrawRun(Gesture):
    """A click on an open port, clicks for the corners, a click on another open port. Drags do as well."""

    cursor = Qt.CursorShape.CrossCursor
    follows_clicks = True

    def __init__(self, plan: "PlanView", start: Hit | None = None, tube: Tube | None = None) -> None:
        super().__init__(plan)
        self.build, self.layout = plan.document.build, plan.document.layout
        self.begin: Hit | None = start
        self.corners: list[tuple[float, float]] = []
        self._at: Pointer | None = None
        self._pressed_at: QPointF | None = None
        self.tube = tube or next_tube(self.build, self.layout)

    def start(self, at: Pointer) -> None:
        self._at = at
        self._pressed_at = at.pixel if self.begin else None
        self._say()

    def move(self, at: Pointer) -> None:
        self._at = at

    def press(self, at: Pointer) -> None:
        self._at, self._pressed_at = at, at.pixel
        port = self._port(at)
        if self.begin is None:
            self._begin(port, at)
        elif port and port != self.begin:
            self._end(port, at)
        elif port is None and not self._taken_port(at):
            self._add_corner(at)

    def release(self, at: Pointer) -> None:
        """Ends a drag from the port; a click's release means nothing."""
        pressed, self._pressed_at = self._pressed_at, None
        if pressed is None or (at.pixel - pressed).manhattanLength() < _DRAGGED_PX:
            return
        port = self._port(at)
        if port and port != self.begin:
            self._end(port, at)
        elif port is None:
            self._add_corner(at)

    def key(self, key: Qt.Key) -> bool:
        if key == Qt.Key.Key_Backspace:
            if self.corners:
                self.corners.pop()
            return True
        return False

    def words(self) -> str:
        """Length of the centre line so far."""
        path = self.path()
        return f"{path.length_mm:.0f} mm" if path and path.length_mm > 0.5 else ""

    def spots(self) -> list[Spot]:
        """Ends and corners of the run as it would be if it ended where the pointer is."""
        start = self._spot(self.begin)
        port = self._port(self._at)
        if port and port != self.begin:
            end, corners = self._spot(port), self._closed(port, self._at.is_free)
        else:
            x, y = next_corner(self._last(), self._at.mm, self._at.is_free)
            end, corners = Spot(x, y, start.height_mm), self.corners
        heights = [start.height_mm] * (len(corners) - 1) + [end.height_mm] * bool(corners)
        return [start, *(Spot(x, y, z) for (x, y), z in zip(corners, heights, strict=True)), end]

    def path(self) -> Path | None:
        """The centre line so far; None before it has begun."""
        if self.begin is None or self._at is None:
            return None
        spots = self.spots()
        return Path(spots, [self.tube.least_radius_mm] * (len(spots) - 2))

    def paint(self, painter: QPainter) -> None:
        path = self.path()
        if path is None:
            return
        pixel = pixel_mm(painter)
        colour = QColor(self.plan.theme.liquid)
        colour.setAlphaF(0.6)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.strokePath(line_path(path.centre_line()), tube_pen(colour, max(self.tube.outer_mm, 2 * pixel)))
        painter.setPen(pen(self.plan.theme.ink, 1.2))
        painter.setBrush(self.plan.theme.paper)
        for spot in path.spots:
            painter.drawEllipse(QPointF(spot.x_mm, -spot.y_mm), 3 * pixel, 3 * pixel)

    def _begin(self, port: Hit | None, at: Pointer) -> None:
        if port:
            self.begin = port
            self._say()
        elif not self._taken_port(at):
            self.plan.message.emit("A tube run begins at an open port: click one of the rings.")

    def _add_corner(self, at: Pointer) -> None:
        corner = next_corner(self._last(), at.mm, at.is_free)
        if corner != self._last():
            self.corners.append(corner)

    def _end(self, port: Hit, at: Pointer) -> None:
        ends = (self.begin.reference, port.reference)
        corners = self._closed(port, at.is_free)
        before = {run.id for run in self.layout.runs}
        if self.do(lambda: new_run(self.build, self.layout.name, *ends, corners, self.tube)):
            self.plan.document.select(run.id for run in self.plan.document.layout.runs if run.id not in before)
        self.finish(at)

    def _closed(self, port: Hit, is_free: bool) -> list[tuple[float, float]]:
        facings = (self._facing(self.begin), self._facing(port))
        ends = (self._spot(self.begin)[:2], self._spot(port)[:2])
        return closing(ends[0], self.corners, ends[1], *facings, is_free)

    def _port(self, at: Pointer) -> Hit | None:
        return self.plan.scene().hit_port(at.point, self.plan.pixel_mm, reach_px=_REACH_PX)

    def _taken_port(self, at: Pointer) -> bool:
        """True, and said so, if there is a port here that a run has already."""
        hit = self.plan.scene().hit_port(at.point, self.plan.pixel_mm, only_open=False)
        if hit is None or hit == self.begin:
            return hit is not None
        name = self.build.part(hit.id).name
        self.plan.message.emit(f"Port {hit.port} of {name} holds a tube run already; join runs with a tee.")
        return True

    def _last(self) -> tuple[float, float]:
        return self.corners[-1] if self.corners else self._spot(self.begin)[:2]

    def _spot(self, port: Hit) -> Spot:
        return self.build.port_spot(self.layout, port.reference)

    def _facing(self, port: Hit) -> float:
        part, its_port = self.build.port(port.reference)
        return self.layout.placement(part.id).place_of(part).facing(its_port.facing_deg)

    def _say(self) -> None:
        if self.begin is None:
            self.plan.message.emit("Click an open port to begin the tube run. Esc ends drawing.")
        else:
            self.plan.message.emit(
                "Click for corners, click an open port to end. Alt frees the angle, Backspace takes a corner back."
            )
