"""Long work in a worker: items as they come, stopped between two of them, never mixed up."""

import threading
import time
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.stepwise import Stepwise
from tests.app.conftest import PATIENCE_MS


@pytest.fixture
def owner(qapp) -> QObject:  # noqa: ARG001  signals need an application
    return QObject()


def test_items_come_in_order_from_another_thread_and_then_the_end(qtbot: QtBot, owner):
    threads: set[int] = set()

    def counting(count: int) -> Iterator[int]:
        for number in range(count):
            threads.add(threading.get_ident())
            yield number

    work, came, ended = Stepwise(counting, owner), [], []
    work.came.connect(lambda question, item: came.append((question, item)))
    work.ended.connect(lambda question, error: ended.append((question, error)))
    work.start(3)
    assert work.is_working
    qtbot.waitUntil(lambda: bool(ended))
    assert came == [(3, 0), (3, 1), (3, 2)]
    assert ended == [(3, None)]
    assert threading.get_ident() not in threads
    assert not work.is_working


def test_a_new_question_stops_the_one_under_way_which_tells_no_more(qtbot: QtBot, owner):
    gate, counted = threading.Event(), []

    def gated(name: str) -> Iterator[str]:
        for number in range(50):
            gate.wait(PATIENCE_MS / 1000)
            counted.append((name, number))
            yield f"{name} {number}"

    work, came, ended = Stepwise(gated, owner), [], []
    work.came.connect(lambda _, item: came.append(item))
    work.ended.connect(lambda question, _: ended.append(question))
    work.start("first")
    work.start("second")
    gate.set()
    qtbot.waitUntil(lambda: bool(ended))
    assert ended == ["second"]
    assert [item.split()[0] for item in came] == ["second"] * 50
    assert sum(name == "first" for name, _ in counted) <= 1


def test_what_is_stopped_ends_without_a_word(qtbot: QtBot, owner):
    def endless(_: None) -> Iterator[int]:
        while True:
            time.sleep(0.001)  # or what is told would come faster than it is heard
            yield 1

    work, came, ended = Stepwise(endless, owner), [], []
    work.came.connect(lambda *_: came.append(True))
    work.ended.connect(lambda *_: ended.append(True))
    work.start(None)
    qtbot.waitUntil(lambda: bool(came))
    work.close()
    QApplication.processEvents()  # whatever was told is heard
    assert not ended
    assert not work.is_working


def test_an_error_comes_with_the_end(qtbot: QtBot, owner):
    def breaking(_: None) -> Iterator[int]:
        yield 1
        raise KeyError("gone")

    work = Stepwise(breaking, owner)
    with qtbot.waitSignal(work.ended) as ended:
        work.start(None)
    assert isinstance(ended.args[1], KeyError)
