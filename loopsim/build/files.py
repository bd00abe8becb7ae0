"""The file of a build: JSON that a person can read, compare and mend."""

from collections.abc import Collection
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from loopsim.atomic import write_atomically
from loopsim.build.document import SCHEMA_VERSION, Build, Layout, Placement
from loopsim.build.explain import explain
from loopsim.build.json_text import parsed, written
from loopsim.build.migrate import migrated
from loopsim.build.room import Enclosure
from loopsim.errors import FileError, LoopsimError
from loopsim.fields import Record
from loopsim.parts import KINDS, TubeRun

__all__ = ["FILE_ENDING", "from_text", "load", "save", "schema", "to_text"]

FILE_ENDING = ".loop.json"


def load(path: str | Path) -> Build:
    """Read a build.

    Raises
    ------
    FileError
        If the file cannot be read, is no JSON, was written by a newer version, or does not describe a build. The
        message begins with the file's name.
    """
    path = Path(path)
    try:
        text = path.read_text(encoding="utf-8")
    except OSError as error:
        raise FileError(f"{path.name}: cannot be read ({error.strerror})") from error
    except UnicodeDecodeError as error:
        raise FileError(f"{path.name}: is not a text file in UTF-8") from error
    try:
        return from_text(text)
    except LoopsimError as error:
        raise FileError(f"{path.name}: {error}", part=error.part, field=error.field) from error


def from_text(text: str) -> Build:
    """A build from the text of its file.

    Raises
    ------
    FileError, SketchError
        With what is wrong, where, and what is allowed.
    """
    data = parsed(text, "a build")
    version = data.get("schema_version")
    if isinstance(version, int) and version > SCHEMA_VERSION:
        raise FileError(
            f"was written by a newer Loopsim (schema_version {version}, this one reads up to {SCHEMA_VERSION}); "
            "install the newer version to open it",
            field="schema_version",
        )
    data = migrated(data)
    try:
        return Build.model_validate(data)
    except ValidationError as error:
        why = explain(error, data, Build)
        raise FileError(why.text, part=why.part, field=why.field) from error


def to_text(build: Build) -> str:
    """The text of a build's file; the same build always gives the same text."""
    data = build.model_dump(mode="json", exclude_none=True)
    _drop_unused(data, Build)
    _drop_unused(data["enclosure"], Enclosure)
    for part in data["parts"]:
        _drop_unused(part, KINDS[part["kind"]])
    for layout in data["layouts"]:
        _drop_unused(layout, Layout)
        for placement in layout["placed"]:
            _drop_unused(placement, Placement)
            _drop_idle(placement, build.part(placement["part"]).placement_fields)
        for run in layout["runs"]:
            _drop_unused(run, TubeRun)
    return written(data) + "\n"


# What most builds do not use is written only where it is used.
_UNUSED_AT_DEFAULT = (
    "lie",
    "mirrored",
    "locked",
    "outline",
    "openings",
    "reserved",
    "notes",
    "wetted",
    "own_failures",
    "kinked_percent",
    "stuck",
    "air_above",
    "sealed_bar",
    "cover",
    "channel_wall_mm",
    "filled_steps",
    "drained_steps",
)


def _drop_unused(data: dict[str, Any], record: type[Record]) -> None:
    """Leave out what a builder has never touched."""
    for name in _UNUSED_AT_DEFAULT:
        if name in data and data[name] == _plain_default(record, name):
            del data[name]


def _plain_default(record: type[Record], name: str) -> Any:
    default = record.model_fields[name].default
    if isinstance(default, Record):
        return default.model_dump(mode="json", exclude_none=True)
    return list(default) if isinstance(default, tuple) else default


def _drop_idle(placement: dict[str, Any], listened_to: Collection[str]) -> None:
    """Leave out settings to which the part does not listen: a block has no speed."""
    for name in ("speed_percent", "opening_percent"):
        if name not in listened_to and placement[name] == Placement.model_fields[name].default:
            del placement[name]


def save(build: Build, path: str | Path) -> None:
    """Write a build so that the file is at every moment either the old one or the new one, whole.

    Raises
    ------
    FileError
        If the file cannot be written; the old one is untouched then.
    """
    path = Path(path)
    try:
        write_atomically(path, to_text(build).encode())
    except OSError as error:
        raise FileError(f"{path.name}: cannot be written ({error.strerror}); nothing was changed on disk") from error


def schema() -> dict[str, Any]:
    """JSON Schema of the file."""
    return Build.model_json_schema()
