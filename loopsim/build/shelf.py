"""The shelf: a builder's own parts and tubes, kept across builds in one file of the user's.

Several windows and the command line may change the file at any time. So nobody writes a shelf that was read a while
ago: `change_shelf` reads the file anew, under a lock, and makes one change to what it finds there.
"""

from collections.abc import Callable
from itertools import count
from pathlib import Path
from typing import Literal, TypeAlias

from pydantic import ValidationError, model_validator

from loopsim.atomic import write_atomically
from loopsim.build.document import AnyPart
from loopsim.build.explain import explain
from loopsim.build.json_text import parsed, written
from loopsim.errors import FileError, LoopsimError, did_you_mean
from loopsim.fields import Record
from loopsim.parts import Part, Tube

__all__ = ["Kept", "Shelf", "change_shelf", "read_shelf", "shelf_path"]

SHELF_VERSION = 1
_LOCK_S = 5.0  # longest wait for another program that is writing the shelf

Kept: TypeAlias = Part | Tube


class Shelf(Record):
    """Parts and tubes by name. Immutable: a change makes a new one."""

    shelf_version: Literal[1] = 1
    parts: tuple[AnyPart, ...] = ()
    tubes: tuple[Tube, ...] = ()

    @property
    def items(self) -> tuple[Kept, ...]:
        """Everything on it, parts first."""
        return (*self.parts, *self.tubes)

    @property
    def names(self) -> tuple[str, ...]:
        """What its items are called; each has a name of its own."""
        return tuple(item.name for item in self.items)

    def item(self, name: str) -> Kept:
        """The item of a name; FileError that offers the nearest name if there is none."""
        for item in self.items:
            if item.name == name:
                return item
        near = did_you_mean(name, self.names)
        there = "" if near else f"; there are: {', '.join(self.names)}" if self.names else "; it is empty"
        raise FileError(f"the shelf holds no {name!r}{near or there}")

    def holds(self, item: Kept) -> bool:
        """True if an item with the same data and name is on it, whatever its id."""
        return any(type(kept) is type(item) and kept.model_copy(update={"id": item.id}) == item for kept in self.items)

    def with_item(self, item: Kept) -> "Shelf":
        """With one more item; it gets a number behind its name where the name is taken by other data."""
        item = _untied(item)
        if self.holds(item):
            return self
        fresh = item.model_copy(update={"name": self.free_name(item.name)})
        if isinstance(fresh, Tube):
            return self.with_values(tubes=(*self.tubes, fresh))
        return self.with_values(parts=(*self.parts, fresh))

    def without(self, name: str) -> "Shelf":
        """Without the item of a name; FileError if there is none."""
        gone = self.item(name)
        return self.with_values(
            parts=tuple(part for part in self.parts if part is not gone),
            tubes=tuple(tube for tube in self.tubes if tube is not gone),
        )

    def free_name(self, wanted: str) -> str:
        """`wanted`, or with the first free number behind it: ``Pump``, ``Pump 2``."""
        if wanted not in self.names:
            return wanted
        return next(name for name in (f"{wanted} {number}" for number in count(2)) if name not in self.names)

    @model_validator(mode="after")
    def _names_differ(self) -> "Shelf":
        twice = next((name for name in self.names if self.names.count(name) > 1), None)
        if twice is not None:
            raise FileError(f"two things on the shelf are called {twice!r}; each needs a name of its own")
        return self


def _untied(item: Kept) -> Kept:
    """Without what means something in its own build only: which of that build's coolants fills it."""
    return item.model_copy(update={"coolant": None}) if "coolant" in type(item).model_fields else item


def shelf_path() -> Path:
    """Where this user's shelf is kept, in the folder that the system gives to programs' data."""
    import platformdirs

    return Path(platformdirs.user_data_dir("loopsim", appauthor=False)) / "shelf.json"


def read_shelf(path: Path) -> Shelf:
    """Read a shelf; where there is no file yet, an empty one.

    Raises
    ------
    FileError
        If the file cannot be read, was written by a newer version, or is no shelf. The message begins with its name.
    """
    try:
        return _from_text(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Shelf()
    except OSError as error:
        raise FileError(f"{path.name}: cannot be read ({error.strerror})") from error
    except UnicodeDecodeError as error:
        raise _NoShelfError(f"{path.name}: is not a text file in UTF-8") from error
    except LoopsimError as error:
        raise type(error)(f"{path.name}: {error}", part=error.part, field=error.field) from error


def change_shelf(path: Path, change: Callable[[Shelf], Shelf]) -> Shelf:
    """Make one change to the shelf as it is on disk now, and write it, whole or not at all.

    A file that is no shelf is not lost: it is moved aside first, to a free name beside it, and a new shelf begun.

    Parameters
    ----------
    path : Path
    change : callable, Shelf -> Shelf
        Such as ``lambda shelf: shelf.with_item(pump)``. Nothing is written where it returns what it was given.

    Returns
    -------
    Shelf
        As it is on disk now.

    Raises
    ------
    FileError
        If the file cannot be read or written or was written by a newer version, if another program holds it for more
        than 5 s, or what `change` raises; nothing is changed on disk then.
    """
    from filelock import FileLock, Timeout

    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with FileLock(path.with_suffix(".lock"), timeout=_LOCK_S):
            return _changed(path, change)
    except Timeout as error:
        raise FileError(f"{path.name}: another program is writing it; try again") from error
    except OSError as error:
        raise FileError(f"{path.name}: cannot be written ({error.strerror}); nothing was changed on disk") from error


def _changed(path: Path, change: Callable[[Shelf], Shelf]) -> Shelf:
    damaged = False
    try:
        before = read_shelf(path)
    except _NoShelfError:
        before, damaged = Shelf(), True
    after = change(before)
    if after is not before:
        if damaged:
            path.rename(_aside(path))
        write_atomically(path, (written(after.model_dump(mode="json", exclude_none=True)) + "\n").encode())
    return after


class _NoShelfError(FileError):
    """A file that holds something else, or half of a shelf; what it holds is not lost by moving it aside."""


def _aside(path: Path) -> Path:
    """A free name for a file that cannot be read."""
    names = (path.with_name(f"{path.stem}-unreadable-{number}{path.suffix}") for number in count(1))
    return next(name for name in names if not name.exists())


def _from_text(text: str) -> Shelf:
    try:
        data = parsed(text, "a shelf")
    except FileError as error:
        raise _NoShelfError(str(error), field=error.field) from error
    version = data.get("shelf_version")
    if isinstance(version, int) and version > SHELF_VERSION:
        raise FileError(
            f"was written by a newer Loopsim (shelf_version {version}, this one reads up to {SHELF_VERSION}); "
            "install the newer version to use it",
            field="shelf_version",
        )
    try:
        return Shelf.model_validate(data)
    except ValidationError as error:
        why = explain(error, data, Shelf)
        raise _NoShelfError(why.text, part=why.part, field=why.field) from error
    except FileError as error:
        raise _NoShelfError(str(error)) from error
