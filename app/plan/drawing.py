"""Drawing a tube run from port to port."""

from dataclasses import replace

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QPainter

from app import figures
from app.plan.changes import new_run, next_tube
from app.plan.draft import RunDraft
from app.plan.gesture import Gesture, Pointer
from app.plan.handles import Hit
from app.plan.hits import hit_at, port_at
from app.plan.part_item import pen, pixel_mm
from app.plan.proposal import Proposals
from app.plan.routing import Point, directions, next_corner
from app.plan.run_item import line_path, tube_pen
from app.plan.snapping import Guide, Snapping, marks_of, paint_guides
from app.plan.surface import Surface
from app.plan.typed_number import TypedNumber
from loopsim.build import Enclosure
from loopsim.build.joining import nearest_run, tee_into
from loopsim.geometry import Path
from loopsim.parts import Corner, Tube
from loopsim.units import to_si

__all__ = ["DrawRun"]

_REACH_PX = 12.0
_PROPOSED_PX = 80.0  # reach of a port while a way is to be proposed
_DRAGGED_PX = 10.0
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class DrawRun(Gesture):
    """A click on an open port, clicks for the corners, a click on another open port. Drags do as well."""

    cursor = Qt.CursorShape.CrossCursor
    follows_clicks = seeks_ports = True

    def __init__(self, plan: Surface, start: Hit | None = None, tube: Tube | None = None) -> None:
        super().__init__(plan)
        build, layout = plan.document.build, plan.document.layout
        self.draft = RunDraft(build, layout, tube or next_tube(build, layout), start.reference if start else "")
        self.guides: tuple[Guide, ...] = ()
        self._typed, self._proposals = TypedNumber(), Proposals()
        self._at: Pointer | None = None
        self._aim: Point = (0.0, 0.0)
        self._pressed_at: QPointF | None = None
        self._snapping = Snapping(marks_of(build, layout), plan.pixel_mm)

    @property
    def corners(self) -> list[Corner]:
        """The corners set down so far."""
        return self.draft.corners

    def start(self, at: Pointer) -> None:
        self._pressed_at = at.pixel if self.draft.begin else None
        self.move(at)
        self._say()

    def move(self, at: Pointer) -> None:
        self._at = at
        if self.draft.begin:
            self._aim, self.guides = self._aimed(at)

    def press(self, at: Pointer) -> None:
        self.move(at)
        if self._is_no_length():
            return
        self._pressed_at = at.pixel
        port = self._port(at)
        if not self.draft.begin:
            self._begin(port, at)
        elif port:
            self._end(self.draft, port.reference, at)
        elif not self._taken_port(at) and not self._end_on_run(at):
            self._add_corner()

    def release(self, at: Pointer) -> None:
        """Ends a drag from the port; a click's release means nothing."""
        pressed, self._pressed_at = self._pressed_at, None
        if not self.draft.begin or pressed is None or (at.pixel - pressed).manhattanLength() < _DRAGGED_PX:
            return
        self.move(at)
        port = self._port(at)
        if port:
            self._end(self.draft, port.reference, at)
        elif not self._end_on_run(at):
            self._add_corner()

    def key(self, key: Qt.Key) -> bool:
        if self.draft.begin and self._typed.key(key):
            return True
        if key in _ENTER and self._is_no_length():
            return True
        if key in _ENTER and self._typed.text:
            self.draft.rise(self._typed.take())
        elif key == Qt.Key.Key_Backspace:
            self.draft.take_back()
        elif key == Qt.Key.Key_E:
            self.draft.next_turn()
        else:
            return False
        if self._at is not None:
            self.move(self._at)
        return True

    def words(self) -> str:
        """Length of the centre line so far, height and turn of the corner to come, what it is in line with."""
        path = self.path()
        if self._typed.text:
            return f"{self._typed.words} up: Enter rises here, a click leads there"
        if path is None or path.length_mm <= 0.5:
            return ""
        said = [figures.amount(to_si(path.length_mm, "mm"), "mm"), f"{figures.length_mm(self.draft.height_now)} up"]
        said += [self.draft.turn] if self.draft.turn != "bend" else []
        return " · ".join((*said, *self._said_of_way()))

    def _said_of_way(self) -> list[str]:
        """What the way is in line with, or that it is a proposed one."""
        port = self._port(self._at) if self._at.is_adding else None
        if port is None:
            return [guide.words for guide in self.guides]
        is_clear = self._proposals.corners(self.draft, port.reference) is not None
        return ["proposed way" if is_clear else "no clear way at this height"]

    def path(self) -> Path | None:
        """The centre line so far; None before it has begun."""
        if not self.draft.begin or self._at is None:
            return None
        port = self._port(self._at)
        if port:
            corners = self._corners_to(self.draft, port.reference, self._at)
            return self.draft.path(corners, self.draft.spot(port.reference))
        return self.draft.path_to(self._aim)

    def paint(self, painter: QPainter) -> None:
        path = self.path()
        if path is None:
            return
        pixel = pixel_mm(painter)
        colour = QColor(self.plan.theme.liquid)
        colour.setAlphaF(0.6)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.strokePath(line_path(path.centre_line()), tube_pen(colour, max(self.draft.tube.outer_mm, 2 * pixel)))
        paint_guides(painter, self.guides, self.plan.theme)
        painter.setPen(pen(self.plan.theme.ink, 1.2))
        painter.setBrush(self.plan.theme.paper)
        for spot in path.spots:
            painter.drawEllipse(QPointF(spot.x_mm, -spot.y_mm), 3 * pixel, 3 * pixel)

    def _begin(self, port: Hit | None, at: Pointer) -> None:
        tee = None if port or self._taken_port(at) else self._tee(at)
        if port or tee:
            self.draft = tee[0] if tee else self.draft
            self.draft.begin = tee[1] if tee else port.reference
            self.move(at)
            self._say()
        elif not self._taken_port(at):
            self.plan.message.emit("A tube run begins at an open port, or with a tee on a run: click one of them.")

    def _add_corner(self) -> None:
        self._take_height()
        self.draft.add(self._aim)

    def _end_on_run(self, at: Pointer) -> bool:
        """End with a tee on the run at the pointer; False if there is none."""
        tee = self._tee(at)
        if tee:
            self._end(*tee, at)
        return bool(tee)

    def _tee(self, at: Pointer) -> tuple[RunDraft, str] | None:
        """The draft on a build with a tee in the run at the pointer, and the tee's branch; None if there is no run.

        The tee comes into the document together with the run that is being drawn.
        """
        hit = hit_at(self.plan.scene(), at.point, self.plan.pixel_mm)
        draft = self.draft
        run = nearest_run(draft.build, draft.layout, at.mm) if hit and hit.kind == "run" else None
        if run is None:
            return None
        towards = draft.last if draft.begin else _away_from_walls(draft.build.enclosure)
        edit, branch = tee_into(draft.build, draft.layout.name, run.id, at.on_grid, towards)
        return replace(draft, build=edit.build, layout=edit.build.layout(draft.layout.name)), branch

    def _end(self, draft: RunDraft, reference: str, at: Pointer) -> None:
        self._take_height()
        draft.height_mm, document = self.draft.height_mm, self.plan.document
        corners = self._corners_to(draft, reference, at)
        before = frozenset(document.layout.runs_by_id)
        if self.do(lambda: new_run(draft.build, draft.layout.name, draft.begin, reference, corners, draft.tube)):
            drawn = [run.id for run in document.layout.runs if reference in (run.start, run.end)]
            document.select(frozenset(drawn) - before)
        self.finish(at)

    def _corners_to(self, draft: RunDraft, reference: str, at: Pointer) -> list[Corner]:
        """All corners of the run to a port: as drawn, or with Shift as proposed, where there is a clear way."""
        proposed = self._proposals.corners(draft, reference) if at.is_adding else None
        return draft.ended(reference, at.is_free) if proposed is None else proposed

    def _is_no_length(self) -> bool:
        """True if what was typed is none; it is told, and stays to be mended."""
        if self._typed.refusal:
            self.plan.message.emit(self._typed.refusal)
        return bool(self._typed.refusal)

    def _take_height(self) -> None:
        """A height that was typed holds from here on."""
        typed = self._typed.take()
        if typed is not None:
            self.draft.height_mm = typed

    def _aimed(self, at: Pointer) -> tuple[Point, tuple[Guide, ...]]:
        """Where a click would set the next corner, and what that is in line with."""
        last = self.draft.last
        corner, moves = next_corner(last, at.mm, at.is_free), directions(last, at.mm)
        if at.is_free or all(moves):
            return corner, ()
        axis = 0 if moves[0] else 1
        place, guides = self._snapping.place(at.mm, (axis,))
        return (place[0], last[1]) if axis == 0 else (last[0], place[1]), guides

    def _port(self, at: Pointer) -> Hit | None:
        """The open port at the pointer, with Shift the one near it, if it is not the one where the run begins."""
        reach = _PROPOSED_PX if at.is_adding and self.draft.begin else _REACH_PX
        port = port_at(self.plan.scene(), at.point, self.plan.pixel_mm, reach_px=reach)
        return None if port is None or port.reference == self.draft.begin else port

    def _taken_port(self, at: Pointer) -> bool:
        """True if there is a port here to which no run can lead; said, unless it is the one where the run begins."""
        hit = port_at(self.plan.scene(), at.point, self.plan.pixel_mm, only_open=False)
        if hit is None or hit.reference == self.draft.begin:
            return hit is not None
        name = self.draft.build.part(hit.id).name
        self.plan.message.emit(f"Port {hit.port_words} of {name} holds a tube run already; join runs with a tee.")
        return True

    def _say(self) -> None:
        if not self.draft.begin:
            self.plan.message.emit("Click an open port to begin the tube run. Esc ends drawing.")
        else:
            self.plan.message.emit(
                "Click for corners, click an open port to end; Shift proposes a way to a port. Digits set the height, "
                "E the kind of corner, Alt frees the angle, Backspace takes a corner back."
            )


def _away_from_walls(enclosure: Enclosure) -> Point:
    """Where the branch of a tee looks while nobody has said where its run will go: inwards."""
    return enclosure.length_mm / 2, enclosure.width_mm / 2
