"""What nobody has caught is told in a sentence, noted with how it came about, and ends nothing."""

import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QObject, QTimer

from app import defects


def fail() -> None:
    raise RuntimeError("the lid is loose")


@pytest.fixture
def told(monkeypatch, tmp_path: Path) -> list[str]:
    monkeypatch.setattr(sys, "excepthook", sys.__excepthook__)
    heard: list[str] = []
    defects.watch(heard.append, tmp_path / "kept" / "defects.txt")
    return heard


def test_a_defect_in_an_event_is_told_and_noted(qapp, told: list[str], tmp_path: Path, capsys):
    timer = QTimer(QObject(qapp))
    timer.setSingleShot(True)
    timer.timeout.connect(fail)
    timer.start(0)
    while not told:
        qapp.processEvents()
    assert told[0].startswith("A defect of Loopsim, not of yours: RuntimeError: the lid is loose.")
    notes = (tmp_path / "kept" / "defects.txt").read_text()
    assert "in fail" in notes
    assert str(tmp_path) in told[0]
    assert "Traceback" not in capsys.readouterr().err


def test_where_nothing_can_be_written_it_is_told_all_the_same(monkeypatch, tmp_path: Path):
    monkeypatch.setattr(sys, "excepthook", sys.__excepthook__)
    (tmp_path / "file").write_text("")
    heard: list[str] = []
    defects.watch(heard.append, tmp_path / "file" / "defects.txt")
    sys.excepthook(ValueError, ValueError("odd"), None)
    assert "odd" in heard[0]
    assert "noted" not in heard[0]


def test_a_wish_to_end_is_no_defect(told: list[str]):
    sys.excepthook(KeyboardInterrupt, KeyboardInterrupt(), None)
    assert told == []
