"""Heights, kinds and places of corners, while a run is drawn and after, with real mouse and key events."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from loopsim.build import Placement, Reserved, edits, ground_edits
from loopsim.parts import Block
from loopsim.studies import findings
from tests.app.plan.conftest import ALT, SHIFT

BLOCK_OUTLET, RADIATOR_A = (640, 300), (200, 465)


def corners(document, run_id):
    return [(corner.x_mm, corner.y_mm, corner.height_mm) for corner in document.layout.run(run_id).corners]


def turns(document, run_id):
    return [corner.turn for corner in document.layout.run(run_id).corners]


def type_keys(plan, text):
    QTest.keyClicks(plan, text)


def test_a_pointer_well_off_both_axes_draws_at_45_degrees(document, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    mouse.click(741, 338)
    mouse.click(740, 520)
    mouse.click(150, 520)
    mouse.click(*RADIATOR_A)
    assert corners(document, "run")[1][:2] == (740, 340)


def test_with_alt_a_run_comes_to_its_port_aslant(document, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    mouse.click(700, 520)
    mouse.click(255, 520)
    mouse.click(*RADIATOR_A, ALT)
    assert corners(document, "run")[-1][:2] == (255, 520)


def test_digits_set_the_height_of_the_corners_to_come(document, plan, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    mouse.move(700, 400)
    type_keys(plan, "45")
    assert "45" in plan.hand.gesture.words()
    mouse.click(700, 520)
    mouse.click(150, 520)
    mouse.click(*RADIATOR_A)
    assert [corner[2] for corner in corners(document, "run")] == [18, 45, 45, 45]


def test_enter_after_a_height_rises_straight_up(document, plan, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    type_keys(plan, "52.5")
    QTest.keyClick(plan, Qt.Key.Key_Return)
    mouse.click(700, 520)
    mouse.click(150, 520)
    mouse.click(*RADIATOR_A)
    assert corners(document, "run")[:3] == [(700, 300, 18), (700, 300, 52.5), (700, 520, 52.5)]


def test_backspace_takes_back_the_last_digit_before_a_corner(document, plan, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    type_keys(plan, "457")
    QTest.keyClick(plan, Qt.Key.Key_Backspace)
    mouse.click(700, 520)
    mouse.click(150, 520)
    mouse.click(*RADIATOR_A)
    assert corners(document, "run")[1][2] == 45


def test_e_while_drawing_makes_elbows_and_mitres(document, plan, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    QTest.keyClick(plan, Qt.Key.Key_E)
    mouse.click(700, 520)
    QTest.keyClick(plan, Qt.Key.Key_E)
    mouse.click(150, 520)
    mouse.click(*RADIATOR_A)
    assert turns(document, "run") == ["elbow", "mitre", "mitre", "mitre"]


def test_a_corner_snaps_to_the_line_of_a_port_and_says_so(plan, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    mouse.move(700, 462)
    assert "in line with Radiator, a" in plan.hand.gesture.words()
    assert plan.hand.gesture.path().spots[-1][:2] == (700, 465)


def test_alt_frees_a_corner_from_ports_in_line(plan, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    mouse.click(700, 462, ALT)
    assert plan.hand.gesture.corners[-1].y_mm == pytest.approx(462, abs=0.6)


def test_a_height_typed_for_a_selected_corner_is_its_height(document, plan, mouse):
    mouse.click(450, 200)
    mouse.click(450, 300)
    type_keys(plan, "33")
    QTest.keyClick(plan, Qt.Key.Key_Return)
    assert [corner[2] for corner in corners(document, "rise")] == [20, 33]
    assert plan.selected_corner == ("rise", 1)
    assert document.history.count() == 1


def test_a_height_typed_for_a_selected_run_is_that_of_all_its_corners(document, plan, mouse):
    mouse.click(450, 200)
    type_keys(plan, "33")
    QTest.keyClick(plan, Qt.Key.Key_Return)
    assert [corner[2] for corner in corners(document, "rise")] == [33, 33]


@pytest.mark.parametrize(("text", "height"), [("3/8 in", 9.525), ("1 1/2in", 38.1), ('2"', 50.8), ("1.5cm", 15.0)])
def test_a_height_is_typed_with_its_unit(document, plan, mouse, text, height):
    mouse.click(350, 100)
    type_keys(plan, text)
    assert f"{height:.4g} mm" in plan.gesture.words()
    QTest.keyClick(plan, Qt.Key.Key_Return)
    assert document.layout.placement("pump").height_mm == pytest.approx(height)


def test_what_is_no_length_is_told_and_stays_to_be_mended(document, plan, mouse, qtbot):
    mouse.click(350, 100)
    type_keys(plan, "12 tt")
    with qtbot.waitSignal(plan.message, check_params_cb=lambda words: "must be" in words):
        QTest.keyClick(plan, Qt.Key.Key_Return)
    for _ in range(3):
        QTest.keyClick(plan, Qt.Key.Key_Backspace)
    QTest.keyClick(plan, Qt.Key.Key_Return)
    assert document.layout.placement("pump").height_mm == 12


def test_a_corner_to_come_takes_a_height_in_inches(plan, mouse):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(700, 300)
    type_keys(plan, "2 in")
    mouse.click(700, 400)
    assert plan.gesture.corners[-1].height_mm == pytest.approx(50.8)


def test_a_height_typed_for_selected_parts_is_theirs(document, plan, mouse):
    mouse.click(350, 100)
    mouse.click(600, 300, SHIFT)
    type_keys(plan, "12")
    QTest.keyClick(plan, Qt.Key.Key_Return)
    assert {document.layout.placement(part).height_mm for part in ("pump", "block")} == {12}
    assert document.history.count() == 1


def test_esc_while_a_height_is_typed_leaves_no_trace(document, plan, mouse, build):
    mouse.click(350, 100)
    type_keys(plan, "12")
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert document.build is build
    assert plan.gesture is None


def test_the_corners_of_a_run_are_reached_moved_and_changed_by_keys(document, plan, mouse):
    mouse.click(450, 200)
    type_keys(plan, ".")
    assert plan.selected_corner == ("rise", 0)
    type_keys(plan, ".")
    assert plan.selected_corner == ("rise", 1)
    QTest.keyClick(plan, Qt.Key.Key_Right, SHIFT)
    assert corners(document, "rise") == [(460, 100, 20), (460, 300, 20)]
    QTest.keyClick(plan, Qt.Key.Key_E)
    assert turns(document, "rise") == ["bend", "elbow"]
    type_keys(plan, ",")
    assert plan.selected_corner == ("rise", 0)


def test_insert_puts_a_corner_half_way_along_the_stretch_after_the_selected_one(document, plan, mouse):
    mouse.click(450, 200)
    type_keys(plan, ".")
    QTest.keyClick(plan, Qt.Key.Key_Insert)
    assert corners(document, "rise")[1][:2] == (450, 200)
    assert plan.selected_corner == ("rise", 1)
    QTest.keyClick(plan, Qt.Key.Key_Delete)
    assert len(corners(document, "rise")) == 2


def test_a_dragged_corner_snaps_to_the_line_of_a_port(document, plan, mouse):
    mouse.click(450, 200)
    mouse.drag((450, 300), (450, 432), release=False)
    assert "in line with Radiator, b" in plan.gesture.words()
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert corners(document, "rise")[1][:2] == (450, 300)


def test_a_dragged_part_snaps_into_line_with_a_port_and_says_so(document, plan, mouse):
    mouse.drag((350, 100), (350, 297), release=False)
    assert "in line with Block, inlet" in plan.gesture.words()
    assert document.layout.placement("pump").y_mm == 300


def test_shift_proposes_a_way_to_a_port_clear_of_what_stands_there(document, plan, mouse, build):
    mouse.click(*BLOCK_OUTLET)
    mouse.drag((700, 300), (230, 440), modifiers=SHIFT, release=False)
    assert "proposed way" in plan.gesture.words()
    QTest.mouseRelease(plan.viewport(), Qt.MouseButton.LeftButton, SHIFT, mouse.pixel(230, 440))
    run = document.layout.run("run")
    assert run.start == "block.outlet"
    assert run.end.startswith("rad.")
    at_fault = [each for each in findings(document.build) if "run" in (each.part, *each.others) and not each.quiet]
    assert at_fault == []
    document.history.undo()
    assert document.build is build


def test_a_proposed_way_keeps_out_of_reserved_spaces_and_off_other_runs_within_its_radius(document, plan, mouse):
    """The nearest way down from the block is reserved, and a run lies between both ports."""
    bay = Reserved(name="Bay", x_mm=665, y_mm=380, length_mm=130, width_mm=60)
    document.do(ground_edits.add_reserved(document.build, document.layout.name, bay))
    mouse.click(*BLOCK_OUTLET)
    mouse.drag((700, 300), (230, 440), modifiers=SHIFT, release=False)
    assert "proposed way" in plan.gesture.words()
    QTest.mouseRelease(plan.viewport(), Qt.MouseButton.LeftButton, SHIFT, mouse.pixel(230, 440))
    path = document.build.run_path(document.layout, document.layout.run("run"))
    tube = document.build.tubes[0]
    assert path.bends
    assert all(bend.radius_mm >= tube.least_radius_mm - 1e-6 for bend in path.bends)
    told = {each.code for each in findings(document.build) if "run" in (each.part, *each.others)}
    assert not {"reserved", "tubes_meet", "through_part", "tight_bend", "close_corners", "backward_exit"} & told


def test_shift_t_leads_the_selected_run_by_a_clear_way(document, plan):
    middle = Placement(part="extra", x_mm=450, y_mm=200, height_mm=5)
    document.do(edits.add_part(document.build, document.layout.name, Block(id="extra", name="Extra"), middle))
    assert any(each.part == "rise" or "rise" in each.others for each in findings(document.build) if not each.quiet)
    document.select(("rise",))
    QTest.keyClick(plan, Qt.Key.Key_T, SHIFT)
    assert document.history.undoText() == "Lead tube run Pump A to Block another way"
    assert not any(each.part == "rise" or "rise" in each.others for each in findings(document.build) if not each.quiet)
