"""The builder's hand: from what mouse and keyboard do to the gesture that is meant."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent

from app.plan.arrange import with_groups
from app.plan.commands import ARROWS
from app.plan.coordinates import GRID_MM
from app.plan.drawing import DrawRun
from app.plan.ending import MoveEnd
from app.plan.gesture import Gesture, Pan, Pointer, RubberBand
from app.plan.handles import Hit, ports_of
from app.plan.hits import hit_at
from app.plan.moving import MoveCorner, MoveParts, MoveStretch
from app.plan.noting import MoveNote
from app.plan.surface import Surface
from app.plan.turning import TurnPart
from loopsim.build.edits import Edit
from loopsim.build.run_edits import insert_corner, toggle_turn
from loopsim.parts import Pump

__all__ = ["Hand"]

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_VIEW_KEYS = (Qt.Key.Key_F, Qt.Key.Key_Plus, Qt.Key.Key_Equal, Qt.Key.Key_Minus)
_CURSORS = {
    "port": Qt.CursorShape.CrossCursor,
    "corner": Qt.CursorShape.SizeAllCursor,
    "end": Qt.CursorShape.SizeAllCursor,
    "turn": Qt.CursorShape.SizeAllCursor,
    "part": Qt.CursorShape.PointingHandCursor,
    "run": Qt.CursorShape.PointingHandCursor,
}


class Hand:
    """Holds the one gesture under way, and knows what lies under the pointer."""

    def __init__(self, plan: Surface) -> None:
        self._plan = plan
        self._gesture: Gesture | None = None
        self._stopped_for_now: frozenset[str] = frozenset()
        self.hovered: Hit | None = None
        self._pan: Pan | None = None
        self._at: Pointer | None = None
        self._holds_space = False

    @property
    def gesture(self) -> Gesture | None:
        """The gesture under way, if there is one."""
        return self._gesture

    @gesture.setter
    def gesture(self, gesture: Gesture | None) -> None:
        began_or_ended = (gesture is None) is not (self._gesture is None)
        self._gesture = gesture
        if began_or_ended:
            self._plan.in_hand.emit(gesture is not None)

    @property
    def at(self) -> Pointer:
        """Where the pointer is; in the middle of the view while it has not been seen."""
        return self._at or self._pointer(QRectF(self._plan.viewport().rect()).center())

    def begin(self, gesture: Gesture, at: Pointer | None = None) -> None:
        """Start a gesture here."""
        self.gesture, self._at = gesture, at or self._at
        gesture.start(self.at)
        self.refresh()

    def cancel(self) -> None:
        """End the gesture under way as if it had never begun."""
        gesture, self.gesture = self.gesture, None
        if gesture is not None:
            gesture.cancel()
            self._plan.message.emit("")
        self.refresh()

    def forget(self) -> None:
        """Let go of a gesture whose build is gone."""
        if self.gesture is not None:
            self.gesture = None
            self._plan.message.emit("")
        self.refresh()

    def refresh(self) -> None:
        """Drop a gesture that is over; show the cursor and the marks that fit."""
        if self.gesture is not None and self.gesture.is_over:
            if not self.gesture.is_refused:
                self._plan.message.emit("")
            self.gesture = None
        self._hover()
        self._plan.viewport().setCursor(self._cursor())
        self._plan.viewport().update()

    def press(self, event: QMouseEvent) -> None:
        """A button went down."""
        at = self._see(event)
        is_left = event.button() == Qt.MouseButton.LeftButton
        if event.button() == Qt.MouseButton.MiddleButton or (is_left and self._holds_space):
            self._pan = Pan(self._plan)
            self._pan.start(at)
        elif is_left and self.gesture is not None:
            self.gesture.press(at)
        elif is_left:
            self._grab(at)
        self.refresh()

    def move(self, event: QMouseEvent) -> None:
        """The pointer moved."""
        at = self._see(event)
        if self._pan is not None:
            self._pan.move(at)
        elif self.gesture is not None:
            self.gesture.move(at)
        self.refresh()

    def release(self, event: QMouseEvent) -> None:
        """A button came up."""
        at = self._see(event)
        if self._pan is not None:
            self._pan = None
        elif self.gesture is not None and event.button() == Qt.MouseButton.LeftButton:
            self.gesture.release(at)
        self.refresh()

    def double_click(self, event: QMouseEvent) -> None:
        """On a run: another corner; on a corner: bend, elbow or mitre. Quick clicks while drawing are clicks."""
        at = self._see(event)
        note = self._plan.note_at(at.pixel)
        if self.gesture is None and note is not None:
            MoveNote.rewrite(self._plan, note)
            return
        hit = self._hit(at)
        if self.gesture is not None or hit is None or hit.kind not in ("corner", "run"):
            self.press(event)
            return
        name = self._plan.document.layout.name
        if hit.kind == "corner":
            self._plan.do(lambda: toggle_turn(self._plan.document.build, name, hit.id, hit.corner))
            self._plan.select_corner((hit.id, hit.corner))
        else:
            self._insert_corner(hit.id, name, at)
        self.refresh()

    def leave(self) -> None:
        """The pointer left the view."""
        self._set_hovered(None)

    def key_down(self, event: QKeyEvent) -> bool:
        """A key while a gesture is under way, or the space bar; True if it was for the hand."""
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._holds_space = True
            self.refresh()
            return True
        if self.gesture is None:
            return key == Qt.Key.Key_Space or (key == Qt.Key.Key_S and self._stop_for_now(event))
        return self._gesture_key(key, event)

    def key_up(self, event: QKeyEvent) -> None:
        """A key came up."""
        if event.key() in (Qt.Key.Key_Space, Qt.Key.Key_S) and not event.isAutoRepeat():
            self.let_go()

    def let_go(self) -> None:
        """The space bar or the key that stops a pump is up, or the keyboard went elsewhere."""
        self._holds_space = False
        if self._stopped_for_now:
            self._stopped_for_now = frozenset()
            self._plan.stopped_for_now.emit(self._stopped_for_now)
        self.refresh()

    def _stop_for_now(self, event: QKeyEvent) -> bool:
        """Show the selected pumps, or the one under the pointer, as stopped for as long as the key is down."""
        if event.modifiers() != Qt.KeyboardModifier.NoModifier:
            return False
        if not event.isAutoRepeat():
            document, under = self._plan.document, self.hovered.id if self.hovered else ""
            parts = [document.build.parts_by_id.get(item) for item in (*document.selection, under)]
            self._stopped_for_now = frozenset(part.id for part in parts if isinstance(part, Pump))
            if self._stopped_for_now:
                self._plan.stopped_for_now.emit(self._stopped_for_now)
            else:
                self._plan.message.emit("Select a pump, or point at one, then hold S to see it stopped.")
        return True

    def _gesture_key(self, key: Qt.Key, event: QKeyEvent) -> bool:
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if key == Qt.Key.Key_Escape:
            self.cancel()
        elif (self.gesture.shifted_key if shift else self.gesture.key)(key):
            pass
        elif key in _ENTER and self.gesture.follows_clicks:
            self.gesture.press(self.at)
        elif key in ARROWS and self.gesture.follows_clicks:
            self._step(key, 10.0 if shift else 1.0)
        elif key in (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp) and self.gesture.seeks_ports:
            self._to_port(1 if key == Qt.Key.Key_PageDown else -1)
        else:
            return key not in _VIEW_KEYS  # nothing else may happen to the build meanwhile
        self.refresh()
        return True

    def _step(self, key: Qt.Key, times: float) -> None:
        """Move the pointer of a gesture by grid lines, without a mouse."""
        x, y = ARROWS[key]
        step = QPointF(x, -y) * GRID_MM * times
        self._go(self.at.point + step)

    def _to_port(self, step: int) -> None:
        """Move the pointer to the next open port, without a mouse."""
        points = [point for _, point in ports_of(self._plan.scene(), only_open=not self.gesture.seeks_all_ports)]
        if points:
            near = [(point - self.at.point).manhattanLength() for point in points]
            here = near.index(min(near)) if min(near) < 0.5 else -1 if step > 0 else 0
            self._go(points[(here + step) % len(points)])

    def _go(self, point: QPointF) -> None:
        self._at = self._plan.pointer_at(point)
        self.gesture.move(self._at)

    def _grab(self, at: Pointer) -> None:
        """What a press with nothing under way begins, by what lies there."""
        mark = self._plan.mark_at(at.pixel)
        if mark is not None:
            self._plan.pointing.show(mark)
            return
        note = self._plan.note_at(at.pixel)
        self._plan.select_note(note.id if note else "")
        if note is not None:
            self.begin(MoveNote(self._plan, note), at)
            return
        hit = self._hit(at)
        if hit is not None and hit.kind == "port":
            self.begin(DrawRun(self._plan, hit), at)
        elif hit is not None and hit.kind == "turn":
            self.begin(TurnPart(self._plan, hit.id), at)
        elif hit is not None and hit.kind == "end":
            self.begin(MoveEnd(self._plan, hit.id, hit.end), at)
        elif hit is not None and hit.kind == "corner":
            self._plan.select_corner((hit.id, hit.corner))
            self.begin(MoveCorner(self._plan, hit.id, hit.corner), at)
        elif hit is not None:
            self._take(hit, at)
        else:
            self._plan.select_corner(None)
            self.begin(RubberBand(self._plan), at)

    def _take(self, hit: Hit, at: Pointer) -> None:
        """Select a part or run, and hold it ready to be moved."""
        self._plan.select_corner(None)
        before, lets_go = self._plan.document.selection, None
        chosen = frozenset((hit.id,)) if at.is_free else with_groups((hit.id,), self._plan)
        if hit.id not in before:
            self._plan.document.select((before if at.is_adding else frozenset()) | chosen)
        else:
            lets_go = before - chosen if at.is_adding else chosen
        if hit.kind == "part":
            self.begin(MoveParts(self._plan, hit.id, lets_go), at)
        else:
            self.begin(MoveStretch(self._plan, hit.id, at, lets_go), at)

    def _insert_corner(self, run_id: str, name: str, at: Pointer) -> None:
        made: list[int] = []

        def insert() -> Edit:
            edit, index = insert_corner(self._plan.document.build, name, run_id, at.mm)
            made.append(index)
            return edit

        if self._plan.do(insert):
            self._plan.document.select((run_id,))
            self._plan.select_corner((run_id, made[0]))

    def _hit(self, at: Pointer) -> Hit | None:
        return hit_at(self._plan.scene(), at.point, self._plan.pixel_mm)

    def _see(self, event: QMouseEvent) -> Pointer:
        self._at = self._pointer(event.position(), event.modifiers())
        return self._at

    def _pointer(self, pixel: QPointF, modifiers: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> Pointer:
        return Pointer(
            self._plan.to_point(pixel),
            pixel,
            bool(modifiers & Qt.KeyboardModifier.AltModifier),
            bool(modifiers & Qt.KeyboardModifier.ShiftModifier),
        )

    def _hover(self) -> None:
        if self._at is None or (self.gesture is not None and not self.gesture.follows_clicks):
            self._set_hovered(None if self._at is None else self.hovered)
        else:
            self._set_hovered(self._hit(self._at))

    def _set_hovered(self, hit: Hit | None) -> None:
        if hit == self.hovered:
            return
        before, self.hovered = self.hovered, hit
        self._plan.scene().show_hovered(hit.id if hit else "", hit.port if hit else "")
        if (before.id if before else "") != (hit.id if hit else ""):
            self._plan.hovered.emit(hit.id if hit else "")

    def _cursor(self) -> Qt.CursorShape:
        if self._pan is not None:
            return Pan.cursor
        if self._holds_space:
            return Qt.CursorShape.OpenHandCursor
        if self.gesture is not None:
            return self.gesture.cursor
        return _CURSORS[self.hovered.kind] if self.hovered else Qt.CursorShape.ArrowCursor
