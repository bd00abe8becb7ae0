"""Questions that are given up, because nobody waits for their answers any more."""

import threading

import pytest
from PySide6.QtCore import QObject, QThreadPool
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.asker import Asker
from app.stepwise import Stepwise
from loopsim.cancelling import check_cancelled
from tests.app.conftest import PATIENCE_MS


class Endless:
    """A study that ends only by being given up."""

    def __init__(self) -> None:
        self.begun, self.ended = threading.Event(), threading.Event()

    def __call__(self, question: str) -> str:
        if question == "short":
            return "answered"
        self.begun.set()
        try:
            while True:
                check_cancelled()
        finally:
            self.ended.set()


@pytest.fixture
def parent(qapp: QApplication) -> QObject:  # noqa: ARG001  signals need an application
    return QObject()


def test_a_study_that_is_dropped_ends_at_once_and_tells_nothing(qtbot: QtBot, parent: QObject):
    study, answers = Endless(), []
    asker = Asker(study, QThreadPool(parent), parent, is_quick=False)
    asker.answered.connect(lambda question, result: answers.append((question, result)))
    asker.ask("long")
    assert study.begun.wait(PATIENCE_MS / 1000)
    asker.drop()
    assert study.ended.wait(PATIENCE_MS / 1000)
    asker.ask("short")
    qtbot.waitUntil(lambda: bool(answers))
    assert answers == [("short", "answered")]


def test_what_goes_step_by_step_stops_in_the_middle_of_a_step(parent: QObject):
    study, ended = Endless(), []
    work = Stepwise(lambda question: iter([study(question)]), parent)
    work.ended.connect(lambda _, error: ended.append(error))
    work.start("long")
    assert study.begun.wait(PATIENCE_MS / 1000)
    work.close()
    assert study.ended.is_set()
    QApplication.processEvents()  # whatever was told is heard
    assert ended == []
