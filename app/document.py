"""The open build. Everything shown observes it; only edits change it."""

from collections.abc import Callable, Iterable
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from loopsim.build import Build, Layout, load, save
from loopsim.build.edits import Edit
from loopsim.errors import LoopsimError

__all__ = ["Document"]


class Document(QObject):
    """One open build, its undo history, the layout in view, the selection.

    Signals
    -------
    build_changed(Build)
        After every edit, undo, redo, and after opening.
    layout_changed(str)
        Another layout of the same build is in view.
    selection_changed(frozenset of str)
        Ids of the selected parts and tube runs.
    path_changed(), clean_changed(bool)
        The file's place; whether all edits are saved.
    """

    build_changed = Signal(object)
    layout_changed = Signal(str)
    selection_changed = Signal(object)
    path_changed = Signal()
    clean_changed = Signal(bool)

    def __init__(self, build: Build, path: Path | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.build, self.path = build, path
        self.selection: frozenset[str] = frozenset()
        self.history = QUndoStack(self)
        self.history.cleanChanged.connect(self.clean_changed)
        self._layout_name = build.layouts[0].name

    @property
    def layout(self) -> Layout:
        """The layout in view."""
        return self.build.layouts_by_name.get(self._layout_name, self.build.layouts[0])

    @property
    def title(self) -> str:
        """Name of the build."""
        return self.build.name

    def do(self, edit: Edit, gesture: object = None) -> None:
        """Make an edit; edits of one gesture (the same object, not None) are a single step back."""
        if edit.build is not self.build:
            self.history.push(_Step(self, edit, gesture))

    def attempt(self, make: Callable[[], Edit], refuse: Callable[[str], object], gesture: object = None) -> bool:
        """Make an edit; where it is not allowed, tell `refuse` why and leave everything as it was."""
        try:
            self.do(make(), gesture)
        except LoopsimError as error:
            refuse(str(error))
            return False
        return True

    def take_back(self, gesture: object) -> None:
        """Undo the step that a cancelled gesture has made, if it has made one, and leave nothing of it to redo."""
        index = self.history.index()
        step = self.history.command(index - 1) if index else None
        if isinstance(step, _Step) and step.gesture is gesture:
            step.undo()
            step.setObsolete(True)  # the stack drops it then, instead of keeping it to be redone
            self.history.undo()

    def view_layout(self, name: str) -> None:
        """Bring another layout of the build into view."""
        if name != self.layout.name:
            self._layout_name = name
            self.select(())
            self.layout_changed.emit(name)

    def select(self, ids: Iterable[str]) -> None:
        """Select parts and tube runs by id."""
        chosen = frozenset(ids)
        if chosen != self.selection:
            self.selection = chosen
            self.selection_changed.emit(chosen)

    def open(self, build: Build, path: Path | None, is_saved: bool = True) -> None:
        """Replace the open build; the history starts anew. What is not saved yet counts as edited."""
        self.history.clear()
        self.build, self.path, self._layout_name = build, path, build.layouts[0].name
        self.selection = frozenset()
        if not is_saved:
            self.history.resetClean()
        self.path_changed.emit()
        self.selection_changed.emit(self.selection)
        self.layout_changed.emit(self._layout_name)
        self.build_changed.emit(build)

    def detach(self) -> None:
        """Go on as a copy that has no file yet; the history stays."""
        self.path = None
        self.history.resetClean()
        self.path_changed.emit()

    def open_file(self, path: Path) -> None:
        """Open a file; if it cannot be read, FileError is raised and the open build stays."""
        self.open(load(path), path)

    def save(self, path: Path | None = None) -> None:
        """Save to `path`, or to where the build came from; FileError leaves everything as it was."""
        target = path or self.path
        if target is None:
            raise ValueError("a build that has no file yet needs a path")
        save(self.build, target)
        self.path = target
        self.history.setClean()
        self.path_changed.emit()

    def _show(self, build: Build) -> None:
        name = self._name_in(build)
        has_other_name, self.build, self._layout_name = name != self._layout_name, build, name
        layout = self.layout
        self.select(each for each in self.selection if each in layout.placements or each in layout.runs_by_id)
        if has_other_name:
            self.layout_changed.emit(name)
        self.build_changed.emit(build)

    def _name_in(self, build: Build) -> str:
        """The layout in view in another build; where none has its name, the one that stands in its place."""
        if self._layout_name in build.layouts_by_name:
            return self._layout_name
        number = list(self.build.layouts_by_name).index(self.layout.name)
        return build.layouts[min(number, len(build.layouts) - 1)].name


class _Step(QUndoCommand):
    """One edit in the history: the build before and the build after."""

    def __init__(self, document: Document, edit: Edit, gesture: object) -> None:
        super().__init__(edit.text)
        self.document, self.gesture = document, gesture
        self.before, self.after = document.build, edit.build
        self.layout_name = document.layout.name

    def redo(self) -> None:
        self._show(self.after)

    def undo(self) -> None:
        self._show(self.before)

    def _show(self, build: Build) -> None:
        """Show the build, in the layout in which the edit was made: nothing may change out of sight."""
        self.document._show(build)
        if self.layout_name in build.layouts_by_name:
            self.document.view_layout(self.layout_name)

    def id(self) -> int:
        return 1  # steps of one id may merge

    def mergeWith(self, later: QUndoCommand) -> bool:
        if not isinstance(later, _Step) or self.gesture is None or later.gesture is not self.gesture:
            return False
        self.after = later.after
        return True
