"""What commands share that work long: who does it, a table that grows on disk, how far it is."""

import csv
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any, Protocol

import typer
from rich.console import Console
from rich.progress import Progress

from loopsim.errors import FileError
from loopsim.units import from_si, unit_of

__all__ = ["Advance", "Cluster", "Jobs", "TableFile", "progress", "unfinished"]

Jobs = Annotated[
    int | None,
    typer.Option(
        help="processes that work at once; one on each core if not given, where there is much to do; "
        "the answer is the same",
        show_default=False,
    ),
]
Cluster = Annotated[
    str,
    typer.Option(help="address of a Dask cluster that does the work, as tcp://HOST:8786", show_default=False),
]

_DIGITS = 6  # behind the point


class Advance(Protocol):
    """Says that some more is done."""

    def __call__(self, more: int) -> None: ...


def unfinished(output: Path | None) -> Path | None:
    """The folder beside a table in which its finished chunks wait until all are there; says so where some are."""
    if output is None:
        return None
    folder = output.with_name(f"{output.name}.unfinished")
    if folder.is_dir() and any(folder.glob("*.npz")):
        print(f"loopsim: taking up what {folder.name} holds", file=sys.stderr)
    return folder


@contextmanager
def progress(what: str, whole: int) -> Iterator[Advance]:
    """A bar on standard error while somebody looks on."""
    shown = Progress(console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty())
    with shown:
        task = shown.add_task(what, total=whole)
        yield lambda more: shown.update(task, advance=more)


class TableFile:
    """A table of figures on disk, ending .csv, written row by row, so that memory holds few of them.

    What stood there before goes only when the first figures are there: a run that is refused leaves no trace.

    Raises
    ------
    FileError
        If it cannot be written.
    """

    def __init__(self, path: Path) -> None:
        self.path, self._is_new = path, not path.exists()
        self._keys: list[str] = []
        with self._said():
            self._file = path.open("a", newline="", encoding="utf-8")

    def __enter__(self) -> "TableFile":
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()
        if self._is_new and not self._keys:
            self.path.unlink()

    def begin(self, keys: Sequence[str]) -> None:
        """Name the columns, and begin the file anew."""
        self._keys = list(keys)
        with self._said():
            self._file.truncate(0)
        self.add_rows([keys])

    def add(self, columns: Mapping[str, Any]) -> None:
        """Rows from columns by key in SI, each of shape (n,); in the units that the keys end in."""
        if not self._keys:
            self.begin(list(columns))
        shown = [_shown(key, columns[key]) for key in self._keys]
        self.add_rows(list(zip(*shown, strict=True)))

    def add_rows(self, rows: Sequence[Sequence[Any]]) -> None:
        """Rows as they are to be read, after `begin`."""
        with self._said():
            csv.writer(self._file).writerows(rows)
            self._file.flush()

    @contextmanager
    def _said(self) -> Iterator[None]:
        """Say in a sentence why the file cannot be written."""
        try:
            yield
        except OSError as error:
            raise FileError(f"{self.path.name}: cannot be written ({error.strerror})") from error


def _shown(key: str, values: Any) -> list[float]:
    unit = unit_of(key)
    shown: Any = from_si(values, unit) if unit else values
    numbers: list[float] = (shown.round(_DIGITS) + 0.0).tolist()
    return numbers
