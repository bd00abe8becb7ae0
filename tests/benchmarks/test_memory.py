"""What a thousand edits and undos leave in memory, in the real window, against the first hundred."""

import gc
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from pytest_benchmark.fixture import BenchmarkFixture
from pytestqt.qtbot import QtBot

from app.build_files import sample_build
from app.dialogs import Dialogs
from app.document import Document
from app.window import MainWindow
from loopsim.build import edits

_READINGS = 6  # the least of several: a thread that is still at work, or lets go late, only ever adds


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Iterator[MainWindow]:
    settings = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
    window = MainWindow(Document(sample_build("render-plinth")), settings, Dialogs(), tmp_path / "shelf.json")
    window.show()
    qtbot.waitExposed(window)
    yield window
    window.leave()
    window.deleteLater()


def test_a_thousand_rounds_of_edit_and_undo_take_no_more_memory_than_the_first_hundred(
    qtbot: QtBot, window: MainWindow, benchmark: BenchmarkFixture, say: Callable[[str], None]
) -> None:
    wait_for_rest(window, qtbot)  # libraries that load on first use stay, and would hide what is lost
    tracemalloc.start()
    try:
        early = held_after(100, window, qtbot)
        late = benchmark.pedantic(lambda: held_after(900, window, qtbot), rounds=1)
    finally:
        tracemalloc.stop()
    say(f"{early / 1e6:.2f} MB after 100 rounds, {late / 1e6:.2f} MB after 1,000")
    assert late < 1.05 * early


def held_after(rounds: int, window: MainWindow, qtbot: QtBot) -> int:
    """Bytes that Python holds when everything has been worked out again."""
    document, name = window.document, window.document.layout.name
    for number in range(rounds):
        document.do(edits.move(document.build, name, "pump_a", 300.0 + number % 50, 150.0))
        document.history.undo()
        if number % 10 == 0:
            QApplication.processEvents()
    wait_for_rest(window, qtbot)
    return min(_reading(qtbot) for _ in range(_READINGS))


def wait_for_rest(window: MainWindow, qtbot: QtBot) -> None:
    build = window.document.build
    qtbot.waitUntil(lambda: window.solving.answer.heat_revision == build.revision, timeout=60_000)


def _reading(qtbot: QtBot) -> int:
    qtbot.wait(300)
    gc.collect()
    return tracemalloc.get_traced_memory()[0]
