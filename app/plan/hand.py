"""The builder's hand: from what mouse and keyboard do to the gesture that is meant."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent

from app.plan.gesture import Gesture, Pan, Pointer
from app.plan.handles import Hit
from app.plan.hits import hit_at
from app.plan.noting import MoveNote
from app.plan.steering import steered
from app.plan.stop_for_now import StopForNow
from app.plan.surface import Surface
from app.plan.taking import cursor_over, taken, works_on_run

__all__ = ["Hand"]

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_VIEW_KEYS = (Qt.Key.Key_F, Qt.Key.Key_Plus, Qt.Key.Key_Equal, Qt.Key.Key_Minus)


class Hand:
    """Holds the one gesture under way, and knows what lies under the pointer."""

    def __init__(self, plan: Surface) -> None:
        self._plan = plan
        self._gesture: Gesture | None = None
        self._stop_for_now = StopForNow(plan)
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
        elif is_left and (gesture := taken(self._plan, at)) is not None:
            self.begin(gesture, at)
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
        if self.gesture is not None or not works_on_run(self._plan, at):
            self.press(event)
        self.refresh()

    def leave(self) -> None:
        """The pointer left the view."""
        self._set_hovered(None)

    def key_down(self, event: QKeyEvent) -> bool:
        """A key while a gesture is under way, or the space bar; True if it was for the hand."""
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._holds_space = self.gesture is None or not self.gesture.key(key)  # it may part a number from its unit
            self.refresh()
            return True
        if self.gesture is None:
            return key == Qt.Key.Key_Space or (key == Qt.Key.Key_S and self._stop_for_now.key_down(event, self.hovered))
        return self._gesture_key(key, event)

    def key_up(self, event: QKeyEvent) -> None:
        """A key came up."""
        if event.key() in (Qt.Key.Key_Space, Qt.Key.Key_S) and not event.isAutoRepeat():
            self.let_go()

    def let_go(self) -> None:
        """The space bar or the key that stops a pump is up, or the keyboard went elsewhere."""
        self._holds_space = False
        self._stop_for_now.let_go()
        self.refresh()

    def _gesture_key(self, key: Qt.Key, event: QKeyEvent) -> bool:
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if key == Qt.Key.Key_Escape:
            self.cancel()
        elif (self.gesture.shifted_key if shift else self.gesture.key)(key):
            pass
        elif key in _ENTER and self.gesture.follows_clicks:
            self.gesture.press(self.at)
        elif (point := steered(self._plan, self.gesture, self.at.point, key, shift)) is not None:
            self._at = self._plan.pointer_at(point)
            self.gesture.move(self._at)
        else:
            return key not in _VIEW_KEYS  # nothing else may happen to the build meanwhile
        self.refresh()
        return True

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
            self._set_hovered(hit_at(self._plan.scene(), self._at.point, self._plan.pixel_mm))

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
        return cursor_over(self.hovered)
