"""Keys are read in the menus and on one sheet; colours of the plan are chosen in the menu, in the corner, or by key."""

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QAction, QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu, QTextBrowser

from app.plan.ground_gestures import DrawSpace
from app.plan.tint import Quantity
from app.window import MainWindow


def actions(menu: QMenu) -> list[QAction]:
    below = [each for action in menu.actions() for each in (actions(action.menu()) if action.menu() else [action])]
    return [each for each in below if not each.isSeparator()]


def all_actions(window: MainWindow) -> list[QAction]:
    return [each for action in window.menuBar().actions() for each in actions(action.menu())]


def named(window: MainWindow, words: str) -> QAction:
    return next(each for each in all_actions(window) if each.text().replace("&", "") == words)


def test_a_question_mark_in_the_plan_brings_up_every_key_of_the_menus(window: MainWindow, qtbot):
    window.activateWindow()
    window.plan.setFocus()
    QTest.keyClick(window.plan, Qt.Key.Key_Question)
    qtbot.waitUntil(lambda: window.findChild(QTextBrowser) is not None)
    text = window.findChild(QTextBrowser).toPlainText()
    for action in all_actions(window):
        assert action.shortcut().toString() in text, action.text()


def test_no_two_commands_of_the_menus_share_a_key(window: MainWindow):
    keys = [each.toString() for action in all_actions(window) for each in action.shortcuts()]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize(
    ("words", "quantity"),
    [("Temperature", Quantity.TEMPERATURE), ("Pressure", Quantity.PRESSURE), ("Velocity", Quantity.VELOCITY)],
)
def test_colours_are_chosen_in_the_menu_too(window: MainWindow, words: str, quantity: Quantity):
    named(window, words).trigger()
    assert window.plan.legend.quantity is quantity
    named(window, "As the bench in view asks").trigger()
    assert window.plan.legend.choice is None


def test_a_key_steps_through_the_colours_and_the_menu_ticks_what_holds(window: MainWindow):
    window.plan.setFocus()
    for wanted in (*Quantity, None):
        QTest.keyClick(window.plan, Qt.Key.Key_C)
        assert window.plan.legend.choice is wanted
        ticked = [each.data() for each in actions(next(each.menu() for each in window.menuBar().actions()
                  if each.text() == "&View")) if each.isCheckable() and each.isChecked()]  # fmt: skip
        assert wanted in ticked


def test_a_letter_chooses_in_the_open_menu_though_it_is_a_key_of_the_plan(window: MainWindow):
    """R in the plan turns the selected part; in the Room menu it reserves a space."""
    document = window.document
    document.select({"pump_a"})
    window.plan.setFocus()
    menu = next(each.menu() for each in window.menuBar().actions() if each.text() == "&Room")
    menu.popup(window.mapToGlobal(window.rect().topLeft()))
    QTest.keyClick(menu, Qt.Key.Key_R)
    assert isinstance(window.plan.gesture, DrawSpace)
    assert not document.history.canUndo()


def menu_at(window: MainWindow, x_mm: float, y_mm: float) -> set[str]:
    """Words of the menu that a right click brings up at a place of the plan."""
    plan = window.plan
    at = plan.to_pixel(QPointF(x_mm, -y_mm)).toPoint()
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, plan.viewport().mapToGlobal(at))
    QApplication.sendEvent(plan.viewport(), event)
    words = {action.text().replace("&", "") for action in plan.menu.actions()}
    plan.menu.hide()
    return words


def test_a_right_click_offers_what_can_be_done_there_and_nothing_else(window: MainWindow):
    pump = window.document.layout.placement("pump_a")
    on_part = menu_at(window, pump.x_mm, pump.y_mm)
    assert window.document.selection == {"pump_a"}
    assert {"Rotate", "Lock or unlock", "Duplicate", "Keep on the shelf", "About the selected part"} <= on_part
    assert not {"Insert a corner", "Measure", "Paste"} & on_part
    on_run = menu_at(window, 400.0, 20.0)
    assert window.document.selection <= window.document.layout.runs_by_id.keys()
    assert {"Insert a corner", "Propose another way", "Delete"} <= on_run
    assert not {"Rotate", "Group", "Measure"} & on_run
    on_paper = menu_at(window, 100.0, -60.0)
    assert window.document.selection == frozenset()
    assert {"Paste", "Draw a tube run", "Write a note"} <= on_paper
    assert not {"Rotate", "Delete"} & on_paper


def test_a_layer_is_dimmed_and_shown_again_from_the_menu(window: MainWindow):
    """Plan, Dim a layer, Air: by keys alone."""
    plan_menu = next(each.menu() for each in window.menuBar().actions() if each.text() == "&Plan")
    layers = next(each.menu() for each in plan_menu.actions() if each.menu() and "layer" in each.text())
    fan, pump = (window.plan.scene().parts[each] for each in ("fan_1", "pump_a"))
    for opacity in (0.25, 1.0):
        layers.popup(window.mapToGlobal(window.rect().topLeft()))
        for key in (Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Return):
            QTest.keyClick(layers, key)
        assert fan.opacity() == opacity
        assert pump.opacity() == 1.0
