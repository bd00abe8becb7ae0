"""Opening and saving: what may replace the open build, and where it goes. No failure loses the open build."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal

import sample_loops
from app.dialogs import Dialogs, Foreign, Unsaved
from app.document import Document
from app.recent import Recent
from loopsim.build import FILE_ENDING, Build, from_text
from loopsim.errors import LoopsimError

__all__ = ["BuildFiles", "sample_build", "sample_title"]


def sample_build(name: str) -> Build:
    """A sample as a build of its own.

    Raises
    ------
    FileError
        If the sample is damaged.
    """
    return from_text(sample_loops.sample(name).read_text(encoding="utf-8"))


def sample_title(name: str) -> str:
    """How a sample is called in a menu."""
    return name.replace("-", " ").capitalize()


class BuildFiles(QObject):
    """The commands of the File menu.

    Signals
    -------
    refused(str)
        A sentence on what could not be opened or written.
    told(str)
        A sentence on what has been written.
    reported(list of Path)
        A report has been written to these files.
    done()
        Something has worked.
    begun()
        A new build is open, with nothing drawn in it yet.
    """

    refused = Signal(str)
    told = Signal(str)
    reported = Signal(object)
    done = Signal()
    begun = Signal()

    def __init__(self, document: Document, recent: Recent, dialogs: Dialogs, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.document, self.recent, self.dialogs = document, recent, dialogs
        self.has_foreign_edits: Callable[[], bool] = lambda: False  # of somebody else, in the file of the open build

    def new(self) -> bool:
        """Begin an empty build in a room that the builder describes."""
        return self._replace(self._begin_new)

    def open(self) -> bool:
        """Open a file that the builder chooses."""
        return self._replace(self._open_chosen)

    def open_path(self, path: Path) -> bool:
        """Open a given file."""
        return self._replace(lambda: self._open_file(path))

    def open_sample(self, name: str) -> bool:
        """Open a copy of a sample: it has no file until it is saved."""
        return self._replace(lambda: self.document.open(sample_build(name), None))

    def open_unsaved(self, read: Callable[[], Build], path: Path | None) -> bool:
        """Open a build whose edits are in no file of the builder's; `path` is where it belongs."""
        return self._replace(lambda: self.document.open(read(), path, is_saved=False))

    def save(self) -> bool:
        """Save to where the build came from; ask where, if it has no file yet. True if it is saved now."""
        path = self.document.path
        if path is None:
            return self.save_as()
        if not self.has_foreign_edits():
            return self._save_to(path)
        wanted = self.dialogs.foreign_edits(path)
        return self._save_to(path) if wanted is Foreign.OVERWRITE else wanted is Foreign.ELSEWHERE and self.save_as()

    def save_as(self) -> bool:
        """Save to a file that the builder chooses."""
        path = self.dialogs.save_path(self._suggested(FILE_ENDING))
        return path is not None and self._save_to(path)

    def export(self, ending: str = ".html") -> bool:
        """Write the report of the layout in view."""
        path = self.dialogs.export_path(self._suggested(f"-report{ending}"))
        return path is not None and self._tried(lambda: self._write_report(path))

    def print_plan(self) -> bool:
        """Write the plan of the layout in view at true size."""
        path = self.dialogs.print_path(self._suggested("-plan.pdf"))
        return path is not None and self._tried(lambda: self._print_to(path))

    def choose_drawing(self, lay: Callable[[Path], object]) -> None:
        """Let the builder choose a picture or drawing to lay under the plan."""
        path = self.dialogs.drawing_path(self._folder())
        if path is not None:
            lay(path)

    def may_leave(self) -> bool:
        """True if the open build may be given up: it is saved, or the builder does not want it saved."""
        if self.document.history.isClean():
            return True
        wanted = self.dialogs.unsaved(self.document.title)
        return wanted is Unsaved.DISCARD or (wanted is Unsaved.SAVE and self.save())

    def _replace(self, action: Callable[[], object]) -> bool:
        return self.may_leave() and self._tried(action)

    def _tried(self, action: Callable[[], object]) -> bool:
        try:
            return action() is not False and (self.done.emit() or True)
        except LoopsimError as error:
            self.refused.emit(str(error))
        except OSError as error:
            self.refused.emit(f"{error.filename or 'The file'}: {error.strerror}")
        return False

    def _begin_new(self) -> bool:
        build = self.dialogs.new_build()
        if build is not None:
            self.document.open(build, None)
            self.begun.emit()
        return build is not None

    def _open_chosen(self) -> bool:
        path = self.dialogs.open_path(self._folder())
        if path is None:
            return False
        self._open_file(path)
        return True

    def _open_file(self, path: Path) -> None:
        self.document.open_file(path)
        self.recent.add(path)

    def _save_to(self, path: Path) -> bool:
        def save() -> None:
            self.document.save(path)
            self.recent.add(path)

        return self._tried(save)

    def _write_report(self, path: Path) -> None:
        from loopsim.report import write_report

        self.reported.emit(write_report(self.document.build, path, self.document.layout.name))

    def _print_to(self, path: Path) -> None:
        from app.printing import print_plan

        count = print_plan(self.document.build, self.document.layout, path)
        self.told.emit(f"Plan at true size written: {path}, {count} page{'' if count == 1 else 's'}.")

    def _folder(self) -> Path:
        if self.document.path is not None:
            return self.document.path.parent
        return next((path.parent for path in self.recent.paths), Path.home())

    def _suggested(self, ending: str) -> Path:
        path = self.document.path
        stem = path.name.removesuffix(FILE_ENDING).removesuffix(".json") if path is not None else _slug(self.document)
        return self._folder() / f"{stem}{ending}"


def _slug(document: Document) -> str:
    words = "".join(sign if sign.isalnum() else " " for sign in document.title.lower()).split()
    return "-".join(words) or "build"
