"""Placing parts and drawing tube runs, with real mouse and key events."""

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragLeaveEvent, QDragMoveEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.document import Document
from app.drawer import Drawer
from app.offer_button import PART_MIME, mime_of, part_in
from app.plan import PlanView
from app.shelf import OpenShelf
from app.theme import LIGHT
from loopsim.build import Build, Layout, Placement, edits
from loopsim.parts import KINDS, Pump, Reservoir
from tests.app.plan.conftest import LEFT, NONE, SHIFT, Mouse

# Ports of the machine in conftest: block.outlet at (640, 300), the radiator's both at its left end (200, 450 +- 15),
# vessel.inlet at (70, 100).
BLOCK_OUTLET, RADIATOR_A, VESSEL_INLET, PUMP_INLET = (640, 300), (200, 465), (70, 100), (320, 100)


@pytest.fixture
def drawer(plan, qtbot, tmp_path):
    column = Drawer(OpenShelf(tmp_path / "shelf.json"), LIGHT)
    qtbot.addWidget(column)
    column.part_chosen.connect(plan.place)
    column.run_chosen.connect(plan.draw_run)
    column.show()
    return column


def specimen(kind):
    return KINDS[kind](id=kind, name=KINDS[kind].title)


def corners(document, run_id):
    return [(corner.x_mm, corner.y_mm, corner.height_mm) for corner in document.layout.run(run_id).corners]


def test_a_kind_clicked_in_the_drawer_is_placed_by_a_click_in_the_plan(document, drawer, mouse):
    QTest.mouseClick(drawer.buttons["pump"], LEFT)
    mouse.move(700, 120)
    mouse.click(752, 118)
    placement = document.layout.placement("pump_2")
    assert (placement.x_mm, placement.y_mm) == (750, 120)
    assert document.build.part("pump_2").name == "Pump 2"
    assert document.selection == {"pump_2"}
    assert document.history.undoText() == "Place Pump 2"


def test_every_kind_can_be_placed(document, plan, mouse):
    for number, kind in enumerate(KINDS):
        plan.place(specimen(kind))
        mouse.click(760, 50 + 60 * number)
    assert len(document.layout.placed) == 4 + len(KINDS)


def test_esc_sends_the_ghost_away_and_leaves_no_trace(document, drawer, plan, mouse, build):
    QTest.mouseClick(drawer.buttons["radiator"], LEFT)
    mouse.move(700, 200)
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    mouse.click(700, 400)
    assert document.build is build
    assert document.history.count() == 0


def test_r_turns_the_ghost(document, plan, mouse):
    plan.place(specimen("radiator"))
    mouse.move(800, 200)
    QTest.keyClick(plan, Qt.Key.Key_R)
    mouse.click(800, 250)
    assert document.layout.placement("radiator").rotation_deg == 90


def test_a_part_is_placed_without_a_mouse(document, drawer, plan):
    drawer.buttons["pump"].setFocus()
    QTest.keyClick(drawer.buttons["pump"], Qt.Key.Key_Return)
    before = plan.hand.at.mm
    QTest.keyClick(plan, Qt.Key.Key_Right, SHIFT)
    QTest.keyClick(plan, Qt.Key.Key_Return)
    placement = document.layout.placement("pump_2")
    assert placement.x_mm == pytest.approx(before[0] + 50, abs=2.5)


def test_a_kind_dropped_from_the_drawer_is_placed_where_it_was_dropped(document, plan, mouse):
    _drop(plan, "block", mouse.pixel(751, 149))
    placement = document.layout.placement("block_2")
    assert (placement.x_mm, placement.y_mm) == (750, 150)


def test_a_kind_dragged_out_of_the_plan_again_leaves_no_trace(document, plan, mouse, build):
    data = mime_of(specimen("block"))
    _enter(plan, data, mouse.pixel(700, 100))
    assert plan.hand.gesture is not None
    QApplication.sendEvent(plan.viewport(), QDragLeaveEvent())
    assert plan.hand.gesture is None
    assert document.build is build


def test_the_plan_takes_nothing_else_that_is_dragged_over_it():
    data = mime_of(specimen("block"))
    assert part_in(data) == specimen("block")
    for text in (b"no part", b'{"kind": "no such kind"}', b"\xff"):
        data.setData(PART_MIME, text)
        assert part_in(data) is None
    assert part_in(QMimeData()) is None


def test_a_run_goes_from_port_to_port_over_its_corners(document, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 305)
    mouse.click(705, 520)
    mouse.click(150, 515)
    mouse.click(*RADIATOR_A)
    run = document.layout.run("run")
    assert (run.start, run.end) == ("block.outlet", "rad.a")
    assert [corner[:2] for corner in corners(document, "run")] == [(700, 300), (700, 520), (150, 520), (150, 465)]
    assert document.history.count() == 1
    assert document.selection == {"run"}
    assert document.history.undoText() == "Draw tube run Block to Radiator"


def test_corners_lie_at_the_start_port_and_the_last_one_at_the_end_port(document, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    mouse.click(700, 520)
    mouse.click(150, 520)
    mouse.click(*RADIATOR_A)
    assert [corner[2] for corner in corners(document, "run")] == [18, 18, 18, 27]


def test_a_click_that_is_not_in_line_with_the_end_port_is_led_there_round_a_corner(document, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(740, 300)
    mouse.click(740, 520)
    mouse.click(*RADIATOR_A)
    assert [corner[:2] for corner in corners(document, "run")] == [(740, 300), (740, 465)]


def test_a_press_on_a_port_and_a_release_on_another_draws_a_run(document, mouse):
    mouse.drag(BLOCK_OUTLET, (700, 350), RADIATOR_A)
    assert document.layout.run("run").end == "rad.a"


def test_esc_while_drawing_leaves_no_trace(document, plan, mouse, build):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert plan.hand.gesture is None
    mouse.click(*RADIATOR_A)
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert document.build is build
    assert document.history.count() == 0


def test_backspace_takes_the_last_corner_back(document, plan, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    mouse.click(700, 400)
    QTest.keyClick(plan, Qt.Key.Key_Backspace)
    assert plan.hand.gesture.draft.points == [(700, 300)]
    assert document.history.count() == 0


def test_the_length_is_shown_while_drawing(plan, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.move(740, 300)
    assert plan.hand.gesture.words() == "100 mm · 18 mm up"


def test_a_port_that_has_a_run_already_takes_no_second_one(document, plan, mouse, qtbot, build):
    mouse.click(*BLOCK_OUTLET)
    with qtbot.waitSignal(plan.message) as said:
        mouse.click(*PUMP_INLET)
    assert said.args[0].startswith("Port inlet of Pump A holds a tube run already")
    assert document.build is build


def test_drawing_from_the_drawer_waits_for_a_port(document, drawer, plan, mouse):
    QTest.mouseClick(drawer.buttons["tube_run"], LEFT)
    mouse.click(800, 500)
    assert not plan.hand.gesture.draft.begin
    mouse.click(*BLOCK_OUTLET)
    mouse.click(*VESSEL_INLET)
    assert document.layout.run("run").end == "vessel.inlet"


def test_a_run_is_drawn_without_a_mouse(document, plan):
    for key in (Qt.Key.Key_T, Qt.Key.Key_PageDown, Qt.Key.Key_Return, Qt.Key.Key_PageDown, Qt.Key.Key_Return):
        QTest.keyClick(plan, key)
    run = document.layout.run("run")
    assert (run.start, run.end) == ("vessel.inlet", "block.outlet")


def test_the_first_run_of_a_build_brings_a_tube_in_the_same_step(qtbot):
    parts = (Reservoir(id="vessel", name="Vessel"), Pump(id="pump", name="Pump"))
    placed = (Placement(part="vessel", x_mm=150, y_mm=200), Placement(part="pump", x_mm=400, y_mm=200))
    document = Document(Build(name="Two", parts=parts, layouts=(Layout(name="only", placed=placed),)))
    plan = PlanView(document, LIGHT)
    qtbot.addWidget(plan)
    plan.resize(800, 600)
    plan.show()
    mouse = Mouse(plan)
    mouse.click(230, 200)
    mouse.click(370, 200)
    assert document.layout.run("run").tube == "tube"
    assert document.history.count() == 1
    document.history.undo()
    assert document.build.tubes == ()


def test_a_port_is_open_again_when_the_part_at_the_other_end_is_gone(plan, mouse):
    mouse.click(600, 300)
    QTest.keyClick(plan, Qt.Key.Key_Delete)
    assert "outlet" in plan.scene().parts["pump"].open_ports


def _enter(plan, data, pixel: QPoint) -> None:
    event = QDragEnterEvent(pixel, Qt.DropAction.CopyAction, data, LEFT, NONE)
    QApplication.sendEvent(plan.viewport(), event)
    assert event.isAccepted()


def _drop(plan, kind: str, pixel: QPoint) -> None:
    """What a window system sends when something is dragged over a widget and dropped."""
    data = mime_of(specimen(kind))
    _enter(plan, data, pixel - QPoint(50, 0))
    QApplication.sendEvent(plan.viewport(), QDragMoveEvent(pixel, Qt.DropAction.CopyAction, data, LEFT, NONE))
    QApplication.sendEvent(plan.viewport(), QDropEvent(QPointF(pixel), Qt.DropAction.CopyAction, data, LEFT, NONE))


def test_an_edit_made_elsewhere_while_drawing_lets_go_of_the_run(document, plan, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    document.do(edits.rotate(document.build, document.layout.name, "rad", 90.0))
    assert plan.gesture is None
    assert document.layout.placement("rad").rotation_deg == 90


def test_keys_that_edit_do_nothing_while_a_run_is_drawn(document, plan, mouse, build):
    mouse.click(600, 300)
    mouse.click(*BLOCK_OUTLET)
    for key in (Qt.Key.Key_Delete, Qt.Key.Key_R, Qt.Key.Key_T):
        QTest.keyClick(plan, key)
    assert plan.gesture.corners == []
    assert document.build is build
