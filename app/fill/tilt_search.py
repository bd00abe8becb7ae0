"""The search for the tilts that let out most air: in the background, with its progress, and stopped at will."""

from collections.abc import Callable
from threading import Event
from typing import Any, NamedTuple

from PySide6.QtCore import QObject, QRunnable, QThread, QThreadPool, Signal

from loopsim.build import Build
from loopsim.network import Tilt
from loopsim.studies.fill import TiltPlan, tilt_plan

__all__ = ["TiltQuestion", "TiltSearch", "tilts"]

STEP_DEG = 2.5  # finer than a hand can hold a machine


class TiltQuestion(NamedTuple):
    """What is tilted, and how far it can be held to each side and to front and back."""

    build: Build
    layout: str
    most: Tilt


class _StoppedError(Exception):
    """The search is not wanted any more."""


def tilts(question: TiltQuestion, progress: Callable[[float], None]) -> TiltPlan:
    """The study that answers."""
    return tilt_plan(question.build, question.layout, question.most, step_deg=STEP_DEG, progress=progress)


class TiltSearch(QObject):
    """One search at a time, in a thread below the others in rank.

    Signals
    -------
    progressed(float)
        Share done, 0 to 1.
    found(TiltPlan)
    ended(Exception or None)
        After `found`, after an error, or after `stop`.
    """

    progressed = Signal(float)
    found = Signal(object)
    ended = Signal(object)
    _told = Signal(object, float)
    _done = Signal(object, object)

    def __init__(self, study: Callable[[Any, Callable[[float], None]], TiltPlan] = tilts, parent: Any = None) -> None:
        super().__init__(parent)
        self._study = study
        self._pool = QThreadPool(self, maxThreadCount=1)
        self._pool.setThreadPriority(QThread.Priority.LowPriority)
        self._under_way: Event | None = None
        self._told.connect(self._on_told)
        self._done.connect(self._on_done)

    @property
    def is_working(self) -> bool:
        """True until it has ended."""
        return self._under_way is not None

    def start(self, question: TiltQuestion) -> None:
        """Begin; a search under way is stopped."""
        self._let_go()
        self._under_way = Event()
        self._pool.start(_Job(self._study, question, self._under_way, self._told.emit, self._done.emit))

    def stop(self) -> None:
        """Let go of the search under way."""
        if self._let_go():
            self.ended.emit(None)

    def close(self) -> None:
        """Let go, and wait until the worker has noticed."""
        self._let_go()
        self._pool.waitForDone()

    def _let_go(self) -> bool:
        was, self._under_way = self._under_way, None
        if was is not None:
            was.set()
        return was is not None

    def _on_told(self, search: Event, share: float) -> None:
        if search is self._under_way:
            self.progressed.emit(share)

    def _on_done(self, search: Event, result: object) -> None:
        if search is not self._under_way:
            return
        self._under_way = None
        if isinstance(result, TiltPlan):
            self.found.emit(result)
        self.ended.emit(result if isinstance(result, Exception) else None)


class _Job(QRunnable):
    """One search under way. Qt deletes it; one that is not left to Qt is never let go of by Python."""

    def __init__(
        self,
        study: Callable[[Any, Callable[[float], None]], TiltPlan],
        question: TiltQuestion,
        stopped: Event,
        tell: Callable[[Event, float], None],
        end: Callable[[Event, object], None],
    ) -> None:
        super().__init__()
        self._study, self._question, self._stopped, self._tell, self._end = study, question, stopped, tell, end

    def run(self) -> None:
        try:
            result: object = self._study(self._question, self._on_progress)
        except _StoppedError:
            return
        except Exception as error:  # every failure must reach the window
            result = error
        self._end(self._stopped, result)

    def _on_progress(self, share: float) -> None:
        if self._stopped.is_set():
            raise _StoppedError
        self._tell(self._stopped, share)
