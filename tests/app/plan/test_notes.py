"""Notes, measuring and layers, with real mouse and key events."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.plan.noting import NoteLine
from loopsim.build import Placement, edits
from loopsim.parts import Fan, Supply
from tests.app.plan.conftest import ALT, NONE, SHIFT


def open_lines(plan):
    return [line for line in plan.viewport().findChildren(NoteLine) if line.isVisible()]


def write(plan, text, key=Qt.Key.Key_Return):
    (line,) = open_lines(plan)
    QTest.keyClicks(line, text)
    QTest.keyClick(line, key)
    QApplication.processEvents()


def test_n_and_a_click_write_a_note_where_it_was_clicked(document, plan, mouse, build):
    QTest.keyClick(plan, Qt.Key.Key_N)
    mouse.click(700, 150)
    write(plan, "keep clear of the fan")
    (note,) = document.layout.notes
    assert (note.text, note.x_mm, note.y_mm, note.to_x_mm) == ("keep clear of the fan", 700, 150, None)
    assert document.history.undoText() == "Write note"
    document.history.undo()
    assert document.build is build


def test_a_note_pulled_out_of_something_points_to_it(document, plan, mouse):
    QTest.keyClick(plan, Qt.Key.Key_N)
    mouse.drag((600, 300), (750, 200))
    write(plan, "hot")
    (note,) = document.layout.notes
    assert (note.to_x_mm, note.to_y_mm) == pytest.approx((600, 300), abs=1)
    assert (note.x_mm, note.y_mm) == (750, 200)


def test_esc_drops_a_note_that_is_being_written(document, plan, mouse, build):
    QTest.keyClick(plan, Qt.Key.Key_N)
    mouse.click(700, 150)
    write(plan, "nothing", Qt.Key.Key_Escape)
    assert document.build is build
    assert open_lines(plan) == []


def test_a_note_is_moved_rewritten_and_deleted(document, plan, mouse):
    QTest.keyClick(plan, Qt.Key.Key_N)
    mouse.click(700, 150)
    write(plan, "cable way")
    mouse.drag((710, 143), (760, 193))
    assert (document.layout.notes[0].x_mm, document.layout.notes[0].y_mm) == (750, 200)
    mouse.double_click(760, 193)
    write(plan, " here")
    assert document.layout.notes[0].text == "cable way here"
    mouse.click(760, 193)
    QTest.keyClick(plan, Qt.Key.Key_Delete)
    assert document.layout.notes == ()


def test_a_note_is_written_found_moved_rewritten_and_deleted_by_keys_alone(document, plan):
    QTest.keyClick(plan, Qt.Key.Key_N)
    QTest.keyClick(plan, Qt.Key.Key_Right)
    QTest.keyClick(plan, Qt.Key.Key_Return)
    write(plan, "cable way")
    (note,) = document.layout.notes
    document.select(())
    plan.select_note("")
    QTest.keyClick(plan, Qt.Key.Key_PageUp)  # notes come last
    assert plan.selected_note == note.id
    for key, modifier in ((Qt.Key.Key_Right, NONE), (Qt.Key.Key_Up, SHIFT)):
        QTest.keyClick(plan, key, modifier)
    assert (document.layout.notes[0].x_mm, document.layout.notes[0].y_mm) == (note.x_mm + 1, note.y_mm + 10)
    QTest.keyClick(plan, Qt.Key.Key_Return)
    write(plan, " here")
    assert document.layout.notes[0].text == "cable way here"
    QTest.keyClick(plan, Qt.Key.Key_PageDown)
    assert (plan.selected_note, document.selection) == ("", {"vessel"})
    QTest.keyClick(plan, Qt.Key.Key_PageUp)
    QTest.keyClick(plan, Qt.Key.Key_Delete)
    assert document.layout.notes == ()


def test_keys_in_a_note_are_letters_and_no_commands(document, plan, mouse):
    mouse.click(600, 300)
    QTest.keyClick(plan, Qt.Key.Key_N)
    mouse.click(700, 150)
    write(plan, "rxlk")
    assert document.layout.placement("block").rotation_deg == 0
    assert document.layout.notes[0].text == "rxlk"


def test_m_measures_from_click_to_click_and_changes_nothing(document, plan, mouse, build):
    QTest.keyClick(plan, Qt.Key.Key_M)
    mouse.click(640, 300)  # the block's outlet
    mouse.click(380, 100)  # the pump's
    assert plan.gesture.distance_mm == pytest.approx((260**2 + 200**2) ** 0.5)
    assert plan.gesture.words() == "328 mm · 260 across, 200 along"
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert plan.gesture is None
    assert document.build is build


def test_a_third_click_measures_anew_and_alt_measures_freely(plan, mouse):
    QTest.keyClick(plan, Qt.Key.Key_M)
    mouse.click(640, 300)
    mouse.click(380, 100)
    mouse.click(700, 450)
    mouse.click(733, 450, ALT)
    assert plan.gesture.distance_mm == pytest.approx(33, abs=1.5)


def test_measuring_goes_from_port_to_port_without_a_mouse(plan):
    QTest.keyClick(plan, Qt.Key.Key_M)
    QTest.keyClick(plan, Qt.Key.Key_PageDown)
    QTest.keyClick(plan, Qt.Key.Key_Return)
    QTest.keyClick(plan, Qt.Key.Key_PageDown)
    QTest.keyClick(plan, Qt.Key.Key_Return)
    assert plan.gesture.distance_mm > 0


def test_a_dimmed_layer_is_out_of_the_hands_way(document, plan, mouse):
    for part, x in ((Fan(id="fan", name="Fan"), 700), (Supply(id="supply", name="Supply"), 800)):
        document.do(
            edits.add_part(document.build, document.layout.name, part, Placement(part=part.id, x_mm=x, y_mm=450))
        )
    for layer, part, place in (
        ("air", "fan", (700, 450)),
        ("power", "supply", (800, 450)),
        ("liquid", "pump", (350, 100)),
    ):
        plan.dim(layer, True)
        assert plan.scene().parts[part].opacity() < 0.5
        document.select(())
        mouse.click(*place)
        assert document.selection == frozenset()
        plan.dim(layer, False)
        mouse.click(*place)
        assert document.selection == {part}


def test_runs_belong_to_the_liquid(document, plan, mouse):
    plan.dim("liquid", True)
    mouse.click(450, 200)
    assert document.selection == frozenset()


def test_dimmed_notes_cannot_be_taken(document, plan, mouse):
    QTest.keyClick(plan, Qt.Key.Key_N)
    mouse.click(700, 150)
    write(plan, "cable way")
    plan.dim("notes", True)
    mouse.drag((710, 143), (760, 193))
    assert document.layout.notes[0].x_mm == 700
