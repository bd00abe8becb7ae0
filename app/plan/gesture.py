"""What a hand does in the plan, from its start to its finish, or to Esc, which leaves no trace."""

from collections.abc import Callable

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from app.plan.arrange import with_groups
from app.plan.hits import ids_within
from app.plan.part_item import pen
from app.plan.pointer import Pointer
from app.plan.surface import Surface
from loopsim.build.edits import Edit

__all__ = ["Drag", "Gesture", "Pan", "Pointer", "RubberBand"]

_STILL_PX = 4.0  # a hand that moves less has clicked, not dragged


class Gesture:
    """One gesture. The view tells it of the pointer; `is_over` says that it needs to hear no more.

    A gesture is also the mark under which its edits become a single step back.
    """

    cursor = Qt.CursorShape.ArrowCursor
    follows_clicks = False  # True if it goes on after the button is up, from click to click
    seeks_ports = False  # True if keys lead its pointer from port to port
    seeks_all_ports = False  # True if that goes for ports with a run, too

    def __init__(self, plan: Surface) -> None:
        self.plan = plan
        self.is_over = self.is_refused = False

    def start(self, at: Pointer) -> None:
        """The button went down here, or the gesture was called for with the pointer here."""

    def move(self, at: Pointer) -> None:
        """The pointer is here now."""

    def press(self, at: Pointer) -> None:
        """Another click."""

    def release(self, at: Pointer) -> None:
        """The button came up."""
        self.finish(at)

    def finish(self, at: Pointer) -> None:  # noqa: ARG002
        """It is done."""
        self.is_over = True

    def cancel(self) -> None:
        """It never happened."""
        self.plan.document.take_back(self)
        self.is_over = True

    def key(self, key: Qt.Key) -> bool:  # noqa: ARG002
        """A key was pressed meanwhile; True if it meant something to the gesture."""
        return False

    def shifted_key(self, key: Qt.Key) -> bool:
        """The same with Shift held."""
        return self.key(key)

    def words(self) -> str:
        """What is written beside the pointer meanwhile."""
        return ""

    def paint(self, painter: QPainter) -> None:
        """Draw what is not in the build yet, in the scene."""

    def do(self, make: Callable[[], Edit]) -> bool:
        """Make an edit as part of this gesture; if it is not allowed, the view says why, and nothing changes."""
        self.is_refused = not self.plan.do(make, self)
        return not self.is_refused


class Drag(Gesture):
    """A gesture with the button held down; nothing happens until the pointer has clearly moved."""

    def __init__(self, plan: Surface) -> None:
        super().__init__(plan)
        self.origin: Pointer | None = None
        self.has_moved = False

    def start(self, at: Pointer) -> None:
        self.origin = at

    def move(self, at: Pointer) -> None:
        away = at.pixel - self.origin.pixel
        if self.has_moved or away.manhattanLength() >= _STILL_PX:
            self.has_moved = True
            self.drag(at)

    def drag(self, at: Pointer) -> None:
        """The pointer has moved here, far enough from the start to mean it."""

    def shift_mm(self, at: Pointer) -> tuple[float, float]:
        """From the start to here, in the plan."""
        return at.mm[0] - self.origin.mm[0], at.mm[1] - self.origin.mm[1]


class Pan(Drag):
    """Moves the sheet under the view."""

    cursor = Qt.CursorShape.ClosedHandCursor

    def start(self, at: Pointer) -> None:
        super().start(at)
        self._last = at.pixel

    def move(self, at: Pointer) -> None:
        self.plan.pan(at.pixel - self._last)
        self._last = at.pixel


class RubberBand(Drag):
    """Selects what a rectangle touches."""

    def start(self, at: Pointer) -> None:
        super().start(at)
        self._before = self.plan.document.selection if at.is_adding else frozenset()
        self._area = QRectF()

    def drag(self, at: Pointer) -> None:
        self._area = QRectF(self.origin.point, at.point).normalized()
        self.plan.document.select(self._before | with_groups(ids_within(self.plan.scene(), self._area), self.plan))

    def finish(self, at: Pointer) -> None:
        if not self.has_moved:
            self.plan.document.select(self._before)
        super().finish(at)

    def cancel(self) -> None:
        self.plan.document.select(self._before)
        super().cancel()

    def paint(self, painter: QPainter) -> None:
        tint = QColor(self.plan.theme.liquid)
        tint.setAlphaF(0.12)
        painter.setPen(pen(self.plan.theme.liquid, 1.0))
        painter.setBrush(tint)
        painter.drawRect(self._area)
