"""The plan: the layout in view, to scale, and everything that a hand can do to it."""

from collections.abc import Callable
from html import escape

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QFocusEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QResizeEvent,
)
from PySide6.QtWidgets import QMenu, QToolTip, QWidget

from app.answer import Answer
from app.document import Document
from app.fill.marks import Marks
from app.offer_button import part_in
from app.plan import keys
from app.plan.annotations import Annotations
from app.plan.arrange import Arrange
from app.plan.commands import Commands
from app.plan.drawing import DrawRun
from app.plan.gesture import Gesture, Pointer
from app.plan.hand import Hand
from app.plan.hits import hit_at
from app.plan.labels import Label
from app.plan.layers import DIMMED, Layer
from app.plan.legend import Legend
from app.plan.lettering import paint_words
from app.plan.measuring import Measure
from app.plan.notes import note_at, note_box, paint_notes
from app.plan.noting import WriteNote
from app.plan.placing import PlacePart
from app.plan.pointing import Pointing
from app.plan.scene import PlanScene
from app.plan.sheet import Sheet
from app.plan.struck import flow_kept, struck_answer
from app.plan.tint import Quantity, tint_of
from app.plan.tips import tip
from app.solving import REST_MS
from app.theme import Theme, Type, font
from loopsim.build import Note
from loopsim.build.edits import Edit
from loopsim.parts import Part, Tube
from loopsim.studies import FailureOutcome, Finding

__all__ = ["PlanView"]

_BY_BENCH = {"Heat": Quantity.TEMPERATURE, "Failures": Quantity.FLOW_KEPT}  # what a bench asks the plan's colours for

_SPACES_PX = 32.0  # below the front edge, beyond the arrows of air


class PlanView(Sheet):
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
        super().__init__(PlanScene(theme), theme, parent)
        self.document = document
        self.answer: Answer | None = None
        self.failure: FailureOutcome | None = None
        self.selected_corner: tuple[str, int] | None = None
        self.selected_note = ""
        self.commands = Commands(self)
        self.arrange = Arrange(self)
        self.pointing = Pointing(self)
        self.hand = Hand(self)
        self.menu = QMenu(self)
        self.legend = Legend(self)
        self._annotations = Annotations(self.scene())
        self._is_doing = False
        self._moving = QTimer(self, singleShot=True, interval=REST_MS)  # while a gesture changes the build
        self._moving.timeout.connect(self.viewport().update)
        self._last_placed: PlacePart | None = None
        self.setMouseTracking(True)
        self.setAcceptDrops(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Plan")
        document.build_changed.connect(self._on_build_changed)
        document.layout_changed.connect(self._on_layout_changed)
        document.selection_changed.connect(self._on_selection_changed)
        self.legend.chosen.connect(self._on_colour_chosen)
        self._show_tint()
        self._show_document()

    @property
    def gesture(self) -> Gesture | None:
        """The gesture under way, if there is one."""
        return self.hand.gesture

    @property
    def labels(self) -> list[Label]:
        """Names and marks as they were last painted."""
        return self._annotations.labels

    def set_answer(self, answer: Answer | None) -> None:
        """Show flow directions, stopped pumps, findings, air and colours of an answer."""
        self.answer = answer
        self._show_seen()

    def show_failure(self, case: FailureOutcome | None) -> None:
        """Show the layout as a failure would leave it; None shows it in order again."""
        if case is not self.failure:
            self.failure = case
            self._show_seen()
            self.viewport().update()

    def show_marks(self, marks: Marks | None) -> None:
        """Show what the fill bench asks for: high points, or one moment of the fill."""
        if marks != self.scene().marks:
            self.scene().show_marks(marks)
            self.viewport().update()

    @property
    def seen(self) -> Answer | None:
        """The answer that is shown: that of the failure in view, if there is one."""
        return struck_answer(self.answer, self.failure)

    def _show_seen(self) -> None:
        seen = self.seen
        self.scene().show_answer(seen)
        self.scene().show_air(seen)
        self._show_tint()

    def set_theme(self, theme: Theme) -> None:
        """Draw in other colours."""
        self.theme = theme
        self.scene().show_theme(theme)
        self.resetCachedContent()
        self.viewport().update()

    def follow_bench(self, name: str) -> None:
        """Colour the plan as the bench in view asks for, unless the builder has chosen."""
        self.legend.follow_bench(_BY_BENCH.get(name, Quantity.PLAIN))

    def _on_colour_chosen(self, _: Quantity) -> None:
        self._show_tint()
        self.viewport().update()

    def _show_tint(self) -> None:
        seen, quantity = self.seen, self.legend.quantity
        tint = tint_of(seen, quantity)
        if quantity is Quantity.FLOW_KEPT and self.failure is not None and seen is not self.answer:
            tint = flow_kept(self.answer.point, self.failure)
        self.scene().show_tint(tint)
        self.legend.show_tint(tint)
        self._place_legend()

    def _place_legend(self) -> None:
        """In the upper right corner."""
        size = self.legend.sizeHint()
        self.legend.setGeometry(self.viewport().width() - size.width() - 8, 6, size.width(), 26)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place_legend()

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

    def _begin(self, gesture: Gesture) -> None:
        self.cancel()
        self.setFocus()
        self.hand.begin(gesture)

    def cancel(self) -> None:
        """End the gesture under way as if it had never begun."""
        self.hand.cancel()

    def select_corner(self, corner: tuple[str, int] | None) -> None:
        """Select one corner of a run (id, number), or none."""
        self.selected_corner = corner
        self.viewport().update()

    def select_note(self, note_id: str) -> None:
        """Select one note, or none; nothing else stays selected beside it."""
        if note_id:
            self.document.select(())
        self.selected_note = note_id
        self.viewport().update()

    def note_at(self, pixel: QPointF) -> Note | None:
        """The note at a pixel of the view."""
        if "notes" in self.scene().dimmed:
            return None
        return note_at(self.document.layout.notes, pixel, self.to_pixel)

    def mark_at(self, pixel: QPointF) -> Finding | None:
        """The finding whose mark is at a pixel of the view."""
        return self._annotations.mark_at(pixel - self.to_pixel(QPointF(0.0, 0.0)))

    def dim(self, layer: Layer, is_dimmed: bool) -> None:
        """Draw a layer faintly, or as it is again."""
        dimmed = self.scene().dimmed
        self.scene().show_dimmed(dimmed | {layer} if is_dimmed else dimmed - {layer})
        self.viewport().update()

    def measure(self) -> None:
        """Begin to measure."""
        self._begin(Measure(self))

    def write_note(self) -> None:
        """Begin to write a note."""
        self._begin(WriteNote(self))

    def do(self, make: Callable[[], Edit], gesture: object = None) -> bool:
        """Make an edit; if it is not allowed, say why and leave everything as it was."""
        self._is_doing = gesture is not None and gesture is self.gesture
        try:
            return self.document.attempt(make, self.message.emit, gesture)
        finally:
            self._is_doing = False

    def _on_build_changed(self) -> None:
        if self._is_doing:
            self._moving.start()
        else:
            self.hand.forget()
        self._show_document()

    def _on_layout_changed(self) -> None:
        self.hand.forget()
        self._show_document()

    def _on_selection_changed(self, selection: frozenset[str]) -> None:
        self.selected_corner = None
        if selection:
            self.selected_note = ""
        self.scene().show_selection(selection)

    def _show_document(self) -> None:
        build = self.document.build
        has_new_walls = build.enclosure != self.enclosure
        self.enclosure = build.enclosure
        if has_new_walls:
            self.resetCachedContent()
        self.scene().show_layout(build, self.document.layout)
        if has_new_walls and self.is_fitted and self.gesture is None:  # a wall in the hand stays under the hand
            self.fit()
        self.viewport().update()

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

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.hand.let_go()
        super().focusOutEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What can be done to the thing under the pointer, which is selected by that."""
        hit = hit_at(self.scene(), self.to_point(QPointF(event.pos())), self.pixel_mm)
        if hit is None or self.gesture is not None:
            return
        if hit.id not in self.document.selection:
            self.document.select((hit.id,))
        self.menu.clear()
        self.menu.addActions(self.actions())
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

    def pointer_at(self, point: QPointF) -> Pointer:
        """The pointer as it would be at a point of the scene."""
        return Pointer(point, self.to_pixel(point))

    def _dragged(self, pixel: QPointF) -> Pointer:
        return Pointer(self.to_point(pixel), pixel)

    def event(self, event: QEvent) -> bool:
        """While a gesture is under way, its keys come before the menu's."""
        is_asked = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride
        if is_asked and self.gesture is not None and not event.modifiers() & keys.MENU_MODIFIERS:
            event.accept()
            return True
        return super().event(event)

    def viewportEvent(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            hit = hit_at(self.scene(), self.to_point(QPointF(event.pos())), self.pixel_mm)
            is_free = hit is not None and self.hand.gesture is None
            words = tip(hit, self.document, self.seen, self.scene().marks) if is_free else ""
            mark = self.mark_at(QPointF(event.pos()))
            words = f"<p>{escape(mark.text)}</p>" if mark is not None else words
            QToolTip.showText(event.globalPos(), words, self.viewport())
            return True
        return super().viewportEvent(event)

    def _paint_spaces(self, painter: QPainter) -> None:
        """The air of the enclosure's spaces, under its front edge."""
        painter.setFont(font(Type.SMALL))
        painter.setPen(self.theme.soft_ink)
        painter.drawText(self.to_pixel(QPointF(0.0, 0.0)) + QPointF(0.0, _SPACES_PX), self.scene().spaces)

    def drawForeground(self, painter: QPainter, area: QRectF | QRect) -> None:  # noqa: ARG002
        gesture = self.hand.gesture
        if gesture is not None:
            painter.save()
            gesture.paint(painter)
            painter.restore()
        painter.save()
        painter.resetTransform()
        self.paint_frame(painter)
        self._paint_spaces(painter)
        painter.setOpacity(DIMMED if "notes" in self.scene().dimmed else 1.0)
        paint_notes(painter, self.document.layout.notes, self.selected_note, self.to_pixel, self.theme)
        painter.setOpacity(1.0)
        slips = [note_box(note, lambda point: point * self.scale_px) for note in self.document.layout.notes]
        is_moving = gesture is not None and self._moving.isActive()
        self._annotations.lay_out(self.scale_px, self.enclosure, slips, is_moving)
        self._annotations.paint(painter, self.to_pixel(QPointF(0.0, 0.0)), self.theme, self.selected_corner)
        painter.restore()
        if gesture is not None and gesture.words():
            painter.save()
            painter.resetTransform()
            paint_words(painter, self.hand.at.pixel + QPointF(14, -10), gesture.words(), self.theme)
            painter.restore()
