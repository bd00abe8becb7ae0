"""Writing files so that a reader never meets half of one."""

import os
import shutil
import tempfile
from pathlib import Path

__all__ = ["write_atomically"]


def write_atomically(path: Path, content: bytes) -> None:
    """Write a file so that it is at every moment either the old one or the new one, whole.

    A link is followed; the mode of a file that exists is kept.

    Raises
    ------
    OSError
        If the file cannot be written; the old one is untouched then.
    """
    path = path.resolve()
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    fresh = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            shutil.copymode(path, fresh)
        else:
            fresh.chmod(0o644)
        fresh.replace(path)
    except BaseException:
        fresh.unlink(missing_ok=True)
        raise
