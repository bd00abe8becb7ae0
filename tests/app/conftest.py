"""A window on the sample, with answers in place of dialogs and settings in a folder of the test's own.

Nothing waits for a time: what must come is waited for as a condition, and as long as a loaded machine may need.
"""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot
from pytestqt.wait_signal import SignalBlocker

from app.build_files import sample_build
from app.dialogs import Dialogs, Foreign, Unsaved
from app.document import Document
from app.measures import System, measures
from app.part_sheet import PartSheet
from app.theme import Follow, themes
from app.window import MainWindow
from loopsim.build import Build
from tests.app.remembered import REMEMBERED, shared

PATIENCE_MS = 120_000  # only what never comes takes so long, and then the test fails


class PatientBot(QtBot):
    """Waits for a condition or a signal until it comes, however busy the machine is."""

    def waitUntil(self, callback: Callable[[], bool | None], *, timeout: int = PATIENCE_MS) -> None:  # noqa: N802
        super().waitUntil(callback, timeout=timeout)

    def waitSignal(self, signal: object, *, timeout: int = PATIENCE_MS, **kwargs: Any) -> SignalBlocker:  # noqa: N802
        return super().waitSignal(signal, timeout=timeout, **kwargs)

    def waitExposed(self, widget: QWidget, *, timeout: int = PATIENCE_MS) -> AbstractContextManager[object]:  # noqa: N802
        return super().waitExposed(widget, timeout=timeout)


@pytest.fixture
def qtbot(qapp: QApplication, request: pytest.FixtureRequest) -> PatientBot:  # noqa: ARG001
    return PatientBot(request)


class Answers(Dialogs):
    """Answers that a test gives in advance, and the questions that were asked."""

    def __init__(self) -> None:
        super().__init__()
        self.on_unsaved, self.on_foreign = Unsaved.CANCEL, Foreign.CANCEL
        self.path: Path | None = None
        self.fresh: Build | None = Build(name="New build")
        self.asked: list[str] = []

    def unsaved(self, name: str) -> Unsaved:
        self.asked.append(f"unsaved {name}")
        return self.on_unsaved

    def new_build(self) -> Build | None:
        return self.fresh

    def foreign_edits(self, path: Path) -> Foreign:
        self.asked.append(f"foreign edits in {path.name}")
        return self.on_foreign

    def open_path(self, folder: Path) -> Path | None:
        self.asked.append(f"open in {folder}")
        return self.path

    def drawing_path(self, folder: Path) -> Path | None:
        self.asked.append(f"drawing in {folder}")
        return self.path

    def save_path(self, suggested: Path) -> Path | None:
        self.asked.append(f"save {suggested.name}")
        return self.path

    def print_path(self, suggested: Path) -> Path | None:
        self.asked.append(f"print {suggested.name}")
        return self.path

    def export_path(self, suggested: Path) -> Path | None:
        self.asked.append(f"export {suggested.name}")
        return self.path


@pytest.fixture(autouse=True)
def nothing_left_on_screen(qapp: QApplication) -> Iterator[None]:
    """What a test leaves there, were it a tip, would take the next one's mouse."""
    yield
    for left in qapp.topLevelWidgets():
        left.hide()


@pytest.fixture(autouse=True)
def in_light(qapp: QApplication) -> Iterator[None]:
    """Every test begins in the light theme, whatever the system wears."""
    if not qapp.styleSheet():
        themes.followed = Follow.LIGHT
        themes.start(qapp)
    yield
    if themes.followed is not Follow.LIGHT:
        themes.follow(Follow.LIGHT)


@pytest.fixture
def customary() -> Iterator[None]:
    """US customary units, as long as the test lasts."""
    measures.choose(System.CUSTOMARY)
    yield
    measures.choose(System.SI)


@pytest.fixture(scope="session")
def sample() -> Build:
    return shared(sample_build("render-plinth"))


@pytest.fixture
def document(sample: Build) -> Document:
    return Document(sample)


@pytest.fixture
def sheet(qtbot: QtBot, document: Document) -> PartSheet:
    made = PartSheet(document)
    qtbot.addWidget(made)
    made.resize(480, 700)
    with qtbot.waitExposed(made):
        made.show()
    return made


@pytest.fixture
def pump_sheet(sheet: PartSheet, document: Document) -> PartSheet:
    document.select({"pump_a"})
    return sheet


@pytest.fixture
def answers() -> Answers:
    return Answers()


@pytest.fixture
def settings(tmp_path: Path) -> QSettings:
    return QSettings(str(tmp_path / "settings" / "window.ini"), QSettings.Format.IniFormat)


@pytest.fixture
def shelf_file(tmp_path: Path) -> Path:
    return tmp_path / "data" / "shelf.json"


@pytest.fixture
def make_window(
    qtbot: QtBot, settings: QSettings, answers: Answers, shelf_file: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Callable[[Build], MainWindow]]:
    """Opens windows, and closes them in the end without a question."""
    REMEMBERED.put_in_place(monkeypatch)
    made: list[MainWindow] = []

    def make(build: Build) -> MainWindow:
        window = MainWindow(Document(build), settings, answers, shelf_file, shelf_file.parent)
        made.append(window)
        with qtbot.waitExposed(window):
            window.show()
        return window

    yield make
    for window in made:
        window.leave()
        window.deleteLater()


@pytest.fixture
def window(make_window: Callable[[Build], MainWindow], sample: Build) -> MainWindow:
    return make_window(sample)
