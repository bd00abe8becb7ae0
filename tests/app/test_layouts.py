"""Layouts as tabs, with real mouse and keys."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.layout_tabs import LayoutTabs
from app.window import MainWindow

LEFT = Qt.MouseButton.LeftButton
SAMPLE = ["two pumps in series", "two pumps side by side", "one large pump"]


@pytest.fixture
def tabs(window: MainWindow) -> LayoutTabs:
    return window.header.layouts


def middle(tabs: LayoutTabs, number: int) -> QPoint:
    return tabs.bar.tabRect(number).center()


def layouts(window: MainWindow) -> list[str]:
    return [layout.name for layout in window.document.build.layouts]


def type_name(tabs: LayoutTabs, name: str, key: Qt.Key = Qt.Key.Key_Return) -> None:
    QTest.keyClicks(tabs.line, name)
    QTest.keyClick(tabs.line, key)


def test_a_copy_of_the_layout_in_view_is_made_named_and_taken_back(window: MainWindow, tabs: LayoutTabs):
    before = window.document.build
    QTest.keyClick(window, Qt.Key.Key_L, Qt.KeyboardModifier.ControlModifier)
    assert window.document.layout.name == "two pumps in series copy"
    assert tabs.line.isVisible()
    type_name(tabs, "bent twice")
    assert layouts(window) == [SAMPLE[0], "bent twice", *SAMPLE[1:]] == tabs.names
    assert window.document.layout.name == "bent twice"
    assert window.document.layout.placed == before.layouts[0].placed
    window.document.history.undo()
    assert window.document.layout.name == "two pumps in series copy"
    window.document.history.undo()
    assert window.document.build is before
    assert tabs.names == SAMPLE


def test_an_empty_layout_is_added_from_the_button_beside_the_tabs(window: MainWindow, tabs: LayoutTabs):
    (empty,) = [each for each in tabs.another.menu().actions() if "Empty" in each.text()]
    empty.trigger()
    type_name(tabs, "a new thought")
    assert layouts(window) == [*SAMPLE, "a new thought"]
    assert window.document.layout.placed == ()


def test_a_double_click_renames_and_escape_leaves_the_name(window: MainWindow, tabs: LayoutTabs):
    QTest.mouseClick(tabs.bar, LEFT, pos=middle(tabs, 1))
    QTest.mouseDClick(tabs.bar, LEFT, pos=middle(tabs, 1))
    type_name(tabs, "sidelong", Qt.Key.Key_Escape)
    assert not tabs.line.isVisible()
    assert layouts(window) == SAMPLE
    QTest.mouseDClick(tabs.bar, LEFT, pos=middle(tabs, 1))
    type_name(tabs, "sidelong")
    assert layouts(window) == [SAMPLE[0], "sidelong", SAMPLE[2]]
    assert window.document.layout.name == "sidelong"
    assert window.document.history.undoText() == "Rename layout two pumps side by side"


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Escape])
def test_after_a_name_is_typed_the_keyboard_is_back_on_the_plan(window: MainWindow, tabs: LayoutTabs, key, qtbot):
    window.plan.setFocus()
    qtbot.waitUntil(window.plan.hasFocus)
    QTest.keyClick(window.plan, Qt.Key.Key_F2)
    type_name(tabs, "another name", key)
    assert window.plan.hasFocus()


def test_a_name_that_is_taken_is_refused_in_words(window: MainWindow, tabs: LayoutTabs):
    QTest.keyClick(window, Qt.Key.Key_F2)
    type_name(tabs, SAMPLE[2])
    assert SAMPLE[2] in window.message.text
    assert layouts(window) == SAMPLE == tabs.names


def test_a_layout_is_removed_and_undo_brings_it_back_into_view(window: MainWindow, tabs: LayoutTabs):
    window.document.view_layout(SAMPLE[2])
    tabs.remove()
    assert layouts(window) == SAMPLE[:2]
    assert window.document.layout.name == SAMPLE[1]
    window.document.history.undo()
    assert layouts(window) == SAMPLE
    assert window.document.layout.name == SAMPLE[2]


def test_the_only_layout_stays(window: MainWindow, tabs: LayoutTabs):
    for _ in range(3):
        tabs.remove()
    assert len(layouts(window)) == 1
    assert "the only one" in window.message.text


def test_a_tab_that_is_dragged_puts_the_layouts_in_order_as_one_step(window: MainWindow, tabs: LayoutTabs):
    def move(to: QPoint) -> None:
        at = QPointF(to)
        event = QMouseEvent(
            QMouseEvent.Type.MouseMove, at, tabs.bar.mapToGlobal(at), LEFT, LEFT, Qt.KeyboardModifier.NoModifier
        )
        QApplication.sendEvent(tabs.bar, event)

    start, end = middle(tabs, 0), middle(tabs, 2) + QPoint(40, 0)
    QTest.mousePress(tabs.bar, LEFT, pos=start)
    for step in range(1, 21):
        move(start + (end - start) * step / 20)
    QTest.mouseRelease(tabs.bar, LEFT, pos=end)
    assert layouts(window) == [*SAMPLE[1:], SAMPLE[0]]
    assert window.document.layout.name == SAMPLE[0]
    assert window.document.history.count() == 1
    window.document.history.undo()
    assert tabs.names == SAMPLE


def test_keys_move_between_layouts_and_move_them(window: MainWindow, qtbot: QtBot):
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    QTest.keyClick(window, Qt.Key.Key_PageDown, Qt.KeyboardModifier.ControlModifier)
    assert window.document.layout.name == SAMPLE[1]
    QTest.keyClick(window, Qt.Key.Key_PageUp, both)
    assert layouts(window) == [SAMPLE[1], SAMPLE[0], SAMPLE[2]]
    qtbot.wait(0)
