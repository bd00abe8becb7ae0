"""What others do to the file of the open build: write it, remove it, or have it open in another window."""

from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QFileSystemWatcher, QObject, Signal

from app.document import Document

if TYPE_CHECKING:
    from filelock import FileLock

__all__ = ["FileWatch"]


class FileWatch(QObject):
    """Follows the file of a document.

    Signals
    -------
    changed(Path)
        Somebody else has written the file since it was opened or saved here; said once for each time.
    gone(Path)
        Somebody has removed it.
    shared(Path)
        Another window has the same file open.
    """

    changed = Signal(object)
    gone = Signal(object)
    shared = Signal(object)

    def __init__(self, document: Document, marks: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.document, self._marks = document, marks
        self.path: Path | None = None
        self._ours = self._told = b""  # digests: of what was read or saved here, and of what has been spoken of
        self._mark: FileLock | None = None
        self._watcher = QFileSystemWatcher(self)
        self._watcher.fileChanged.connect(self._on_disk_changed)
        self._watcher.directoryChanged.connect(self._on_disk_changed)
        document.path_changed.connect(self._on_path_changed)
        self._on_path_changed()

    def differs(self) -> bool:
        """True if the file holds something else than what was read or saved here; a file that is gone does not."""
        found = _digest(self.path)
        return bool(found) and found != self._ours

    @property
    def is_alone(self) -> bool:
        """True if no other window has the file open, as far as can be known."""
        return self.path is None or self._mark is not None

    def close(self) -> None:
        """Let go of the file."""
        self._watch(None)
        self._release()

    def _on_path_changed(self) -> None:
        """It has just been opened or saved: what is on disk is ours."""
        path = self.document.path
        has_moved = path != self.path
        self.path = path
        self._ours = self._told = _digest(path)
        self._watch(path)
        if has_moved:
            self._release()
        if path is not None and self._mark is None and not self._take_mark(path):
            self.shared.emit(path)

    def _on_disk_changed(self, _: str) -> None:
        """The folder is watched as well: a file that is replaced whole is another file."""
        if self.path is None:
            return
        found = _digest(self.path)
        self._watch(self.path)
        if found == self._told:
            return
        self._told = found
        if found != self._ours:
            (self.changed if found else self.gone).emit(self.path)

    def _watch(self, path: Path | None) -> None:
        wanted = [] if path is None else [str(each) for each in (path, path.parent) if each.exists()]
        watched = [*self._watcher.files(), *self._watcher.directories()]
        if stale := [each for each in watched if each not in wanted]:
            self._watcher.removePaths(stale)
        if fresh := [each for each in wanted if each not in watched]:
            self._watcher.addPaths(fresh)

    def _take_mark(self, path: Path) -> bool:
        """Mark the file as open here; False if another window has done so."""
        from filelock import FileLock, Timeout

        name = sha256(str(path.resolve()).encode()).hexdigest()[:24]
        try:
            self._marks.mkdir(parents=True, exist_ok=True)
            mark = FileLock(self._marks / f"{name}.open", thread_local=False)
            mark.acquire(timeout=0)
        except Timeout:
            return False
        except OSError:
            return True  # where nothing can be marked, nothing can be known
        self._mark = mark
        return True

    def _release(self) -> None:
        if self._mark is not None:
            self._mark.release()
            self._mark = None


def _digest(path: Path | None) -> bytes:
    """Of the file's content; empty where there is none."""
    try:
        return sha256(path.read_bytes()).digest() if path is not None else b""
    except OSError:
        return b""
