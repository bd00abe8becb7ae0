"""Seeing pumps stopped for as long as a key is held."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from app.plan.handles import Hit
from app.plan.surface import Surface
from loopsim.parts import Pump

__all__ = ["StopForNow"]


class StopForNow:
    """Tells the plan which pumps are to be shown as stopped while the key is down."""

    def __init__(self, plan: Surface) -> None:
        self._plan = plan
        self._stopped: frozenset[str] = frozenset()

    def key_down(self, event: QKeyEvent, hovered: Hit | None) -> bool:
        """Stop the selected pumps, or the one under the pointer; False where the key is meant for something else."""
        if event.modifiers() != Qt.KeyboardModifier.NoModifier:
            return False
        if not event.isAutoRepeat():
            document, under = self._plan.document, hovered.id if hovered else ""
            parts = [document.build.parts_by_id.get(item) for item in (*document.selection, under)]
            self._stopped = frozenset(part.id for part in parts if isinstance(part, Pump))
            if self._stopped:
                self._plan.stopped_for_now.emit(self._stopped)
            else:
                self._plan.message.emit("Select a pump, or point at one, then hold S to see it stopped.")
        return True

    def let_go(self) -> None:
        """The key is up: all run again."""
        if self._stopped:
            self._stopped = frozenset()
            self._plan.stopped_for_now.emit(self._stopped)
