"""What happens where there is no display: the sample is solved, and its report written. No Qt here."""

import os
import sys
from collections.abc import Mapping
from pathlib import Path

__all__ = ["has_display", "report_sample"]


def has_display(environment: Mapping[str, str] = os.environ, platform: str = sys.platform) -> bool:
    """True if a window could be opened."""
    if not platform.startswith("linux"):
        return True
    return any(environment.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))


def report_sample(name: str, folder: Path) -> int:
    """Solve a sample, write its report into a folder, and name the file; the process's exit code."""
    import sample_loops
    from loopsim.build import from_text
    from loopsim.errors import LoopsimError
    from loopsim.report import write_report

    try:
        build = from_text(sample_loops.sample(name).read_text(encoding="utf-8"))
        paths = write_report(build, folder / f"{name}-report.html")
    except (LoopsimError, OSError) as error:
        print(f"There is no display, and the report could not be written: {error}", file=sys.stderr)
        return 1
    print("There is no display; the sample is solved and its report written instead:")
    for path in paths:
        print(path)
    return 0
