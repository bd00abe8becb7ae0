"""The plan: the layout in view, to scale, and everything that a hand can do to it."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
)
from PySide6.QtWidgets import QMenu, QWidget

from app.document import Document
from app.focus_mark import paint_focus_mark
from app.offer_button import part_in
from app.plan import keys
from app.plan.arrange import Arrange
from app.plan.commands import Commands
from app.plan.drawing import DrawRun
from app.plan.gesture import Gesture, Pointer
from app.plan.hand import Hand
from app.plan.hits import hit_at
from app.plan.layout_view import LayoutView
from app.plan.lettering import paint_words
from app.plan.measuring import Measure
from app.plan.noting import WriteNote
from app.plan.own_menu import actions_on, fill
from app.plan.placing import PlacePart
from app.plan.pointing import Pointing
from app.theme import Theme
from loopsim.build.edits import Edit
from loopsim.parts import Part, Tube

__all__ = ["PlanView"]


class PlanView(LayoutView):
    """Shows the document's layout in view and edits it. Keeps no positions of its own.

    Signals
    -------
    hovered(str)
        Id of the part or tube run under the pointer, empty where there is none.
    message(str)
        A sentence for the builder: what to do next, or why something cannot be done; empty when it no longer holds.
    in_hand(bool)
        A gesture has begun, or ended.
    stopped_for_now(frozenset of str)
        Ids of pumps to be shown as stopped while a key is held; none when it is let go.
    """

    hovered = Signal(str)
    message = Signal(str)
    in_hand = Signal(bool)
    stopped_for_now = Signal(object)

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(document, theme, parent)
        self.commands = Commands(self)
        self.arrange = Arrange(self)
        self.pointing = Pointing(self)
        self.hand = Hand(self)
        self.menu = QMenu(self)
        self._is_doing = False
        self._last_placed: PlacePart | None = None
        self.setMouseTracking(True)
        self.setAcceptDrops(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Plan")
        document.build_changed.connect(self._on_build_changed)
        document.layout_changed.connect(self._on_layout_changed)
        self._show_document()

    @property
    def gesture(self) -> Gesture | None:
        """The gesture under way, if there is one."""
        return self.hand.gesture

    @property
    def is_held(self) -> bool:
        return self.gesture is not None

    def place(self, specimen: Part) -> None:
        """Begin to place a copy of a part."""
        self._last_placed = PlacePart(self, specimen)
        self._begin(self._last_placed)

    def place_again(self) -> None:
        """Begin to place one more of the kind that was placed last, turned as that was."""
        if self._last_placed is not None:
            self._last_placed = PlacePart(self, self._last_placed.specimen, self._last_placed.stands)
            self._begin(self._last_placed)
        else:
            self.message.emit("Nothing has been placed yet: choose a part in the drawer first.")

    def draw_run(self, tube: Tube | None = None) -> None:
        """Begin to draw a run of a tube, or of the one used last."""
        self._begin(DrawRun(self, tube=tube))

    def measure(self) -> None:
        """Begin to measure."""
        self._begin(Measure(self))

    def write_note(self) -> None:
        """Begin to write a note."""
        self._begin(WriteNote(self))

    def cancel(self) -> None:
        """End the gesture under way as if it had never begun."""
        self.hand.cancel()

    def do(self, make: Callable[[], Edit], gesture: object = None) -> bool:
        """Make an edit; if it is not allowed, say why and leave everything as it was."""
        self._is_doing = gesture is not None and gesture is self.gesture
        try:
            return self.document.attempt(make, self.message.emit, gesture)
        finally:
            self._is_doing = False

    def pointer_at(self, point: QPointF) -> Pointer:
        """The pointer as it would be at a point of the scene."""
        return Pointer(point, self.to_pixel(point))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.hand.press(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self.hand.move(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self.hand.release(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.hand.double_click(event)

    def leaveEvent(self, event: QEvent) -> None:
        self.hand.leave()
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self.hand.key_down(event) and not keys.pressed(self, event):
            event.ignore()  # the window may know it

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        self.hand.key_up(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.hand.let_go()
        super().focusOutEvent(event)

    def event(self, event: QEvent) -> bool:
        """While a gesture is under way, its keys come before the menu's."""
        is_asked = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride
        if is_asked and self.gesture is not None and not event.modifiers() & keys.MENU_MODIFIERS:
            event.accept()
            return True
        return super().event(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What can be done to the thing under the pointer, which is selected by that, or on the bare paper."""
        if self.gesture is not None:
            return
        if event.reason() is not QContextMenuEvent.Reason.Keyboard:
            hit = hit_at(self.scene(), self.to_point(QPointF(event.pos())), self.pixel_mm)
            self._select_for_menu(hit.id if hit is not None else "")
        fill(self.menu, actions_on(self.actions(), self.document))
        self.menu.popup(event.globalPos())

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        specimen = part_in(event.mimeData())
        if specimen is not None:
            self.cancel()
            self._last_placed = PlacePart(self, specimen)
            self.hand.begin(self._last_placed, self._dragged(event.position()))
            event.acceptProposedAction()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        if isinstance(self.hand.gesture, PlacePart):
            self.hand.gesture.move(self._dragged(event.position()))
            self.viewport().update()
            event.acceptProposedAction()

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self.cancel()
        event.accept()

    def dropEvent(self, event: QDropEvent) -> None:
        if isinstance(self.hand.gesture, PlacePart):
            self.hand.gesture.press(self._dragged(event.position()))
            self.hand.refresh()
            self.setFocus()
            event.acceptProposedAction()

    def drawForeground(self, painter: QPainter, area: QRectF | QRect) -> None:
        gesture = self.hand.gesture
        if gesture is not None:
            painter.save()
            gesture.paint(painter)
            painter.restore()
        super().drawForeground(painter, area)
        if gesture is not None and gesture.words():
            painter.save()
            painter.resetTransform()
            beside, within = self.hand.at.pixel + QPointF(14, -10), QRectF(self.viewport().rect())
            paint_words(painter, beside, gesture.words(), self.theme, within)
            painter.restore()
        paint_focus_mark(painter, self.viewport())

    def _select_for_menu(self, item: str) -> None:
        """What is not selected yet is, alone; nothing, on the bare paper."""
        if not item or item not in self.document.selection:
            self.document.select((item,) if item else ())

    def _begin(self, gesture: Gesture) -> None:
        self.cancel()
        self.setFocus()
        self.hand.begin(gesture)

    def _dragged(self, pixel: QPointF) -> Pointer:
        return Pointer(self.to_point(pixel), pixel)

    def _on_build_changed(self) -> None:
        if self._is_doing:
            self._moving.start()
        else:
            self.hand.forget()
        self._show_document()

    def _on_layout_changed(self) -> None:
        self.hand.forget()
        self._show_document()
