"""What lies under the plan: heights along the loop, or the machine from one of its sides."""

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

from app.answer import Answer
from app.document import Document
from app.field_editors import QuietBox
from app.fill.marks import Marks
from app.side_view import SidePane
from app.strip import ElevationStrip
from app.theme import STEP, Theme, Type, font

__all__ = ["Heights"]

_WAYS = {"along the loop": None, "from the front": "front", "from the right": "right", "from the back": "back",
         "from the left": "left"}  # fmt: skip


class Heights(QStackedWidget):
    """The strip, or the view from a side, by a small chooser at the top.

    Signals
    -------
    message(str)
    air_found(Marks or None)
        High points of the layout, looked for whatever bench is in view.
    """

    message = Signal(str)
    air_found = Signal(object)

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.strip, self.side = ElevationStrip(document, theme), SidePane(document, theme)
        for view in (self.strip, self.side):
            self.addWidget(view)
            view.message.connect(self.message)
        self.strip.quiet.changed.connect(self.air_found)
        self.ways = QuietBox(self)
        self.ways.addItems(list(_WAYS))
        self.ways.setFont(font(Type.SMALL))
        self.ways.setSizeAdjustPolicy(QuietBox.SizeAdjustPolicy.AdjustToContents)
        self.ways.setAccessibleName("heights seen")
        self.ways.currentTextChanged.connect(self.look)
        self.ways.setCursor(Qt.CursorShape.ArrowCursor)

    def look(self, way: str) -> None:
        """Heights along the loop, or from a side: one of the chooser's words."""
        self.ways.setCurrentText(way)
        edge = _WAYS[way]
        if edge is not None:
            self.side.look_from(edge)
        self.setCurrentWidget(self.strip if edge is None else self.side)
        self.ways.raise_()

    def look_next(self) -> None:
        """The next of them."""
        self.ways.setCurrentIndex((self.ways.currentIndex() + 1) % self.ways.count())

    def set_answer(self, answer: Answer | None) -> None:
        """Follow the flow of an answer."""
        self.strip.set_answer(answer)

    def let_go(self) -> None:
        """Work out nothing more: the window closes."""
        self.strip.let_go()

    def show_marks(self, marks: Marks | None) -> None:
        """Show what the fill bench asks for on the strip."""
        self.strip.show_marks(marks)

    def set_theme(self, theme: Theme) -> None:
        """Draw in other colours."""
        self.strip.set_theme(theme)
        self.side.set_theme(theme)

    def event(self, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.Resize, QEvent.Type.Show, QEvent.Type.LayoutRequest):
            size = self.ways.sizeHint()
            self.ways.resize(size)
            self.ways.move(self.width() - size.width() - STEP, 4)
            self.ways.raise_()
            for view in (self.strip, self.side):
                view.taken_px = size.width() + 2.0 * STEP
        return super().event(event)
