"""Defects of our own: one that nobody has caught is told in a sentence and noted in a file, and the window lives."""

import sys
import traceback
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import TracebackType

__all__ = ["watch"]

_GO_ON = "The build is as it was after the last step; save it under another name if in doubt."


def watch(tell: Callable[[str], object], notes: Path) -> None:
    """From now on tell of what is raised and caught by nobody, and add how it came about to a file."""
    before = sys.excepthook

    def note(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if not issubclass(kind, Exception):
            before(kind, error, trace)
            return
        where = _noted(notes, "".join(traceback.format_exception(kind, error, trace)))
        told = f"A defect of Loopsim, not of yours: {kind.__name__}: {error}. {_GO_ON}{where}"
        print(told, file=sys.stderr)
        tell(told)

    sys.excepthook = note


def _noted(notes: Path, how: str) -> str:
    """Where it was noted; empty where nothing can be written."""
    try:
        notes.parent.mkdir(parents=True, exist_ok=True)
        with notes.open("a", encoding="utf-8") as file:
            file.write(f"{datetime.now().isoformat(timespec='seconds')}\n{how}\n")
    except OSError:
        return ""
    return f" How it came about is noted in {notes}."
