"""Take pictures of the window: every bench, two sizes, both themes.

Run ``python tests/pictures/take.py FOLDER`` for all of them, or without a folder for the three of the README,
which are kept here.
"""

import os
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QSettings, QThreadPool
from PySide6.QtWidgets import QApplication

from app.build_files import sample_build
from app.document import Document
from app.theme import Follow, themes
from app.window import MainWindow

SIZES = ((1280, 800), (1920, 1080))
BENCHES = ("Draw", "Flow", "Heat", "Failures", "Fill", "Compare", "Log")
SAMPLE = "render-plinth"
_STILL = 40  # looks in a row at which nothing is worked out any more


def pictures() -> Iterator[tuple[str, tuple[int, int], Follow, str]]:
    """Name, size, theme and bench of every picture."""
    for size in SIZES:
        for theme in (Follow.LIGHT, Follow.DARK):
            for bench in BENCHES:
                yield f"{bench.lower()}-{theme}-{size[0]}", size, theme, bench


def settle(application: QApplication, window: MainWindow) -> None:
    """Let the answers arrive, what the bench asked for by itself too, and everything be painted."""
    still = 0
    while still < _STILL:
        application.processEvents()
        QThreadPool.globalInstance().waitForDone(20)
        application.thread().msleep(10)
        still = still + 1 if _is_at_rest(window) else 0
    application.processEvents()


def _is_at_rest(window: MainWindow) -> bool:
    answer, revision = window.solving.answer, window.document.build.revision
    is_answered = answer is not None and answer.plots_revision == answer.heat_revision == revision
    return is_answered and not window.bench.page.is_working


def main(arguments: list[str]) -> int:
    application = QApplication.instance() or QApplication(sys.argv[:1])
    with tempfile.TemporaryDirectory() as folder:
        settings = QSettings(str(Path(folder) / "settings.ini"), QSettings.Format.IniFormat)
        themes.followed = Follow.LIGHT
        themes.start(application)
        window = MainWindow(
            Document(sample_build(SAMPLE)), settings, shelf=Path(folder) / "shelf.json", data=Path(folder)
        )
        window.show()
        for target, size, theme, bench in _wanted(arguments):
            themes.follow(theme)
            window.resize(*size)
            window.document.select({"pump_a"} if bench == "Draw" else ())
            window.bench.show_bench(bench)
            settle(application, window)
            window.plan.fit()
            settle(application, window)
            window.grab().save(str(target))
            print(target)
        window.leave()
        window.deleteLater()
    return 0


def _wanted(arguments: list[str]) -> list[tuple[Path, tuple[int, int], Follow, str]]:
    if not arguments:
        here = Path(__file__).parent
        return [
            (here / "window-light.png", SIZES[0], Follow.LIGHT, "Failures"),
            (here / "window-dark.png", SIZES[0], Follow.DARK, "Draw"),
            (here / "window-heat.png", SIZES[0], Follow.LIGHT, "Heat"),
        ]
    folder = Path(arguments[0])
    folder.mkdir(parents=True, exist_ok=True)
    return [(folder / f"{name}.png", size, theme, bench) for name, size, theme, bench in pictures()]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
