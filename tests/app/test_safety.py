"""No edit is lost: kept while they are made, offered after a kill, and never written over what others saved."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import datetime
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.dialogs import Foreign
from app.recovery import WRITE_AFTER_S, left_over
from app.window import MainWindow
from loopsim.build import Build, edits, load, save
from loopsim.errors import FileError
from tests.app.conftest import PATIENCE_MS

if TYPE_CHECKING:
    from .conftest import Answers

Make = Callable[[Build], MainWindow]
ROOT = Path(__file__).parents[2]


def push(window: MainWindow, x_mm: float) -> None:
    """Move a pump."""
    document = window.document
    document.do(edits.move(document.build, document.layout.name, "pump_a", x_mm, 150.0))


def press(window: MainWindow, words: str) -> None:
    """Click a button of the offer in view."""
    (button,) = [each for each in window.offers.buttons if each.text() == words]
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def place_of(build: Build) -> float:
    return build.layouts[0].placement("pump_a").x_mm


@pytest.fixture
def left(window: MainWindow, shelf_file: Path) -> Path:
    """What a window that was killed leaves: a folder with a build, and a lock that nobody holds."""
    folder = shelf_file.parent / "recovery" / "4711-gone"
    folder.mkdir(parents=True)
    build = window.document.build
    save(edits.move(build, build.layouts[0].name, "pump_a", 333.0, 150.0).build, folder / "build.loop.json")
    (folder / "origin.json").write_text('{"path": "/somewhere/else.loop.json"}')
    return folder


def test_an_edit_is_on_disk_soon_after_it_was_made_and_gone_once_saved(
    qtbot: QtBot, window: MainWindow, answers: "Answers", tmp_path: Path
):
    push(window, 321.0)
    own = window.safety.recovery.own / "build.loop.json"
    qtbot.waitUntil(own.exists)
    assert load(own) == window.document.build
    answers.path = tmp_path / "saved.loop.json"
    assert window.files.save()
    qtbot.waitUntil(lambda: not own.exists())


def test_edits_that_never_pause_are_kept_all_the_same(qtbot: QtBot, window: MainWindow):
    numbers = count(1)

    def one_more_edit_finds_the_first_kept() -> bool:
        push(window, 300.0 + next(numbers) % 50)
        return (window.safety.recovery.own / "build.loop.json").exists()

    qtbot.waitUntil(one_more_edit_finds_the_first_kept)
    assert 300.0 <= place_of(load(window.safety.recovery.own / "build.loop.json")) <= 349.0
    assert WRITE_AFTER_S < 2.0  # nothing older is lost; a clock would measure the machine


def test_edits_are_kept_while_the_window_is_busy(window: MainWindow):
    push(window, 321.0)
    kept = window.safety.recovery.own / "build.loop.json"
    give_up = time.monotonic() + PATIENCE_MS / 1000
    while not kept.exists() and time.monotonic() < give_up:
        time.sleep(0.05)  # no event is handled meanwhile
    assert place_of(load(kept)) == 321.0


def test_undo_to_the_saved_state_leaves_nothing_to_recover(qtbot: QtBot, window: MainWindow):
    push(window, 321.0)
    window.safety.recovery.flush()
    own = window.safety.recovery.own
    window.document.history.undo()
    qtbot.waitUntil(lambda: not own.exists())


def test_a_window_that_closes_leaves_nothing(make_window: Make, sample: Build, shelf_file: Path):
    window = make_window(sample)
    push(window, 321.0)
    window.safety.recovery.flush()
    assert len(list((shelf_file.parent / "recovery").iterdir())) == 1
    window.leave()
    assert list((shelf_file.parent / "recovery").iterdir()) == []


def test_edits_of_a_window_that_still_runs_are_not_offered_to_another(
    window: MainWindow, make_window: Make, sample: Build
):
    push(window, 321.0)
    window.safety.recovery.flush()
    other = make_window(sample)
    QApplication.processEvents()  # it looks for what was left
    assert other.offers.text == ""


def test_what_was_left_is_offered_and_comes_back_as_unsaved_edits(
    qtbot: QtBot, make_window: Make, sample: Build, left: Path
):
    window = make_window(sample)
    qtbot.waitUntil(lambda: window.offers.text.startswith("Unsaved edits of else.loop.json"))
    press(window, "Bring them back")
    assert place_of(window.document.build) == 333.0
    assert window.document.path == Path("/somewhere/else.loop.json")
    assert not window.document.history.isClean()
    assert window.header.edited.isVisible()
    assert not left.exists()
    assert place_of(load(window.safety.recovery.own / "build.loop.json")) == 333.0
    assert window.offers.text == ""


def test_what_was_left_can_wait_or_be_thrown_away(qtbot: QtBot, make_window: Make, sample: Build, left: Path):
    first = make_window(sample)
    qtbot.waitUntil(lambda: first.offers.text != "")
    press(first, "Later")
    assert left.exists()
    second = make_window(sample)
    qtbot.waitUntil(lambda: second.offers.text != "")
    press(second, "Throw them away")
    assert not left.exists()
    assert second.document.build == sample


def test_a_copy_that_cannot_be_read_is_a_sentence_and_stays(qtbot: QtBot, make_window: Make, sample: Build, left: Path):
    (left / "build.loop.json").write_text("{")
    window = make_window(sample)
    qtbot.waitUntil(lambda: window.offers.text != "")
    press(window, "Bring them back")
    assert "is not JSON" in window.message.text
    assert window.document.build == sample
    assert left.exists()


def test_a_folder_that_cannot_be_written_is_said_once(qtbot: QtBot, window: MainWindow, shelf_file: Path):
    (shelf_file.parent).mkdir(exist_ok=True)
    (shelf_file.parent / "recovery").write_text("a file where a folder should be")
    push(window, 321.0)
    qtbot.waitUntil(lambda: "Unsaved edits cannot be kept" in window.message.text)
    window.message.hide()
    push(window, 322.0)
    window.safety.recovery.flush()
    assert window.message.text == ""


def test_a_file_changed_by_something_else_is_noticed_and_can_be_read_again(
    qtbot: QtBot, window: MainWindow, sample: Build, tmp_path: Path
):
    path = tmp_path / "a.loop.json"
    save(sample, path)
    window.files.open_path(path)
    save(sample.with_values(name="By another hand"), path)
    qtbot.waitUntil(lambda: "a.loop.json was changed on disk" in window.offers.text)
    assert window.document.title == "Render plinth"
    press(window, "Read it again")
    assert window.document.title == "By another hand"


def test_own_saves_are_no_news(qtbot: QtBot, window: MainWindow, sample: Build, tmp_path: Path):
    path = tmp_path / "a.loop.json"
    save(sample, path)
    window.files.open_path(path)
    push(window, 321.0)
    with qtbot.waitSignal(window.safety.watch._watcher.directoryChanged):
        assert window.files.save()
    QApplication.processEvents()
    assert window.offers.text == ""


def test_a_file_that_is_removed_is_noticed_and_can_be_saved_again(
    qtbot: QtBot, window: MainWindow, sample: Build, tmp_path: Path
):
    path = tmp_path / "a.loop.json"
    save(sample, path)
    window.files.open_path(path)
    path.unlink()
    qtbot.waitUntil(lambda: "no longer where it was" in window.offers.text)
    press(window, "Save it there again")
    assert load(path) == sample


@pytest.mark.parametrize("wanted", list(Foreign))
def test_saving_over_what_others_saved_is_asked_about(
    window: MainWindow, answers: "Answers", sample: Build, tmp_path: Path, wanted: Foreign
):
    path, other = tmp_path / "a.loop.json", tmp_path / "b.loop.json"
    save(sample, path)
    window.files.open_path(path)
    save(sample.with_values(name="By another hand"), path)
    push(window, 321.0)
    answers.on_foreign, answers.path = wanted, other
    assert window.files.save() is (wanted is not Foreign.CANCEL)
    assert answers.asked[0] == "foreign edits in a.loop.json"
    assert (load(path).name == "By another hand") is (wanted is not Foreign.OVERWRITE)
    assert other.exists() is (wanted is Foreign.ELSEWHERE)


def test_the_second_window_on_a_file_says_so_and_can_go_on_with_a_copy(
    window: MainWindow, make_window: Make, sample: Build, tmp_path: Path
):
    path = tmp_path / "a.loop.json"
    save(sample, path)
    window.files.open_path(path)
    assert window.offers.text == ""
    second = make_window(sample)
    second.files.open_path(path)
    assert "open in another window too" in second.offers.text
    press(second, "Go on with a copy")
    assert second.document.path is None
    assert not second.document.history.isClean()
    window.leave()
    third = make_window(sample)
    third.files.open_path(path)
    assert third.offers.text == ""


KILLED = """
import itertools, sys
from PySide6.QtCore import QTimer
from app.__main__ import options, start
from loopsim.build import edits

application, window = start(options([]))
document, numbers = window.document, itertools.count()

def step():
    number = next(numbers)
    document.do(edits.change_build(document.build, note=str(number)))
    print(number, flush=True)

timer = QTimer(interval=40)
timer.timeout.connect(step)
timer.start()
sys.exit(application.exec())
"""


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
def test_a_kill_in_the_middle_of_edits_leaves_all_that_was_written_while_they_went_on(tmp_path: Path):
    environment = os.environ | {
        "PYTHONPATH": str(ROOT),
        "XDG_CONFIG_HOME": str(tmp_path / "config"),
        "XDG_DATA_HOME": str(tmp_path / "data"),
    }
    folder, kept, begun = tmp_path / "data" / "loopsim" / "recovery", set(), datetime.now()
    with subprocess.Popen(
        [sys.executable, "-c", KILLED], env=environment, stdout=subprocess.PIPE, text=True
    ) as program:
        give_up = time.monotonic() + PATIENCE_MS / 1000
        while len(kept) < 2:  # written again, without a pause between the edits
            assert time.monotonic() < give_up, "nothing was written"
            edited = int(program.stdout.readline())
            kept |= {int(load(path).note) for path in folder.glob("*/build.loop.json")}
        program.send_signal(signal.SIGKILL)
        edited = max(map(int, program.stdout.read().split()), default=edited)  # it may be ahead of who reads
    (left,) = left_over(folder)
    assert max(kept) <= int(left.build().note) <= edited + 1
    assert begun <= left.when <= datetime.now()
    assert left.path is None
    again = subprocess.run(
        [sys.executable, "-c", OFFERED], env=environment, capture_output=True, text=True, timeout=600, check=True
    )
    assert again.stdout.startswith("Unsaved edits of a build that had no file yet"), again.stderr


OFFERED = """
from PySide6.QtCore import QTimer
from app.__main__ import options, start

application, window = start(options([]))
application.processEvents()
application.processEvents()
print(window.offers.text)
window.leave()
"""


def test_a_damaged_note_on_the_origin_only_costs_the_name(left: Path):
    (left / "origin.json").write_text("[1]")
    (found,) = left_over(left.parent)
    assert found.path is None
    with pytest.raises(FileError):
        found._replace(folder=left / "nowhere").build()
