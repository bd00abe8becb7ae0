"""The layout in view as it is answered: parts, runs, words, marks and colours. What a hand does is not known here."""

from html import escape

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, Qt, QTimer
from PySide6.QtGui import QHelpEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import QToolTip, QWidget

from app.answer import Answer
from app.document import Document
from app.fill.marks import Marks
from app.plan.annotations import Annotations
from app.plan.hits import hit_at
from app.plan.labels import Label
from app.plan.layers import DIMMED, Layer
from app.plan.legend import Legend
from app.plan.notes import note_at, note_box, paint_notes
from app.plan.scene import PlanScene
from app.plan.sheet import SCALE_BAR_PX, Sheet
from app.plan.struck import flow_kept, struck_answer
from app.plan.tint import Quantity, tint_of
from app.plan.tips import tip
from app.solving import REST_MS
from app.theme import Theme, Type, font
from loopsim.build import Note
from loopsim.studies import FailureOutcome, Finding

__all__ = ["LayoutView"]

_BY_BENCH = {"Heat": Quantity.TEMPERATURE, "Failures": Quantity.FLOW_KEPT}  # what a bench asks the plan's colours for

_SPACES_PX = 20.0  # below the front edge, beyond the arrows of air
_EDGE_PX = 8.0  # between words and the edge of the view


class LayoutView(Sheet):
    """Shows the document's layout, what was found out about it, and what of it is selected. Keeps no positions."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(PlanScene(theme), theme, parent)
        self.document = document
        self.answer: Answer | None = None
        self.failure: FailureOutcome | None = None
        self.selected_corner: tuple[str, int] | None = None
        self.selected_note = ""
        self.legend = Legend(self)
        self._annotations = Annotations(self.scene())
        self._moving = QTimer(self, singleShot=True, interval=REST_MS)  # while a gesture changes the build
        self._moving.timeout.connect(self.viewport().update)
        document.selection_changed.connect(self._on_selection_changed)
        self.legend.chosen.connect(self._on_colour_chosen)
        self._show_tint()

    @property
    def is_held(self) -> bool:
        """True while a hand holds something: then nothing may shift under it."""
        return False

    @property
    def labels(self) -> list[Label]:
        """Names and marks as they were last painted."""
        return self._annotations.labels

    @property
    def seen(self) -> Answer | None:
        """The answer that is shown: that of the failure in view, if there is one."""
        return struck_answer(self.answer, self.failure)

    def set_answer(self, answer: Answer | None) -> None:
        """Show flow directions, stopped pumps, findings, air and colours of an answer."""
        self.answer = answer
        self._show_seen()

    def show_failure(self, case: FailureOutcome | None) -> None:
        """Show the layout as a failure would leave it; None shows it in order again."""
        if case is not self.failure:
            self.failure = case
            self._show_seen()

    def show_marks(self, marks: Marks | None) -> None:
        """Show what the fill bench asks for: high points, or one moment of the fill."""
        if marks != self.scene().marks:
            self.scene().show_marks(marks)
            self.viewport().update()

    def set_theme(self, theme: Theme) -> None:
        """Draw in other colours."""
        self.theme = theme
        self.scene().show_theme(theme)
        self.resetCachedContent()
        self.viewport().update()

    def follow_bench(self, name: str) -> None:
        """Colour the plan as the bench in view asks for, unless the builder has chosen."""
        self.legend.follow_bench(_BY_BENCH.get(name, Quantity.PLAIN))

    def dim(self, layer: Layer, is_dimmed: bool) -> None:
        """Draw a layer faintly, or as it is again."""
        dimmed = self.scene().dimmed
        self.scene().show_dimmed(dimmed | {layer} if is_dimmed else dimmed - {layer})
        self.viewport().update()

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

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place_legend()

    def viewportEvent(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), self._tip(QPointF(event.pos())), self.viewport())
            return True
        return super().viewportEvent(event)

    def drawForeground(self, painter: QPainter, area: QRectF | QRect) -> None:  # noqa: ARG002
        painter.save()
        painter.resetTransform()
        self.paint_frame(painter)
        self._paint_spaces(painter)
        painter.setOpacity(DIMMED if "notes" in self.scene().dimmed else 1.0)
        paint_notes(painter, self.document.layout.notes, self.selected_note, self.to_pixel, self.theme)
        painter.setOpacity(1.0)
        slips = [note_box(note, lambda point: point * self.scale_px) for note in self.document.layout.notes]
        is_moving = self.is_held and self._moving.isActive()
        self._annotations.lay_out(self.scale_px, self.enclosure, slips, is_moving)
        if is_moving:
            self._moving.start()  # the rest counts from when the last move was seen
        self._annotations.paint(painter, self.to_pixel(QPointF(0.0, 0.0)), self.theme, self.selected_corner)
        painter.restore()

    def _tip(self, pixel: QPointF) -> str:
        mark = self.mark_at(pixel)
        if mark is not None:
            return f"<p>{escape(mark.text)}</p>"
        hit = hit_at(self.scene(), self.to_point(pixel), self.pixel_mm)
        return "" if hit is None or self.is_held else tip(hit, self.document, self.seen, self.scene().marks)

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
        if has_new_walls and self.is_fitted and not self.is_held:  # a wall in the hand stays under the hand
            self.fit()
        self.viewport().update()

    def _show_seen(self) -> None:
        seen = self.seen
        self.scene().show_answer(seen)
        self.scene().show_air(seen)
        self._show_tint()
        self.viewport().update()  # words may have changed where no item has

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
        wide = self.viewport().width()
        self.legend.stand_at(wide - round(_EDGE_PX), 6, wide - 2 * round(_EDGE_PX))

    def _paint_spaces(self, painter: QPainter) -> None:
        """The air of the enclosure's spaces, under its front edge, as long as there is room above the scale bar."""
        painter.setFont(font(Type.SMALL))
        painter.setPen(self.theme.soft_ink)
        corner = self.to_pixel(QPointF(0.0, 0.0)) + QPointF(0.0, _SPACES_PX)
        room = QRectF(corner, QPointF(self.viewport().width() - _EDGE_PX, self.viewport().height() - SCALE_BAR_PX))
        if painter.boundingRect(room, Qt.TextFlag.TextWordWrap, self.scene().spaces).height() <= room.height():
            painter.drawText(room, Qt.TextFlag.TextWordWrap, self.scene().spaces)
