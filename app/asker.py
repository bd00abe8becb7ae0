"""Puts questions to a study: on the window's thread while it is quick, else in a worker."""

from collections.abc import Callable
from time import perf_counter
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

__all__ = ["QUICK_S", "Asker", "Study"]

QUICK_S = 0.008  # a study that took less runs on the window's thread

Study = Callable[[Any], Any]


class Asker(QObject):
    """Puts questions to one study: at once while it is quick, else one at a time in a worker.

    Of several questions that pile up only the newest is asked. `is_quick` says what is expected of the first.
    """

    answered = Signal(object, object)  # the question; the result, or the exception raised
    _worked_out = Signal(object, object, float)

    def __init__(self, study: Study, pool: QThreadPool, parent: QObject, is_quick: bool = True) -> None:
        super().__init__(parent)
        self._study, self._pool = study, pool
        self._job: _Job | None = None
        self._waiting: Any = None
        self._seconds = 0.0 if is_quick else QUICK_S  # of the last time; a quick one opens the window solved
        self._closed = False
        self._worked_out.connect(self._on_worked_out)

    def ask(self, question: Any) -> None:
        """Answer now, or later; a question that still waits is forgotten."""
        self._waiting = question
        if self._job is None:
            self._next()

    def close(self) -> None:
        """Forget what waits, and do not announce what is under way."""
        self._closed, self._waiting = True, None

    def _next(self) -> None:
        question, self._waiting = self._waiting, None
        if question is None:
            return
        if self._seconds < QUICK_S:
            self._finish(question, *_timed(self._study, question))
        else:
            self._job = _Job(self._study, question, self._worked_out.emit)
            self._pool.start(self._job)

    def _on_worked_out(self, question: Any, result: object, seconds: float) -> None:
        self._job = None
        self._finish(question, result, seconds)
        self._next()

    def _finish(self, question: Any, result: object, seconds: float) -> None:
        self._seconds = seconds
        if not self._closed:
            self.answered.emit(question, result)


class _Job(QRunnable):
    """One question under way in a worker. Qt deletes it; one that is not left to Qt is never let go of by Python."""

    def __init__(self, study: Study, question: Any, tell: Callable[[Any, object, float], None]) -> None:
        super().__init__()
        self._study, self._question, self._tell = study, question, tell

    def run(self) -> None:
        self._tell(self._question, *_timed(self._study, self._question))


def _timed(study: Study, question: Any) -> tuple[object, float]:
    """The result, or the exception raised, and the seconds it took."""
    start = perf_counter()
    try:
        result: object = study(question)
    except Exception as error:  # every failure must reach the window
        result = error
    return result, perf_counter() - start
