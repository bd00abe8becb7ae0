"""What gestures and commands need of the plan that they work on; none of them knows the view that holds them."""

from collections.abc import Callable
from typing import Any, Protocol

from PySide6.QtCore import QEvent, QObject, QPointF, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from app.document import Document
from app.plan.pointer import Pointer
from app.plan.scene import PlanScene
from app.theme import Theme
from loopsim.build import Enclosure, Note
from loopsim.build.edits import Edit
from loopsim.studies import Finding

__all__ = ["Holds", "Surface", "Under"]


class Holds(Protocol):
    """The builder's hand."""

    gesture: Any
    hovered: Any

    @property
    def at(self) -> Pointer:
        """Where the pointer is."""

    def begin(self, gesture: Any, at: Pointer | None = None) -> None:
        """Start a gesture here."""


class Chosen(Protocol):
    """What is selected."""

    parts: list[str]
    run: str

    def movable(self) -> list[str]:
        """Ids of the selected parts that are not locked."""


class Under(Protocol):
    """What more lies under the parts."""

    def paint(self, painter: QPainter, scale: float) -> None:
        """Under the parts, in the scene."""

    def paint_above_walls(self, painter: QPainter, scale: float) -> None:
        """Above the walls, in the scene."""


class Surface(Protocol):
    """A plan that hands work on: a document seen at a scale, a hand, a selection, and a line for words."""

    document: Document
    theme: Theme
    enclosure: Enclosure
    hand: Holds
    commands: Chosen
    arrange: Chosen
    pointing: Any
    ground: Under | None
    gesture: Any
    message: Any  # signals
    hovered: Any
    in_hand: Any
    stopped_for_now: Any
    pixel_mm: float
    height_words: QRectF
    is_fitted: bool
    selected_corner: tuple[str, int] | None
    selected_note: str

    def do(self, make: Callable[[], Edit], gesture: object = None) -> bool:
        """Make an edit; if it is not allowed, say why and leave everything as it was."""

    def cancel(self) -> None:
        """End the gesture under way as if it had never begun."""

    def scene(self) -> PlanScene:
        """The items of the layout in view."""

    def viewport(self) -> QWidget:
        """What is painted on."""

    def setFocus(self) -> None:
        """Take the keyboard."""

    def underMouse(self) -> bool:
        """True while the pointer is over it."""

    def installEventFilter(self, watcher: QObject) -> None:
        """Let another see its events first."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """See another's events first."""

    def resetCachedContent(self) -> None:
        """Paint the ground anew."""

    def to_pixel(self, point: QPointF) -> QPointF:
        """A point of the scene in pixels of the view."""

    def to_point(self, pixel: QPointF) -> QPointF:
        """A pixel of the view in the scene."""

    def pointer_at(self, point: QPointF) -> Pointer:
        """The pointer as it would be at a point of the scene."""

    def pan(self, by: QPointF) -> None:
        """Move the sheet under the view."""

    def fit(self) -> None:
        """Show all of it."""

    def select_corner(self, corner: tuple[str, int] | None) -> None:
        """Select one corner of a run, or none."""

    def select_note(self, note_id: str) -> None:
        """Select one note, or none."""

    def note_at(self, pixel: QPointF) -> Note | None:
        """The note at a pixel of the view."""

    def mark_at(self, pixel: QPointF) -> Finding | None:
        """The finding whose mark is at a pixel of the view."""
