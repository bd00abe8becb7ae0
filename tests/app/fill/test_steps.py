"""Steps to be ticked off."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.fill.steps import Step, StepList

READY, POUR, MORE = Step(1, "make ready"), Step(2, "pour 100 mL"), Step(2, "pour 200 mL")
LONG = Step(3, "run the pump in short bursts until no more air comes and the level stands still " * 4)


@pytest.fixture
def steps(qtbot: QtBot) -> StepList:
    made = StepList("steps")
    qtbot.addWidget(made)
    made.resize(320, 100)
    made.show_steps([READY, POUR, LONG])
    made.show()
    qtbot.waitExposed(made)
    return made


def state(steps: StepList) -> list[bool]:
    return [steps.item(row).checkState() == Qt.CheckState.Checked for row in range(steps.count())]


def test_space_ticks_the_step_on_which_the_keyboard_is(steps: StepList):
    steps.setFocus()
    QTest.keyClick(steps, Qt.Key.Key_Home)
    QTest.keyClick(steps, Qt.Key.Key_Space)
    assert state(steps) == [True, False, False]
    QTest.keyClick(steps, Qt.Key.Key_Space)
    assert steps.done == 0


def test_a_tick_stays_with_what_it_was_set_for(steps: StepList):
    for row in range(2):
        steps.item(row).setCheckState(Qt.CheckState.Checked)
    steps.show_steps([READY, MORE, LONG])
    assert state(steps) == [True, False, False]
    steps.show_steps([READY, POUR, LONG])
    assert state(steps) == [True, True, False]


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
