"""JSON that a person can read, compare and mend."""

import json
from typing import Any

from loopsim.errors import FileError

__all__ = ["parsed", "written"]

_LINE = 110  # a record without records in it stands on one line up to this length


def parsed(text: str, what: str) -> dict[str, Any]:
    """The object that a file's text holds.

    Parameters
    ----------
    text : str
    what : str
        What the file should be: ``"a build"``.

    Raises
    ------
    FileError
        If it is no JSON, holds no object, or a key stands twice in one object.
    """
    try:
        data = json.loads(text, object_pairs_hook=_without_twins)
    except RecursionError as error:
        raise FileError(f"is not {what}: its JSON is nested too deeply") from error
    except json.JSONDecodeError as error:
        raise FileError(f"is not JSON: {error.msg} in line {error.lineno}, column {error.colno}") from error
    if not isinstance(data, dict):
        raise FileError(f"is not {what}: it should hold one JSON object, got a {type(data).__name__}")
    return data


def _without_twins(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """JSON lets a key stand twice and drops the first; a builder would not notice."""
    keys = [key for key, _ in pairs]
    twice = next((key for key in keys if keys.count(key) > 1), None)
    if twice is not None:
        raise FileError(f"the key {twice!r} stands twice in one object", field=twice)
    return dict(pairs)


def written(value: Any, indent: str = "") -> str:
    """JSON with short flat records on one line each, so that a changed number is one changed line."""
    line = json.dumps(_plain(value), ensure_ascii=False)
    if not isinstance(value, dict | list) or not value:
        return line
    inner = value.values() if isinstance(value, dict) else value
    if len(indent) + len(line) <= _LINE and not any(isinstance(each, dict | list) for each in inner):
        return line
    deeper = indent + "  "
    if isinstance(value, dict):
        rows = [f"{json.dumps(key)}: {written(each, deeper)}" for key, each in value.items()]
    else:
        rows = [written(each, deeper) for each in value]
    opening, closing = "{}" if isinstance(value, dict) else "[]"
    return f"{opening}\n{deeper}" + f",\n{deeper}".join(rows) + f"\n{indent}{closing}"


def _plain(value: Any) -> Any:
    """Whole numbers without a decimal point."""
    if isinstance(value, float) and value.is_integer():
        return int(value)
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list):
        return [_plain(each) for each in value]
    return value
