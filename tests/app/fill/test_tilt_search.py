"""The search over tilts: progress, an end, and a stop half way."""

from collections.abc import Callable
from threading import Event

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.fill.tilt_search import TiltQuestion, TiltSearch
from loopsim.build import Build
from loopsim.network import Tilt
from loopsim.studies.fill import TiltPlan
from tests.app.conftest import PATIENCE_MS

QUESTION = TiltQuestion(Build(name="any"), "any", Tilt(10.0, 10.0))
NOTHING = TiltPlan(0.0, ())


def test_it_tells_how_far_it_is_and_what_it_found(qtbot: QtBot):
    def study(_: TiltQuestion, progress: Callable[[float], None]) -> TiltPlan:
        progress(0.5)
        progress(1.0)
        return NOTHING

    search, shares, found = TiltSearch(study), [], []
    search.progressed.connect(shares.append)
    search.found.connect(found.append)
    with qtbot.waitSignal(search.ended) as ended:
        search.start(QUESTION)
    assert (shares, found, ended.args) == ([0.5, 1.0], [NOTHING], [None])
    assert not search.is_working


def test_a_stop_ends_the_study_at_its_next_step_and_nothing_is_found(qtbot: QtBot):
    begun, go_on, past_the_stop = Event(), Event(), Event()

    def study(_: TiltQuestion, progress: Callable[[float], None]) -> TiltPlan:
        progress(0.1)
        begun.set()
        go_on.wait(PATIENCE_MS / 1000)
        progress(0.2)
        past_the_stop.set()
        return NOTHING

    search, found = TiltSearch(study), []
    search.found.connect(found.append)
    search.start(QUESTION)
    qtbot.waitUntil(begun.is_set)
    with qtbot.waitSignal(search.ended):
        search.stop()
    go_on.set()
    search.close()
    QApplication.processEvents()  # whatever was told is heard
    assert not past_the_stop.is_set()
    assert found == []


def test_an_error_reaches_the_window(qtbot: QtBot):
    def study(*_: object) -> TiltPlan:
        raise ValueError("no")

    search = TiltSearch(study)
    with qtbot.waitSignal(search.ended) as ended:
        search.start(QUESTION)
    with pytest.raises(ValueError, match="no"):
        raise ended.args[0]
