"""Steps to be ticked off."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.fill.steps import Step, StepList

READY, POUR = Step(1, "make ready", "1 make ready"), Step(2, "pour 100 mL", "2 pour 100 mL")
MORE = Step(2, "pour 200 mL", "2 pour 200 mL")
LONG = Step(3, "run the pump in short bursts until no more air comes and the level stands still " * 4, "3 run")


@pytest.fixture
def steps(qtbot: QtBot) -> StepList:
    made = StepList("steps")
    qtbot.addWidget(made)
    made.resize(320, 100)
    made.show_steps([READY, POUR, LONG], ())
    with qtbot.waitExposed(made):
        made.show()
    return made


def state(steps: StepList) -> list[bool]:
    return [steps.item(row).checkState() == Qt.CheckState.Checked for row in range(steps.count())]


def test_space_ticks_the_step_on_which_the_keyboard_is_and_tells_its_key(steps: StepList):
    told: list[tuple[str, bool]] = []
    steps.ticked.connect(lambda *each: told.append(each))
    steps.setFocus()
    QTest.keyClick(steps, Qt.Key.Key_Home)
    QTest.keyClick(steps, Qt.Key.Key_Space)
    assert state(steps) == [True, False, False]
    steps.show_done({READY.key})
    QTest.keyClick(steps, Qt.Key.Key_Space)
    assert told == [(READY.key, True), (READY.key, False)]


def test_a_tick_stays_with_what_it_was_set_for_and_showing_ticks_tells_nobody(steps: StepList):
    told: list[str] = []
    steps.ticked.connect(lambda key, _: told.append(key))
    done = (READY.key, POUR.key)
    steps.show_steps([READY, MORE, LONG], done)
    assert state(steps) == [True, False, False]
    steps.show_steps([READY, POUR, LONG], done)
    assert state(steps) == [True, True, False]
    assert steps.done == 2
    steps.show_done(())
    assert state(steps) == [False, False, False]
    assert told == []


def test_all_words_of_a_step_are_seen_and_the_list_needs_no_scrolling(steps: StepList):
    lines = [steps.item(row).sizeHint().height() / QFontMetrics(steps.font()).lineSpacing() for row in range(3)]
    assert lines[2] > 6
    assert lines[1] < 2.5
    narrow = steps.height()
    steps.resize(640, steps.height())
    assert steps.height() < narrow
    assert steps.visualItemRect(steps.item(2)).bottom() <= steps.viewport().height()


def test_choosing_a_step_tells_its_number_and_being_led_to_one_does_not(steps: StepList):
    told: list[int] = []
    steps.step_chosen.connect(told.append)
    steps.choose(2)
    assert steps.currentRow() == 1
    assert told == []
    QTest.mouseClick(steps.viewport(), Qt.MouseButton.LeftButton, pos=steps.visualItemRect(steps.item(2)).center())
    assert told == [3]
