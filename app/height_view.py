"""What the strip and the view from a side have in common: a ground, a scale of heights, and a hand that lifts."""

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.document import Document
from app.height_drags import HeightDrag, of_part
from app.key_steps import stepped
from app.measures import measures
from app.theme import Theme, Type, font

__all__ = ["HeightView"]

_STILL_PX = 4.0
_HEADING_PX, _LEAST_PX = 6.0, 90.0  # of the heading from the top, and its least width


class HeightView(QWidget):
    """Heights between floor and lid, drawn across `left` to `right` and `top` to `bottom` of the widget.

    Signals
    -------
    message(str)
        Why something cannot be done; empty when it no longer holds.
    """

    message = Signal(str)
    left, right, top = 36.0, 84.0, 44.0

    def __init__(self, document: Document, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document, self.theme = document, theme
        self.taken_px = 0.0  # at the right of the heading, by what lies over it
        self.drag: HeightDrag | None = None
        self._pressed: QPointF | None = None
        self._held: HeightDrag | None = None  # becomes the drag once the hand has clearly moved
        self._nudged: HeightDrag | None = None  # by an arrow key
        self._highest = 0.0
        self.setAccessibleName(name)
        self.setMinimumHeight(120)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        document.selection_changed.connect(self.update)
        measures.changed.connect(self._on_units)

    def highest_mm(self) -> float:
        """The highest thing to be shown."""
        return self.document.build.enclosure.clear_height_mm

    def bottom(self) -> float:
        """Room below the floor [px]."""
        return 26.0

    def ids(self) -> list[str]:
        """Parts and runs from left to right."""
        raise NotImplementedError

    def id_at(self, pixel: QPointF) -> str:
        """The part or run at a pixel; empty where there is none."""
        raise NotImplementedError

    def drag_at(self, pixel: QPointF) -> HeightDrag | None:
        """What a press here would lift."""
        raise NotImplementedError

    def set_theme(self, theme: Theme) -> None:
        """Draw in other colours."""
        self.theme = theme
        self.update()

    def _on_units(self, _: object) -> None:
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(640, 180)

    def y_of(self, height_mm: float) -> float:
        """Where a height is drawn [px]."""
        floor = self.height() - self.bottom()
        return floor - height_mm / self._top_mm() * (floor - self.top)

    def per_pixel_mm(self) -> float:
        """Height of one pixel [mm]."""
        return self._top_mm() / max(1.0, self.height() - self.bottom() - self.top)

    def _top_mm(self) -> float:
        """The scale is held while something is lifted, so that it stays under the hand."""
        if self.drag is None:
            self._highest = max(1.0, self.highest_mm())
        return self._highest

    def limit(self, painter: QPainter, height_mm: float, text: str, line: QPen, colour: QColor, text_y: float) -> None:
        """A line across with its word at the right."""
        y = self.y_of(height_mm)
        painter.setPen(line)
        painter.drawLine(QPointF(self.left, y), QPointF(self.width() - self.right, y))
        painter.setPen(colour)
        size = QFontMetricsF(painter.font())
        painter.drawText(QPointF(self.width() - self.right + 8, text_y + size.ascent() / 2 - 1), text)

    def paint_heading(self, painter: QPainter, text: str) -> None:
        """What is shown; meanwhile, what is being lifted and how high it is now."""
        painter.setFont(font(Type.SMALL, bold=self.drag is not None))
        painter.setPen(self.theme.soft_ink if self.drag is None else self.theme.ink)
        words = text if self.drag is None else self.drag.words()
        room = QRectF(self.left, _HEADING_PX, self.width() - self.left - self.taken_px, self.top - _HEADING_PX)
        two_lines = QFontMetricsF(painter.font()).elidedText(words, Qt.TextElideMode.ElideRight, 1.8 * room.width())
        if room.width() > _LEAST_PX:
            painter.drawText(room, Qt.TextFlag.TextWordWrap, two_lines)
        painter.setFont(font(Type.SMALL))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self._pressed = event.position()
        self._held = self.drag_at(event.position())
        found = self.id_at(event.position())
        self.document.select((found,) if found else ())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._pressed is None:
            lifts = self.drag_at(event.position()) is not None
            self.setCursor(Qt.CursorShape.SizeVerCursor if lifts else Qt.CursorShape.ArrowCursor)
            return
        up_px = self._pressed.y() - event.position().y()
        if self.drag is None and self._held is not None and abs(up_px) >= _STILL_PX:
            self._top_mm()
            self.drag = self._held
        if self.drag is not None:
            is_fine = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
            self.drag.move(up_px * self.per_pixel_mm(), is_fine)
            self.message.emit(self.drag.refusal)
            self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self._let_go(lambda drag: drag.finish())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc gives a drag up; up and down lift what is selected, left and right go to what stands beside it."""
        lifts = {Qt.Key.Key_Up: 1.0, Qt.Key.Key_Down: -1.0}
        if event.key() == Qt.Key.Key_Escape and self.drag is not None:
            self._let_go(lambda drag: drag.cancel())
        elif event.key() in lifts and self._selected_part():
            step = 10.0 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1.0
            self._nudge(lifts[Qt.Key(event.key())] * step, event.isAutoRepeat())
        elif event.key() not in lifts and (found := stepped(event.key(), self.ids(), self.document.selection)):
            self.document.select((found,))
        else:
            super().keyPressEvent(event)

    def _nudge(self, by_mm: float, is_repeat: bool) -> None:
        """Lift the selected part; for as long as the key is held that is one step back."""
        if self._nudged is None or not is_repeat:
            self._nudged = of_part(self.document, self._selected_part())
        self._nudged.move(self._nudged.height_mm - self._nudged.begin_mm + by_mm)
        self.message.emit(self._nudged.refusal)

    def _selected_part(self) -> str:
        chosen = [each for each in self.document.selection if each in self.document.layout.placements]
        return chosen[0] if len(chosen) == 1 else ""

    def _let_go(self, end: Callable[[HeightDrag], None]) -> None:
        drag, self.drag, self._pressed = self.drag, None, None
        if drag is not None:
            end(drag)
            self.message.emit("")
        self.update()
