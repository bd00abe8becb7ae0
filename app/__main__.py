"""``python -m app [FILE]``: the window; without a display, the sample's report instead."""

import argparse
import gc
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import sample_loops
from app.headless import has_display, report_sample

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from app.window import MainWindow

__all__ = ["main", "start"]

SAMPLE = "render-plinth"


def options(arguments: Sequence[str] | None = None) -> argparse.Namespace:
    """The command line, read."""
    parser = argparse.ArgumentParser(prog="python -m app", description="Sketch a liquid-cooling loop to scale.")
    parser.add_argument("file", nargs="?", type=Path, metavar="FILE", help="a build to open")
    parser.add_argument("--sample", choices=sample_loops.names(), help="open a copy of a sample instead")
    parser.add_argument(
        "--quit-after", type=float, metavar="SECONDS", help="close by itself after this time, without asking"
    )
    return parser.parse_args(arguments)


def start(wanted: argparse.Namespace) -> "tuple[QApplication, MainWindow]":
    """The application and its window, shown and solved, before its first event.

    What is made meanwhile stays, so that looking for garbage among it, now or later, would only take time.
    """
    gc.disable()
    try:
        return _started(wanted)
    finally:
        gc.freeze()
        gc.enable()


def _started(wanted: argparse.Namespace) -> "tuple[QApplication, MainWindow]":
    from PySide6.QtCore import QLocale, QTimer
    from PySide6.QtWidgets import QApplication

    from app import defects, figures
    from app.build_files import sample_build
    from app.document import Document
    from app.measures import Measures, System, measures
    from app.recent import data_folder, open_settings
    from app.theme import Follow, themes
    from app.window import MainWindow

    application = QApplication.instance() or QApplication(sys.argv[:1])
    application.setApplicationName("Loopsim")
    settings = open_settings()
    appearance = str(settings.value("window/appearance", Follow.SYSTEM))
    themes.followed = Follow(appearance) if appearance in set(Follow) else Follow.SYSTEM
    themes.start(application)
    figures.use_decimal_sign(QLocale.system().decimalPoint())
    units = str(settings.value("window/units", Measures.of_the_system()))
    measures.choose(System(units) if units in set(System) else System.SI)
    window = MainWindow(Document(sample_build(SAMPLE)), settings)
    defects.watch(window.message.refuse, data_folder() / "defects.txt")
    is_first = not wanted.file and not wanted.sample and not window.files.recent.paths
    _open_wanted(window, wanted)
    window.show()
    if is_first:
        window.show_first_steps()
    if wanted.quit_after is not None:
        QTimer.singleShot(int(wanted.quit_after * 1000), window.leave)
    return application, window


def _open_wanted(window: "MainWindow", wanted: argparse.Namespace) -> None:
    """The file or sample asked for, else the last build; the sample stays open where there is none."""
    if wanted.sample:
        window.files.open_sample(wanted.sample)
    elif wanted.file:
        window.files.open_path(wanted.file)
    elif window.files.recent.paths:
        window.files.open_path(window.files.recent.paths[0])


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the program; the process's exit code."""
    wanted = options(arguments)
    if not has_display():
        return report_sample(wanted.sample or SAMPLE, Path.cwd())
    application, window = start(wanted)
    code = application.exec()
    window.deleteLater()
    return code


if __name__ == "__main__":
    sys.exit(main())
