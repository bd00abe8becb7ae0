"""The shelf as a window sees it: what is on it now, and the two things a builder does to it."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QFileSystemWatcher, QObject, Signal

from loopsim.build.shelf import Kept, Shelf, change_shelf, read_shelf
from loopsim.errors import LoopsimError

__all__ = ["OpenShelf"]


class OpenShelf(QObject):
    """Follows the file: what another window or the command line keeps appears here too.

    Signals
    -------
    changed(Shelf)
    told(str), refused(str)
        A sentence on what was done, or could not be.
    """

    changed = Signal(object)
    told = Signal(str)
    refused = Signal(str)

    def __init__(self, path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.path = path
        self.shelf = Shelf()
        self.taken_off: Kept | None = None  # the last, which can be put back
        self._watcher = QFileSystemWatcher(self)
        self._watcher.directoryChanged.connect(self._on_folder_changed)

    def read(self) -> None:
        """Look at the file; if it cannot be read, say so and go on with an empty shelf."""
        self._watch()
        try:
            self._show(read_shelf(self.path))
        except LoopsimError as error:
            self.refused.emit(f"{error}. Your shelf is not shown; the file stays as it is.")

    def keep(self, item: Kept) -> None:
        """Put a copy of a part or tube on the shelf."""
        before = self.shelf
        if self._change(lambda shelf: shelf.with_item(item)):
            fresh = [name for name in self.shelf.names if name not in before.names]
            called = fresh[-1] if fresh else item.name
            self.told.emit(f"{called} is on your shelf, for every build; place copies of it from the drawer.")

    def take_off(self, name: str) -> None:
        """Remove an item; builds keep their copies, and it can be put back."""
        before = self.taken_off
        self.taken_off = next((item for item in self.shelf.items if item.name == name), None)
        if self._change(lambda shelf: shelf.without(name)):
            self.told.emit(f"{name} is off your shelf; builds that hold a copy keep it.")
        else:
            self.taken_off = before

    def put_back(self) -> None:
        """Undo the last removal."""
        if self.taken_off is not None:
            item, self.taken_off = self.taken_off, None
            self.keep(item)

    def _change(self, change: Callable[[Shelf], Shelf]) -> bool:
        try:
            after = change_shelf(self.path, change)
        except LoopsimError as error:
            self.refused.emit(str(error))
            return False
        self._watch()
        self.shelf = after
        self.changed.emit(after)
        return True

    def _show(self, shelf: Shelf) -> None:
        if shelf != self.shelf:
            self.shelf = shelf
            self.changed.emit(shelf)

    def _watch(self) -> None:
        """The folder, not the file: a file that is replaced whole is another file."""
        if not self._watcher.directories() and self.path.parent.is_dir():
            self._watcher.addPath(str(self.path.parent))

    def _on_folder_changed(self, _: str) -> None:
        self.read()
