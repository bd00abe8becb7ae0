"""Copying, arranging, locking, grouping and turning, with real mouse and key events."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu

from app.document import Document
from app.menus import fill_plan_commands
from app.plan import PlanView
from app.plan.handles import turn_handle
from app.plan_menu import fill_plan_menu
from app.theme import LIGHT
from loopsim.build import Build, from_text
from loopsim.parts import Fan
from tests.app.plan.conftest import ALT, SHIFT

CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def menu(plan, qtbot):
    menus = QMenu(), QMenu()
    for each in menus:
        qtbot.addWidget(each)
    fill_plan_commands(menus[0], plan)
    fill_plan_menu(menus[1], plan)
    return menus


@pytest.fixture(autouse=True)
def clean_clipboard(qapp):  # noqa: ARG001
    QGuiApplication.clipboard().clear()


def stands(document, part_id):
    placement = document.layout.placement(part_id)
    return placement.x_mm, placement.y_mm


def choose(menu, text):
    for each in (*menu, *(below for one in menu for below in one.findChildren(QMenu))):
        for action in each.actions():
            if action.text().replace("&", "") == text:
                action.trigger()
                return
    raise AssertionError(f"no command {text}")


@pytest.mark.usefixtures("menu")
def test_copied_parts_are_pasted_where_the_pointer_is_with_their_run(document, plan, mouse, build):
    mouse.click(350, 100)
    mouse.click(600, 300, SHIFT)
    QTest.keyClick(plan, Qt.Key.Key_C, CTRL)
    assert from_text(QGuiApplication.clipboard().text()).layouts[0].runs[0].id == "rise"
    mouse.move(700, 450)
    QTest.keyClick(plan, Qt.Key.Key_V, CTRL)
    assert {"pump_2", "block_2"} <= set(document.layout.placements)
    assert document.selection == {"pump_2", "block_2", "run"}
    assert document.history.undoText() == "Paste 2 parts"
    document.history.undo()
    assert document.build is build


@pytest.mark.usefixtures("menu")
def test_parts_are_pasted_into_another_build(plan, mouse, qtbot):
    mouse.click(350, 100)
    QTest.keyClick(plan, Qt.Key.Key_C, CTRL)
    other, edit_menu = PlanView(Document(Build(name="other")), LIGHT), QMenu()
    for each in (other, edit_menu):
        qtbot.addWidget(each)
    fill_plan_commands(edit_menu, other)
    other.show()
    other.activateWindow()
    other.setFocus()
    qtbot.waitUntil(other.hasFocus)
    QTest.keyClick(other, Qt.Key.Key_V, CTRL)
    assert other.document.build.part("pump").name == "Pump A"
    assert other.document.selection == {"pump"}


@pytest.mark.usefixtures("menu")
def test_cut_takes_the_parts_away_in_one_step(document, plan, mouse, build):
    mouse.click(350, 100)
    QTest.keyClick(plan, Qt.Key.Key_X, CTRL)
    assert "pump" not in document.layout.placements
    document.history.undo()
    assert document.build is build


def test_pasting_what_is_no_build_is_said_and_changes_nothing(document, plan, build, qtbot):
    QGuiApplication.clipboard().setText("nothing of ours")
    with qtbot.waitSignal(plan.message) as said:
        plan.arrange.paste()
    assert "no parts of a build" in said.args[0]
    assert document.build is build


@pytest.mark.usefixtures("menu")
def test_a_duplicate_lies_beside_its_original_and_is_selected(document, plan, mouse):
    mouse.click(350, 100)
    QTest.keyClick(plan, Qt.Key.Key_D, CTRL)
    assert stands(document, "pump_2") == (370, 80)
    assert document.selection == {"pump_2"}


def test_x_mirrors_and_shift_x_mirrors_the_other_way(document, plan, mouse):
    mouse.click(600, 300)
    QTest.keyClick(plan, Qt.Key.Key_X)
    placement = document.layout.placement("block")
    assert placement.mirrored
    assert placement.rotation_deg == 180
    QTest.keyClick(plan, Qt.Key.Key_X, SHIFT)
    assert not document.layout.placement("block").mirrored


def test_l_tips_the_part_and_its_outline_and_ports_follow(document, plan, mouse):
    mouse.click(600, 300)
    before = plan.scene().parts["block"].outline().boundingRect().size()
    QTest.keyClick(plan, Qt.Key.Key_L)
    block = document.build.part("block")
    after = plan.scene().parts["block"].outline().boundingRect().size()
    assert document.layout.placement("block").lie == "on edge"
    assert before.height() == pytest.approx(block.width_mm)
    assert after.height() == pytest.approx(block.height_mm)


def test_a_locked_part_is_not_dragged_nudged_or_turned(document, plan, mouse, qtbot):
    mouse.click(350, 100)
    QTest.keyClick(plan, Qt.Key.Key_K)
    with qtbot.waitSignal(plan.message) as said:
        mouse.drag((350, 100), (430, 160))
    assert "locked in place" in said.args[0]
    QTest.keyClick(plan, Qt.Key.Key_Right)
    QTest.keyClick(plan, Qt.Key.Key_R)
    assert stands(document, "pump") == (350, 100)
    assert document.history.count() == 1
    QTest.keyClick(plan, Qt.Key.Key_K)
    QTest.keyClick(plan, Qt.Key.Key_Right)
    assert stands(document, "pump") == (351, 100)


def test_a_group_is_selected_and_moved_as_one_until_it_is_undone(document, plan, mouse):
    mouse.click(350, 100)
    mouse.click(600, 300, SHIFT)
    QTest.keyClick(plan, Qt.Key.Key_G)
    mouse.click(800, 500)
    mouse.click(600, 300)
    assert document.selection == {"pump", "block"}
    mouse.drag((600, 300), (650, 280))
    assert stands(document, "pump") == (400, 80)
    QTest.keyClick(plan, Qt.Key.Key_G, SHIFT)
    mouse.click(650, 280)
    assert document.selection == {"block"}


def test_alt_takes_one_part_out_of_its_group(document, plan, mouse):
    mouse.click(350, 100)
    mouse.click(600, 300, SHIFT)
    QTest.keyClick(plan, Qt.Key.Key_G)
    mouse.click(800, 500)
    mouse.click(600, 300, ALT)
    assert document.selection == {"block"}


def test_the_handle_turns_a_part_freely_and_keeps_to_steps_of_15_degrees(document, plan, mouse, build):
    mouse.click(600, 300)
    handle = turn_handle(plan.scene(), plan.pixel_mm)[1]
    start = (handle.x(), -handle.y())
    mouse.drag(start, (640, 345), (665, 300), release=False)
    assert plan.gesture.words() == "270°"
    QTest.mouseRelease(plan.viewport(), Qt.MouseButton.LeftButton, pos=mouse.pixel(665, 300))
    assert document.layout.placement("block").rotation_deg == 270
    assert document.history.undoText() == "Rotate Block"
    document.history.undo()
    assert document.build is build


def test_alt_frees_the_handle_from_the_steps(document, plan, mouse):
    mouse.click(600, 300)
    handle = turn_handle(plan.scene(), plan.pixel_mm)[1]
    mouse.drag((handle.x(), -handle.y()), (665, 302), modifiers=ALT)
    turned = document.layout.placement("block").rotation_deg
    assert turned % 15 != 0
    assert turned == pytest.approx(271.8, abs=1.5)


def test_esc_gives_the_handle_back(document, plan, mouse, build):
    mouse.click(600, 300)
    handle = turn_handle(plan.scene(), plan.pixel_mm)[1]
    mouse.drag((handle.x(), -handle.y()), (665, 302), release=False)
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert document.build is build


def test_parts_are_aligned_and_spaced_out_from_the_menu(document, menu, mouse):
    mouse.click(150, 100)
    mouse.click(350, 100, SHIFT)
    mouse.click(600, 300, SHIFT)
    choose(menu, "Middles in a row")
    assert len({stands(document, part)[1] for part in ("vessel", "pump", "block")}) == 1
    choose(menu, "From left to right")
    assert document.history.undoText() == "Space out 3 parts along x"


def test_aligning_one_part_says_what_is_needed(plan, menu, mouse, qtbot):
    mouse.click(350, 100)
    with qtbot.waitSignal(plan.message) as said:
        choose(menu, "Left edges")
    assert "select two parts or more" in said.args[0].lower()


def test_p_places_one_more_of_the_last_kind(document, plan, mouse):
    from loopsim.parts import Pump

    plan.place(Pump(id="pump", name="pump"))
    mouse.click(700, 120)
    QTest.keyClick(plan, Qt.Key.Key_P)
    mouse.click(800, 120)
    assert {"pump_2", "pump_3"} <= set(document.layout.placements)


def test_x_and_l_mirror_and_tip_the_ghost(document, plan, mouse):
    from loopsim.parts import Pump

    plan.place(Pump(id="pump", name="pump"))
    QTest.keyClick(plan, Qt.Key.Key_X)
    QTest.keyClick(plan, Qt.Key.Key_L)
    mouse.click(700, 120)
    placement = document.layout.placement("pump_2")
    assert (placement.mirrored, placement.lie) == (True, "on edge")


def test_a_ghost_snaps_into_line_with_a_port_and_says_so(document, plan, mouse):
    from loopsim.parts import Pump

    plan.place(Pump(id="pump", name="pump"))
    mouse.move(800, 303)
    assert "in line with Block, outlet" in plan.gesture.words()  # the nearer of its two ports on that line
    mouse.click(800, 303)
    assert stands(document, "pump_2")[1] == 300


def test_an_edge_snaps_to_an_edge_with_a_line_that_says_so(document, plan, mouse):
    """The left edge of a fan comes to that of the radiator, off the grid, and a line is drawn between both."""
    plan.place(Fan(id="fan", name="Fan", length_mm=25, width_mm=63))
    radiator = document.layout.placement("rad")
    left, y = radiator.x_mm - document.build.part("rad").length_mm / 2, radiator.y_mm - 100
    mouse.move(left + 52, y)
    bare = plan.viewport().grab().toImage()
    mouse.move(left + 13.3, y)
    (guide,) = [each for each in plan.gesture.guides if each.words == "in line with an edge of Radiator"]
    assert guide.words in plan.gesture.words()
    on_line = plan.to_pixel(QPointF(guide.mark.value, -(y + 60))).toPoint()
    seen = plan.viewport().grab().toImage()
    around = [on_line + QPoint(dx, dy) for dx in (-1, 0, 1) for dy in range(-6, 7)]
    assert any(seen.pixelColor(at) != bare.pixelColor(at) for at in around)
    mouse.click(left + 13.3, y)
    placed = document.layout.placement(next(iter(document.selection)))
    assert placed.x_mm - 12.5 == pytest.approx(left)


def test_port_heights_follow_the_lie(document, plan, mouse):
    block = document.build.part("block")
    mouse.click(600, 300)

    def heights():
        return {round(document.build.port_spot(document.layout, f"block.{port}").height_mm, 3) for port in block.ports}

    assert heights() == {block.port_height_mm}
    QTest.keyClick(plan, Qt.Key.Key_L)
    assert heights() == {block.width_mm / 2}  # on edge: its middle line
    QTest.keyClick(plan, Qt.Key.Key_L)
    assert heights() == {0.0, block.length_mm}  # ports up: one at the top, the other at its foot
    QTest.keyClick(plan, Qt.Key.Key_L)
    assert heights() == {block.port_height_mm}
