"""What the program opens with, and what it remembers."""

from pathlib import Path

import pytest
from PySide6.QtCore import QSettings

from app import recent
from app.__main__ import options, start
from app.headless import has_display, report_sample
from app.recent import Recent
from loopsim.build import Build, save


@pytest.fixture
def begun(settings: QSettings, monkeypatch: pytest.MonkeyPatch):
    """Starts the program as from the command line, on settings of the test's own."""
    monkeypatch.setattr(recent, "open_settings", lambda: settings)
    windows = []

    def begin(*arguments: str):
        _, window = start(options(list(arguments)))
        windows.append(window)
        return window

    yield begin
    for window in windows:
        window.leave()
        window.deleteLater()


def test_the_first_start_opens_the_solved_sample(begun):
    window = begun()
    assert window.document.title == "Render plinth"
    assert window.solving.answer.point.loop_flow > 0


def test_a_file_on_the_command_line_is_opened(begun, tmp_path: Path, sample: Build):
    save(sample.with_values(name="From a file"), tmp_path / "a.loop.json")
    window = begun(str(tmp_path / "a.loop.json"))
    assert window.document.title == "From a file"


def test_the_last_build_opens_at_the_next_start(begun, settings: QSettings, tmp_path: Path, sample: Build):
    save(sample.with_values(name="Of yesterday"), tmp_path / "a.loop.json")
    Recent(settings).add(tmp_path / "a.loop.json")
    assert begun().document.title == "Of yesterday"


def test_a_last_build_that_is_gone_gives_way_to_the_sample(begun, settings: QSettings, tmp_path: Path, sample: Build):
    save(sample.with_values(name="Of yesterday"), tmp_path / "a.loop.json")
    Recent(settings).add(tmp_path / "a.loop.json")
    (tmp_path / "a.loop.json").unlink()
    window = begun()
    assert window.document.title == "Render plinth"
    assert window.message.text == ""


def test_a_sample_that_is_asked_for_comes_before_the_last_build(
    begun, settings: QSettings, tmp_path: Path, sample: Build
):
    save(sample.with_values(name="Of yesterday"), tmp_path / "a.loop.json")
    Recent(settings).add(tmp_path / "a.loop.json")
    assert begun("--sample", "render-plinth").document.title == "Render plinth"


def test_a_sample_that_does_not_exist_is_refused_with_those_that_do(capsys: pytest.CaptureFixture[str]):
    with pytest.raises(SystemExit):
        options(["--sample", "nothing"])
    assert "render-plinth" in capsys.readouterr().err


def test_the_newest_files_are_kept_and_none_twice(settings: QSettings, tmp_path: Path):
    known = Recent(settings)
    paths = [tmp_path / f"{number}.loop.json" for number in range(10)]
    for path in [*paths, paths[5]]:
        path.touch()
        known.add(path)
    assert [path.stem for path in known.paths] == [f"{number}.loop" for number in (5, 9, 8, 7, 6, 4, 3, 2)]


def test_one_remembered_file_is_read_back_from_disk(settings: QSettings, tmp_path: Path):
    (tmp_path / "only.loop.json").touch()
    Recent(settings).add(tmp_path / "only.loop.json")
    again = QSettings(settings.fileName(), QSettings.Format.IniFormat)
    assert Recent(again).paths == [tmp_path / "only.loop.json"]


@pytest.mark.parametrize(
    ("environment", "platform", "expected"),
    [
        ({}, "linux", False),
        ({"DISPLAY": ":0"}, "linux", True),
        ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", True),
        ({"QT_QPA_PLATFORM": "offscreen"}, "linux", True),
        ({"DISPLAY": ""}, "linux", False),
        ({}, "darwin", True),
        ({}, "win32", True),
    ],
)
def test_a_display_is_looked_for_where_one_may_be_missing(environment: dict, platform: str, expected: bool):
    assert has_display(environment, platform) is expected


def test_a_report_without_a_display_that_cannot_be_written_is_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    assert report_sample("render-plinth", tmp_path / "no such folder") == 1
    assert "could not be written" in capsys.readouterr().err
