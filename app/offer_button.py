"""Buttons of the drawer: a click chooses what they offer, a drag takes it along into the plan."""

from html import escape

from pydantic import TypeAdapter, ValidationError
from PySide6.QtCore import QMimeData, QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QDrag, QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPixmap
from PySide6.QtWidgets import QApplication, QMenu, QSizePolicy, QToolButton, QWidget

from app.offers import Offer
from app.symbols import paint_symbol, symbol_icon
from app.theme import CONTROL, STEP, Theme, Type, font
from loopsim.build.document import AnyPart
from loopsim.parts import Part

__all__ = ["PART_MIME", "SYMBOL_PX", "WIDEST_PX", "OfferButton", "mime_of", "part_in"]

PART_MIME = "application/x-loopsim-part+json"
SYMBOL_PX = 22
WIDEST_PX = 124  # of the words on a button

_DRAGGED_PX = 48
_ARROWS = {Qt.Key.Key_Down: 1, Qt.Key.Key_Right: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_Left: -1}

_ANY_PART: TypeAdapter[Part] = TypeAdapter(AnyPart)


class OfferButton(QToolButton):
    """One offer: with its symbol, or as a small button of a size below it."""

    chosen = Signal(object)  # the offer
    taken_off = Signal(str)  # name of an item that goes from the shelf
    passed = Signal(int)  # an arrow key leads on by this many buttons
    reached = Signal()  # it has the keyboard

    def __init__(self, offer: Offer, parent: QWidget | None = None, *, is_size: bool = False) -> None:
        super().__init__(parent)
        self.offer, self.is_size = offer, is_size
        self._pressed_at: QPoint | None = None
        self.setFont(font(Type.SMALL))
        self.setText(self.fontMetrics().elidedText(offer.label, Qt.TextElideMode.ElideRight, WIDEST_PX))
        self.setToolTip(f"<p>{escape(offer.help)}</p>")
        self.setAccessibleName(f"Place: {offer.names}" if isinstance(offer.specimen, Part) else f"Draw: {offer.names}")
        self.setAutoRaise(True)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)  # the drawer lets Tab stop at one of them
        self.setMinimumWidth(CONTROL)  # else it would hold the column wider than the drawer
        self.setFixedHeight(CONTROL if is_size else CONTROL + STEP // 4)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setProperty("sized", is_size)
        if not is_size:
            self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
            self.setIconSize(QSize(SYMBOL_PX + STEP, SYMBOL_PX))
        self.clicked.connect(lambda: self.chosen.emit(offer))

    def wear(self, of: Theme) -> None:
        """Take on a theme's ink; tube runs are in the colour of liquid, as in the plan."""
        self._ink = of.ink if isinstance(self.offer.specimen, Part) else of.liquid
        if not self.is_size:
            self.setIcon(symbol_icon(self.offer.symbol, self._ink, (16, 24, SYMBOL_PX, 48)))

    def mark(self, is_first: bool) -> None:
        """Show whether Enter in the search field would choose this one."""
        if bool(self.property("first")) is not is_first:
            self.setProperty("first", is_first)
            self.style().polish(self)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self._pressed_at = event.position().toPoint()
        super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        away = event.position().toPoint() - self._pressed_at if self._pressed_at else QPoint()
        if isinstance(self.offer.specimen, Part) and away.manhattanLength() >= QApplication.startDragDistance():
            self._pressed_at = None
            self.setDown(False)
            self._drag(self.offer.specimen)
        else:
            super().mouseMoveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows go along the column; Return chooses, as the space bar does; Delete takes an item off the shelf."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif event.key() in _ARROWS:
            self.passed.emit(_ARROWS[Qt.Key(event.key())])
        elif event.key() == Qt.Key.Key_Delete and self.offer.on_shelf:
            self.taken_off.emit(self.offer.label)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.reached.emit()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        if self.offer.on_shelf:
            menu = self.menu_of_item()
            menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
            menu.popup(event.globalPos())

    def menu_of_item(self) -> QMenu:
        """What can be done to an item of the shelf."""
        menu = QMenu(self)
        menu.addAction("Place", self.click)
        menu.addAction("Take off the shelf", lambda: self.taken_off.emit(self.offer.label))
        return menu

    def _drag(self, part: Part) -> None:
        drag = QDrag(self)
        drag.setMimeData(mime_of(part))
        drag.setPixmap(self._picture())
        drag.exec(Qt.DropAction.CopyAction)

    def _picture(self) -> QPixmap:
        picture = QPixmap(_DRAGGED_PX, _DRAGGED_PX)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        paint_symbol(painter, self.offer.symbol, self._ink, QRectF(picture.rect()))
        painter.end()
        return picture


def mime_of(part: Part) -> QMimeData:
    """A part on its way to the plan, whole: it may come from the shelf, or from another window."""
    data = QMimeData()
    data.setData(PART_MIME, part.model_dump_json().encode())
    return data


def part_in(data: QMimeData) -> Part | None:
    """The part that is being dragged; None if it is something else."""
    if not data.hasFormat(PART_MIME):
        return None
    try:
        return _ANY_PART.validate_json(data.data(PART_MIME).data())
    except ValidationError:
        return None
