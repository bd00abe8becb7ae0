"""Unsaved edits, written to disk as they are made: what ends the program costs the last moments, not the work.

While a build has unsaved edits, its window keeps a copy of it in a folder of its own and holds a lock on that folder.
A lock dies with its process; so a folder that holds a build and that nobody locks was left by a window that could not
close, and the next start offers it.
"""

import json
import os
import shutil
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from tempfile import mkdtemp
from threading import Event, Lock
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QObject, QRunnable, QThreadPool, QTimer, Signal

from app.document import Document
from loopsim.atomic import write_atomically
from loopsim.build import FILE_ENDING, Build, load, save
from loopsim.errors import FileError

if TYPE_CHECKING:
    from filelock import FileLock

__all__ = ["WRITE_AFTER_S", "LeftOver", "Recovery", "left_over"]

WRITE_AFTER_S = 0.7  # after an edit, however many follow; with the write itself this stays well below two seconds
_BUILD, _ORIGIN, _LOCK = f"build{FILE_ENDING}", "origin.json", "lock"


class LeftOver(NamedTuple):
    """Unsaved edits of a window that could not close.

    Attributes
    ----------
    folder : Path
    path : Path or None
        File to which the build belongs; None if it had none yet.
    when : datetime
        Of the last write.
    """

    folder: Path
    path: Path | None
    when: datetime

    def build(self) -> Build:
        """The build as it was; FileError if it cannot be read."""
        return load(self.folder / _BUILD)

    def discard(self) -> None:
        """Remove it from disk."""
        shutil.rmtree(self.folder, ignore_errors=True)


def left_over(folder: Path) -> tuple[LeftOver, ...]:
    """What windows that could not close have left, the latest first."""
    found = [_left_in(each.parent) for each in folder.glob(f"*/{_BUILD}") if _is_free(each.parent)]
    return tuple(sorted((each for each in found if each), key=lambda each: each.when, reverse=True))


def _left_in(folder: Path) -> LeftOver | None:
    with suppress(OSError):
        when = datetime.fromtimestamp((folder / _BUILD).stat().st_mtime)
        return LeftOver(folder, _origin(folder), when)
    return None


def _origin(folder: Path) -> Path | None:
    """The file of the build; a note that cannot be read only costs its name."""
    with suppress(OSError, ValueError, TypeError, AttributeError):
        return Path(json.loads((folder / _ORIGIN).read_text(encoding="utf-8")).get("path"))
    return None


def _is_free(folder: Path) -> bool:
    """True if no running window holds the folder."""
    lock = _try_lock(folder / _LOCK)
    if lock is not None:
        lock.release()
    return lock is not None


def _try_lock(path: Path) -> "FileLock | None":
    """The lock, held, or None if someone else holds it."""
    from filelock import FileLock, Timeout

    lock = FileLock(path, thread_local=False)
    try:
        lock.acquire(timeout=0)
    except (Timeout, OSError):
        return None
    return lock


class Recovery(QObject):
    """Keeps the unsaved edits of one window. A worker waits and writes, so that a busy window puts nothing off.

    Signals
    -------
    refused(str)
        A sentence, once, if they cannot be written.
    """

    refused = Signal(str)
    _failed = Signal(str)

    def __init__(self, document: Document, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.document, self.folder = document, folder
        self.own: Path | None = None  # made with the first unsaved edit
        self._lock: FileLock | None = None
        self._is_refused = False
        self._writer = QThreadPool(self, maxThreadCount=1)  # one write after the other
        self._next = _Next()
        self._tidy = QTimer(self, singleShot=True, interval=int(1000 * WRITE_AFTER_S))
        self._tidy.timeout.connect(self._remove_if_saved)
        self._failed.connect(self._on_failed)
        for signal in (document.build_changed, document.clean_changed, document.path_changed):
            signal.connect(self._on_changed)

    def left_over(self) -> tuple[LeftOver, ...]:
        """What windows that could not close have left, the latest first."""
        return left_over(self.folder)

    def flush(self) -> None:
        """Bring what is kept in step with the document now, and wait until it is on disk."""
        self._on_changed()
        self._wait()
        self._remove_if_saved()

    def close(self) -> None:
        """The builder has decided about all edits; nothing is kept."""
        self._tidy.stop()
        self._remove()

    def _on_changed(self, *_: object) -> None:
        """Edits that follow do not put the write off: a long drag is kept too."""
        if self.document.history.isClean():
            self._tidy.start()
        elif (self.own or self._make_own()) and self._next.put(self.document.build, self.document.path):
            self._writer.start(_Write(self._next, self.own, self._failed))

    def _make_own(self) -> bool:
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            self.own = Path(mkdtemp(prefix=f"{os.getpid()}-", dir=self.folder))
        except OSError as error:
            self._on_failed(error.strerror or str(error))
            return False
        self._lock = _try_lock(self.own / _LOCK)
        return True

    def _wait(self) -> None:
        """Let the worker write at once, and wait for it."""
        self._next.hurry.set()
        self._writer.waitForDone()
        self._next.hurry.clear()

    def _remove_if_saved(self) -> None:
        if self.document.history.isClean():
            self._remove()

    def _remove(self) -> None:
        self._wait()
        if self.own is not None:
            if self._lock is not None:
                self._lock.release()
            shutil.rmtree(self.own, ignore_errors=True)
        self.own = self._lock = None

    def _on_failed(self, why: str) -> None:
        if not self._is_refused:
            self._is_refused = True
            self.refused.emit(f"Unsaved edits cannot be kept in {self.folder} ({why}); save often.")


class _Next:
    """The newest build that waits to be written, handed from the window to its worker."""

    def __init__(self) -> None:
        self.hurry = Event()
        self._guard = Lock()
        self._waits: tuple[Build, Path | None] | None = None

    def put(self, build: Build, path: Path | None) -> bool:
        """Let this one be written next; True if none waited before."""
        with self._guard:
            is_first, self._waits = self._waits is None, (build, path)
        return is_first

    def take(self) -> tuple[Build, Path | None]:
        """The newest, once its time has come."""
        self.hurry.wait(WRITE_AFTER_S)
        with self._guard:
            waits, self._waits = self._waits, None
        assert waits is not None  # each write is started by the first that waits
        return waits


class _Write(QRunnable):
    """One write, off the window's thread; a build never changes, so it needs no copy."""

    def __init__(self, waits: _Next, folder: Path, failed: Signal) -> None:
        super().__init__()
        self._next, self._folder, self._failed = waits, folder, failed

    def run(self) -> None:
        build, path = self._next.take()
        origin = json.dumps({"path": str(path.resolve()) if path else None}, ensure_ascii=False)
        try:
            write_atomically(self._folder / _ORIGIN, origin.encode())
            save(build, self._folder / _BUILD)
        except (OSError, FileError) as error:
            self._failed.emit(str(error))
