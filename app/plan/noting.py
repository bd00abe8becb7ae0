"""Writing, moving and changing notes, in place."""

from PySide6.QtCore import QEvent, QLineF, QPointF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter
from PySide6.QtWidgets import QLineEdit, QWidget

from app.plan.coordinates import snapped, to_scene
from app.plan.gesture import Drag, Gesture, Pointer
from app.plan.part_item import pen
from app.plan.routing import Point
from app.plan.surface import Surface
from app.theme import Type, font
from loopsim.build import Note, ground_edits

__all__ = ["MoveNote", "NoteLine", "WriteNote"]

_DRAGGED_PX = 8.0
_WIDTH_PX = 240


class NoteLine(QLineEdit):
    """The line in which a note is written, where it will stand; Enter keeps it, Esc drops it.

    Signals
    -------
    kept(str)
    """

    kept = Signal(str)

    def __init__(self, at: QPointF, text: str, parent: QWidget) -> None:
        super().__init__(text, parent)
        self.setFont(font(Type.SMALL))
        self.setPlaceholderText("a note; Enter keeps it")
        self.setAccessibleName("Note")
        self.setGeometry(int(at.x()), int(at.y()), _WIDTH_PX, self.sizeHint().height())
        self._is_over = False
        self.show()
        self.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._finish(self.text().strip())
        elif event.key() == Qt.Key.Key_Escape:
            self._finish("")
        else:
            super().keyPressEvent(event)

    def event(self, event: QEvent) -> bool:
        """While something is written, its keys come before the menu's."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        return super().event(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._finish(self.text().strip())

    def _finish(self, text: str) -> None:
        if self._is_over:
            return
        self._is_over = True
        if text:
            self.kept.emit(text)
        self.hide()
        self.deleteLater()
        self.parent().parent().setFocus()


class WriteNote(Gesture):
    """A click where the words go; or a press on what they speak of, and a drag to where they go."""

    cursor = Qt.CursorShape.IBeamCursor
    follows_clicks = True

    def __init__(self, plan: Surface) -> None:
        super().__init__(plan)
        self._pressed: Pointer | None = None
        self._at: Pointer | None = None

    def start(self, at: Pointer) -> None:
        self._at = at
        self.plan.message.emit("Click where the note goes; or press on what it speaks of, and pull the note out of it.")

    def move(self, at: Pointer) -> None:
        self._at = at

    def press(self, at: Pointer) -> None:
        self._at = self._pressed = at

    def release(self, at: Pointer) -> None:
        if self._pressed is not None:
            self._at = at
            is_pulled = QLineF(at.pixel, self._pressed.pixel).length() >= _DRAGGED_PX
            self._write(_place(at), _place(self._pressed, free=True) if is_pulled else None)
            self.finish(at)

    def key(self, key: Qt.Key) -> bool:
        """Enter writes where the pointer is."""
        if key not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return False
        self._write(_place(self._at), None)
        self.finish(self._at)
        return True

    def paint(self, painter: QPainter) -> None:
        if self._pressed is not None:
            painter.setPen(pen(self.plan.theme.soft_ink, 1.2))
            painter.drawLine(self._pressed.point, self._at.point)

    def _write(self, at: Point, arrow: Point | None) -> None:
        """Open a line at a place; what is kept there becomes a note."""
        plan, document = self.plan, self.plan.document
        line = NoteLine(plan.to_pixel(to_scene(*at)), "", plan.viewport())

        def keep(text: str) -> None:
            build, layout = document.build, document.layout
            arrow_to = {"to_x_mm": arrow[0], "to_y_mm": arrow[1]} if arrow else {}
            note = Note(id=ground_edits.free_note_id(layout), text=text, x_mm=at[0], y_mm=at[1], **arrow_to)
            if plan.do(lambda: ground_edits.add_note(build, layout.name, note)):
                plan.select_note(note.id)

        line.kept.connect(keep)


class MoveNote(Drag):
    """A note follows the hand; its arrow still points to the same place."""

    cursor = Qt.CursorShape.SizeAllCursor

    def __init__(self, plan: Surface, note: Note) -> None:
        super().__init__(plan)
        self.build, self.layout, self.note = plan.document.build, plan.document.layout, note

    def drag(self, at: Pointer) -> None:
        dx, dy = self.shift_mm(at)
        place = {"x_mm": snapped(self.note.x_mm + dx, at.is_free), "y_mm": snapped(self.note.y_mm + dy, at.is_free)}
        self.do(lambda: ground_edits.change_note(self.build, self.layout.name, self.note.id, **place))

    @staticmethod
    def rewrite(plan: Surface, note: Note) -> None:
        """Open the line of a note again."""
        document = plan.document
        line = NoteLine(plan.to_pixel(to_scene(note.x_mm, note.y_mm)), note.text, plan.viewport())
        line.kept.connect(
            lambda text: plan.do(
                lambda: ground_edits.change_note(document.build, document.layout.name, note.id, text=text)
            )
        )


def _place(at: Pointer, free: bool = False) -> Point:
    return snapped(at.mm[0], free or at.is_free), snapped(at.mm[1], free or at.is_free)
