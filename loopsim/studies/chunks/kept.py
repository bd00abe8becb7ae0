"""Finished chunks on disk, so that work that was cut short is taken up where it was left."""

import hashlib
import io
import json
import shutil
import zipfile
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loopsim import __version__
from loopsim.atomic import write_atomically
from loopsim.build import Build, to_text
from loopsim.errors import FileError
from loopsim.studies.chunks.workers import HERE, Workers, each_done

__all__ = ["Columns", "Kept", "each_kept", "fingerprint"]

Columns = Mapping[str, NDArray[Any]]

_MADE_FROM = "made-from.json"


def fingerprint(build: Build, **options: Any) -> str:
    """Differs where the build, the options (plain values) or the version of Loopsim do."""
    whole = json.dumps([__version__, to_text(build), options], sort_keys=True)
    return hashlib.sha256(whole.encode()).hexdigest()


class Kept:
    """A folder of finished chunks, each in a file of its own that is there whole or not at all.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    made_from : str
        Fingerprint of what the chunks follow from.

    Raises
    ------
    FileError
        If the folder belongs to something else, or cannot be used.
    """

    def __init__(self, folder: Path, made_from: str) -> None:
        self.folder = folder
        try:
            folder.mkdir(exist_ok=True)
            self._claim(made_from)
        except OSError as error:
            raise FileError(f"{folder.name}: cannot be used for finished chunks ({error.strerror})") from error

    def _claim(self, made_from: str) -> None:
        label = self.folder / _MADE_FROM
        mine = json.dumps({"made_from": made_from}).encode()
        if label.exists() and label.read_bytes() != mine:
            raise FileError(
                f"{self.folder.name}: holds unfinished work on another build, or with other options; run the command "
                "that began it again to finish it, remove the folder to give it up, or write to another file"
            )
        if not label.exists() and any(self.folder.iterdir()):
            raise FileError(f"{self.folder.name}: is a folder of something else; write to another file")
        write_atomically(label, mine)

    def __contains__(self, number: int) -> bool:
        return self._file(number).exists()

    def count(self, chunks: int) -> int:
        """How many of so many chunks are there."""
        return sum(number in self for number in range(chunks))

    def read(self, number: int) -> Columns:
        """One chunk as it was kept; FileError where its file was damaged since."""
        path = self._file(number)
        try:
            with np.load(path, allow_pickle=False) as found:
                return {key: found[f"column_{place}"] for place, key in enumerate(found["keys"].tolist())}
        except (OSError, EOFError, ValueError, KeyError, zipfile.BadZipFile) as error:
            raise FileError(
                f"{self.folder.name}/{path.name}: is damaged; remove it, and it is worked out again"
            ) from error

    def keep(self, number: int, columns: Columns) -> None:
        """Keep one chunk; FileError where it cannot be written."""
        packed = io.BytesIO()
        named: dict[str, Any] = {f"column_{place}": values for place, values in enumerate(columns.values())}
        np.savez(packed, keys=np.array(list(columns), dtype=str), **named)
        try:
            write_atomically(self._file(number), packed.getvalue())
        except OSError as error:
            raise FileError(f"{self.folder.name}: chunk {number} cannot be written ({error.strerror})") from error

    def remove(self) -> None:
        """Give the folder up, as all is finished."""
        shutil.rmtree(self.folder)

    def _file(self, number: int) -> Path:
        return self.folder / f"{number:06}.npz"


def each_kept(
    work: Callable[[int], Columns], count: int, workers: Workers = HERE, kept: Kept | None = None
) -> Iterator[Columns]:
    """Chunks in their order, those that are kept from disk, the others as `each_done`, and kept from then on."""
    if kept is None:
        yield from each_done(work, range(count), workers)
        return
    there = [number in kept for number in range(count)]
    fresh = each_done(work, (number for number in range(count) if not there[number]), workers)
    for number in range(count):
        if there[number]:
            yield kept.read(number)
        else:
            columns = next(fresh)
            kept.keep(number, columns)
            yield columns
