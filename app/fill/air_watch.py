"""The air map of the layout in view: worked out whenever the hand rests, in the middle of a drag too."""

from collections.abc import Callable
from typing import Any, NamedTuple

from PySide6.QtCore import QObject, QThreadPool, QTimer, Signal

from app.answer import Answer
from app.asker import Asker
from app.solving import REST_MS
from loopsim.errors import LoopsimError
from loopsim.studies import OperatingPoint, operating_point
from loopsim.studies.fill import AirMap, air_map

__all__ = ["AirQuestion", "AirWatch", "air_of"]


class AirQuestion(NamedTuple):
    """The loop as it runs, and the pumps that are to stand."""

    point: OperatingPoint
    stopped: frozenset[str] = frozenset()


def air_of(question: AirQuestion) -> AirMap:
    """The study that answers."""
    point, stopped = question
    if stopped:
        point = operating_point(point.build, point.layout.name, stopped=sorted(stopped))
    return air_map(point)


class AirWatch(QObject):
    """Follows answers; what it found before stays until the next comes, as old.

    Signals
    -------
    changed()
        A map came, grew old, or is gone.
    failed(Exception)
        It could not be worked out.
    """

    changed = Signal()
    failed = Signal(object)

    def __init__(self, study: Callable[[Any], AirMap] = air_of, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.found: AirMap | None = None
        self.stopped: frozenset[str] = frozenset()
        self.is_old = False
        self._point: OperatingPoint | None = None
        self._pool = QThreadPool(self)
        self._asker = Asker(study, self._pool, self, is_quick=False)
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._ask)
        self._asker.answered.connect(self._on_answered)

    def follow(self, answer: Answer) -> None:
        """Follow an answer: its map comes once the hand rests."""
        before, self._point = self._point, answer.point
        if answer.point is before:
            return
        was = self.found, self.is_old
        if answer.point is None or (before is not None and before.layout.name != answer.layout):
            self.found, self.stopped = None, frozenset()
        self.is_old = self.found is not None
        self._asker.drop()
        self._rest.start()
        if (self.found, self.is_old) != was:  # once in a drag, not with every answer
            self.changed.emit()

    def stop_pumps(self, stopped: frozenset[str]) -> None:
        """Show air with these pumps standing."""
        if stopped != self.stopped:
            self.stopped, self.is_old = stopped, self.found is not None
            self._ask()

    def close(self) -> None:
        """Ask nothing more, and wait for what is under way."""
        self._rest.stop()
        self._asker.close()
        self._pool.waitForDone()

    def _ask(self) -> None:
        if self._point is not None:
            self.stopped &= {pump.id for pump in self._point.pumps}
            self._asker.ask(AirQuestion(self._point, self.stopped))

    def _on_answered(self, question: AirQuestion, result: object) -> None:
        if question != (self._point, self.stopped):
            return
        is_found = isinstance(result, AirMap)
        self.found, self.is_old = (result if is_found else None), False
        if not is_found and not isinstance(result, LoopsimError):
            self.failed.emit(result)
        self.changed.emit()
