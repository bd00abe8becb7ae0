"""Puts questions to a study: on the window's thread while it is quick, else in a worker."""

from collections import deque
from collections.abc import Callable
from threading import Event
from time import thread_time
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from loopsim.cancelling import Cancelled, cancellable

__all__ = ["QUICK_S", "Asker", "Study"]

QUICK_S = 0.05  # a study that takes less runs on the window's thread: to draw everything twice would take longer
_RECENT = 2  # times by which that is judged: the lesser of them, since other work only ever adds

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
        self._is_quick = is_quick
        self._seconds: deque[float] = deque(maxlen=_RECENT)
        self._closed = False
        self._worked_out.connect(self._on_worked_out)

    def ask(self, question: Any) -> None:
        """Answer now, or later; a question that still waits is forgotten."""
        self._waiting = question
        if self._job is None:
            self._next()

    def drop(self) -> None:
        """Forget what waits, and give up what is under way: nobody waits for it any more."""
        self._waiting = None
        if self._job is not None:
            self._job.dropped.set()

    def close(self) -> None:
        """Drop everything, and announce nothing more."""
        self._closed = True
        self.drop()

    def _next(self) -> None:
        question, self._waiting = self._waiting, None
        if question is None or self._closed:
            return
        if self._is_quick:  # at first too: so the window opens solved
            self._finish(question, *_timed(self._study, question))
        else:
            self._job = _Job(self._study, question, self._worked_out.emit)
            self._pool.start(self._job)

    def _on_worked_out(self, question: Any, result: object, seconds: float) -> None:
        self._job = None
        if not isinstance(result, Cancelled):
            self._finish(question, result, seconds)
        self._next()

    def _finish(self, question: Any, result: object, seconds: float) -> None:
        self._seconds.append(seconds)
        self._is_quick = min(self._seconds) < QUICK_S
        if not self._closed:
            self.answered.emit(question, result)


class _Job(QRunnable):
    """One question under way in a worker. Qt deletes it; one that is not left to Qt is never let go of by Python."""

    def __init__(self, study: Study, question: Any, tell: Callable[[Any, object, float], None]) -> None:
        super().__init__()
        self._study, self._question, self._tell = study, question, tell
        self.dropped = Event()

    def run(self) -> None:
        with cancellable(self.dropped.is_set):
            self._tell(self._question, *_timed(self._study, self._question))


def _timed(study: Study, question: Any) -> tuple[object, float]:
    """The result, or the exception raised, and the seconds of the processor: other programs do not make it slow."""
    start = thread_time()
    try:
        result: object = study(question)
    except Exception as error:  # every failure must reach the window
        result = error
    return result, thread_time() - start
