"""High points for the strip, whatever bench is in view: worked out at rest, and loaded once the window is there."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from app.answer import Answer
from app.fill.marks import Marks

if TYPE_CHECKING:  # filling is loaded late, so that a start stays near the cost of an empty window
    from app.fill.air_watch import AirWatch

__all__ = ["QuietMarks"]

_LOADED_AFTER_MS = 800  # from the first answer on: the first picture, curves and heat come before


class QuietMarks(QObject):
    """Follows answers.

    Signals
    -------
    changed(Marks or None)
        What there is to be shown.
    """

    changed = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.watch: AirWatch | None = None
        self._answer: Answer | None = None
        self._load = QTimer(self, singleShot=True, interval=_LOADED_AFTER_MS)
        self._load.timeout.connect(self._on_load)

    def follow(self, answer: Answer | None) -> None:
        """Follow an answer: its high points come once the hand rests."""
        self._answer = answer
        if answer is None:
            return
        if self.watch is not None:
            self.watch.follow(answer)
        elif not self._load.isActive():
            self._load.start()

    def close(self) -> None:
        """Work out nothing more."""
        self._load.stop()
        if self.watch is not None:
            self.watch.close()

    def _on_load(self) -> None:
        from app.fill.air_watch import AirWatch

        self.watch = AirWatch(parent=self)
        self.watch.changed.connect(self._on_changed)
        if self._answer is not None:
            self.watch.follow(self._answer)

    def _on_changed(self) -> None:
        assert self.watch is not None
        found = self.watch.found
        self.changed.emit(None if found is None else Marks(air=found, is_old=self.watch.is_old))
