"""Works through something long in a worker, item by item, so that it can be shown as it comes, and stopped."""

from collections.abc import Callable, Iterator
from threading import Event
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThread, QThreadPool, Signal

from loopsim.cancelling import Cancelled, cancellable

__all__ = ["Stepwise", "Study"]

Study = Callable[[Any], Iterator[Any]]
Tell = Callable[[object, Any], None]


class Stepwise(QObject):
    """One question at a time, in a thread of its own below the others in rank.

    A new question stops the one under way at its next step; what that one still tells is not passed on.

    Signals
    -------
    came(question, item)
        The next item.
    ended(question, Exception or None)
        No item follows; not after `stop`.
    """

    came = Signal(object, object)
    ended = Signal(object, object)
    _told = Signal(object, object)
    _done = Signal(object, object)

    def __init__(self, study: Study, parent: QObject) -> None:
        super().__init__(parent)
        self._study = study
        self._pool = QThreadPool(self, maxThreadCount=1)
        self._pool.setThreadPriority(QThread.Priority.LowPriority)
        self._under_way: _Ticket | None = None
        self._told.connect(self._on_told)
        self._done.connect(self._on_done)

    @property
    def is_working(self) -> bool:
        """True while items may still come."""
        return self._under_way is not None

    def start(self, question: Any) -> None:
        """Begin with a question."""
        self.stop()
        self._under_way = _Ticket(question)
        self._pool.start(_Job(self._study, self._under_way, self._told.emit, self._done.emit))

    def stop(self) -> None:
        """Let go of the question under way."""
        if self._under_way is not None:
            self._under_way.stopped.set()
            self._under_way = None

    def close(self) -> None:
        """Let go, and wait until the worker has noticed."""
        self.stop()
        self._pool.waitForDone()

    def _on_told(self, ticket: "_Ticket", item: object) -> None:
        if ticket is self._under_way:
            self.came.emit(ticket.question, item)

    def _on_done(self, ticket: "_Ticket", error: object) -> None:
        if ticket is self._under_way:
            self._under_way = None
            self.ended.emit(ticket.question, error)


class _Ticket:
    """A question, and whether it is still wanted."""

    def __init__(self, question: Any) -> None:
        self.question, self.stopped = question, Event()


class _Job(QRunnable):
    """One question under way. Qt deletes it; one that is not left to Qt is never let go of by Python."""

    def __init__(self, study: Study, ticket: _Ticket, tell: Tell, end: Tell) -> None:
        super().__init__()
        self._study, self._ticket, self._tell, self._end = study, ticket, tell, end

    def run(self) -> None:
        error: Exception | None = None
        try:
            with cancellable(self._ticket.stopped.is_set):
                for item in self._study(self._ticket.question):
                    if self._ticket.stopped.is_set():
                        return
                    self._tell(self._ticket, item)
        except Cancelled:
            return
        except Exception as raised:  # every failure must reach the window
            error = raised
        self._end(self._ticket, error)
