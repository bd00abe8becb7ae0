"""Selecting, dragging, turning and removing, with real mouse and key events."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from loopsim.build import edits
from loopsim.parts import Corner
from tests.app.plan.conftest import ALT, MIDDLE, SHIFT


def stands(document, part_id):
    placement = document.layout.placement(part_id)
    return placement.x_mm, placement.y_mm


def corners(document, run_id):
    return [(corner.x_mm, corner.y_mm) for corner in document.layout.run(run_id).corners]


def test_a_drag_moves_a_part_by_the_way_of_the_mouse(document, mouse):
    mouse.drag((350, 100), (430, 160))
    assert stands(document, "pump") == pytest.approx((430, 160), abs=2.5)


def test_a_dragged_part_snaps_to_the_five_millimetre_grid(document, mouse):
    mouse.drag((350, 100), (392, 134))
    assert stands(document, "pump") == (390, 135)


def test_alt_frees_a_drag_from_the_grid(document, mouse):
    start, stop = mouse.pixel(350, 100), mouse.pixel(392, 133)
    way = [b - a for a, b in zip(mouse.mm(start), mouse.mm(stop), strict=True)]
    mouse.drag((350, 100), (392, 133), modifiers=ALT)
    assert stands(document, "pump") == pytest.approx((350 + way[0], 100 + way[1]), abs=0.11)


def test_one_drag_is_one_step_back(document, mouse, build):
    mouse.drag((350, 100), (400, 100), (420, 150), (430, 160))
    assert document.history.count() == 1
    assert document.history.undoText() == "Move Pump A"
    document.history.undo()
    assert document.build is build


def test_two_drags_are_two_steps_back(document, mouse):
    mouse.drag((350, 100), (400, 100))
    mouse.drag((400, 100), (450, 100))
    assert document.history.count() == 2


def test_a_drag_there_and_back_leaves_no_step(document, mouse, build):
    mouse.drag((350, 100), (430, 160), (350, 100))
    assert document.build is build
    assert document.history.count() == 0


def test_a_trembling_click_moves_nothing(document, mouse, build):
    mouse.drag((350, 100), (351, 101))
    assert document.build is build
    assert document.selection == {"pump"}


def test_esc_in_the_middle_of_a_drag_leaves_no_trace(document, plan, mouse, build):
    mouse.drag((350, 100), (430, 160), release=False)
    assert stands(document, "pump") != (350, 100)
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert document.build is build
    assert document.history.count() == 0
    assert document.history.isClean()
    assert not document.history.canRedo()


def test_after_esc_the_mouse_moves_nothing_more(document, plan, mouse, build):
    mouse.drag((350, 100), (430, 160), release=False)
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    mouse.move(500, 200)
    assert document.build is build


def test_undo_in_the_middle_of_a_drag_lets_go_of_the_part(document, plan, mouse, build):
    mouse.drag((350, 100), (430, 160), release=False)
    document.history.undo()
    assert document.build is build
    assert plan.hand.gesture is None


def test_several_parts_move_together_in_one_step(document, mouse, build):
    mouse.click(350, 100)
    mouse.click(600, 300, SHIFT)
    mouse.drag((600, 300), (650, 280))
    assert stands(document, "pump") == (400, 80)
    assert stands(document, "block") == (650, 280)
    assert document.history.undoText() == "Move 2 parts"
    document.history.undo()
    assert document.build is build


def test_a_run_between_parts_that_move_together_moves_as_it_is(document, mouse):
    mouse.click(350, 100)
    mouse.click(600, 300, SHIFT)
    mouse.drag((600, 300), (650, 280))
    assert corners(document, "rise") == [(500, 80), (500, 280)]


def test_the_corner_beside_a_moved_part_follows_and_the_run_stays_orthogonal(document, mouse):
    mouse.drag((350, 100), (380, 150))
    assert corners(document, "rise") == [(450, 150), (450, 300)]


def test_a_moved_part_at_the_end_of_a_run_takes_its_corner_along(document, mouse):
    mouse.drag((600, 300), (640, 260))
    assert corners(document, "rise") == [(450, 100), (450, 260)]


def test_only_what_has_changed_is_rebuilt(plan, mouse):
    kept = plan.scene().parts["rad"]
    mouse.drag((150, 100), (155, 120))
    assert plan.scene().rebuilt == 2  # the vessel and the one run that ends on it
    assert plan.scene().parts["rad"] is kept


def test_a_click_selects_and_a_click_beside_everything_selects_nothing(document, mouse):
    mouse.click(350, 100)
    assert document.selection == {"pump"}
    mouse.click(600, 300)
    assert document.selection == {"block"}
    mouse.click(800, 500)
    assert document.selection == frozenset()


def test_shift_adds_to_the_selection_and_takes_away_from_it(document, mouse):
    mouse.click(350, 100)
    mouse.click(600, 300, SHIFT)
    assert document.selection == {"pump", "block"}
    mouse.click(600, 300, SHIFT)
    assert document.selection == {"pump"}


def test_a_click_on_a_tube_selects_the_run(document, mouse):
    mouse.click(450, 200)
    assert document.selection == {"rise"}


def test_a_rubber_band_selects_what_it_touches(document, mouse):
    mouse.drag((40, 30), (420, 180))
    assert document.selection == {"vessel", "pump", "suction"}


def test_a_rubber_band_with_shift_adds(document, mouse):
    mouse.click(600, 300)
    mouse.drag((40, 30), (240, 180), modifiers=SHIFT)
    assert document.selection == {"block", "vessel"}


def test_a_selection_made_elsewhere_shows_in_the_plan(document, plan):
    document.select(("block",))
    assert plan.scene().parts["block"].is_selected
    assert not plan.scene().parts["pump"].is_selected


def test_arrow_keys_nudge_by_a_millimetre_and_with_shift_by_ten(document, plan, mouse):
    mouse.click(350, 100)
    QTest.keyClick(plan, Qt.Key.Key_Right)
    QTest.keyClick(plan, Qt.Key.Key_Up, SHIFT)
    assert stands(document, "pump") == (351, 110)
    assert document.history.count() == 2


def test_r_turns_the_selected_part_and_shift_r_turns_it_back(document, plan, mouse):
    mouse.click(600, 300)
    QTest.keyClick(plan, Qt.Key.Key_R)
    assert document.layout.placement("block").rotation_deg == 90
    QTest.keyClick(plan, Qt.Key.Key_R, SHIFT)
    assert document.layout.placement("block").rotation_deg == 0
    assert document.history.count() == 2


def test_a_turned_part_is_drawn_turned(plan, document):
    document.select(("rad",))
    QTest.keyClick(plan, Qt.Key.Key_R)
    box = plan.scene().parts["rad"].outline().boundingRect()
    assert (box.width(), box.height()) == pytest.approx((55, 400))


def test_delete_takes_a_part_and_its_runs_and_undo_brings_them_back(document, plan, mouse, build):
    mouse.click(350, 100)
    QTest.keyClick(plan, Qt.Key.Key_Delete)
    assert "pump" not in document.layout.placements
    assert document.layout.runs == ()
    assert set(plan.scene().runs) == set()
    document.history.undo()
    assert document.build is build
    assert set(plan.scene().runs) == {"suction", "rise"}


def test_deleting_a_part_and_its_run_together_is_one_step(document, plan, mouse, build):
    mouse.click(350, 100)
    mouse.click(450, 200, SHIFT)
    QTest.keyClick(plan, Qt.Key.Key_Delete)
    assert document.history.undoText() == "Remove 1 part and 1 tube run"
    document.history.undo()
    assert document.build is build


def test_a_selected_corner_is_pulled_with_its_neighbour(document, mouse):
    mouse.click(450, 200)
    mouse.drag((450, 100), (500, 140))
    assert corners(document, "rise") == [(500, 100), (500, 300)]  # held to the line of the pump's outlet
    assert document.history.count() == 1


def test_alt_pulls_a_corner_alone(document, mouse):
    mouse.click(450, 200)
    mouse.drag((450, 100), (500, 140), modifiers=ALT)
    assert corners(document, "rise")[0] == pytest.approx((500, 140), abs=1.0)
    assert corners(document, "rise")[1] == (450, 300)


def test_a_stretch_of_tube_is_dragged_across_itself(document, mouse):
    mouse.drag((450, 200), (490, 230))
    assert corners(document, "rise") == [(490, 100), (490, 300)]


def test_a_slanted_stretch_slides_between_the_stretches_beside_it(document, mouse):
    corners_ = tuple(Corner(x_mm=x, y_mm=y) for x, y in ((430, 100), (430, 150), (500, 220), (500, 300)))
    document.do(edits.change_run(document.build, document.layout.name, "rise", corners=corners_))
    mouse.drag((465, 185), (475, 175))
    assert corners(document, "rise") == [(430, 100), (430, 130), (500, 200), (500, 300)]
    assert document.history.undoText() == "Slide stretch of tube run Pump A to Block"


def test_a_stretch_that_a_port_holds_says_so(document, plan, mouse, qtbot, build):
    with qtbot.waitSignal(plan.message, check_params_cb=lambda words: "ends at a port" in words):
        mouse.drag((410, 100), (410, 150))
    assert document.build is build


def test_a_double_click_on_a_run_inserts_a_corner_where_it_was_clicked(document, plan, mouse):
    mouse.double_click(451, 202)
    assert len(corners(document, "rise")) == 3
    assert corners(document, "rise")[1] == (450, 200)
    assert plan.selected_corner == ("rise", 1)


def test_delete_removes_the_selected_corner_only(document, plan, mouse):
    mouse.click(450, 200)
    mouse.click(450, 300)
    assert plan.selected_corner == ("rise", 1)
    QTest.keyClick(plan, Qt.Key.Key_Delete)
    assert corners(document, "rise") == [(450, 100)]
    assert set(document.layout.runs_by_id) == {"suction", "rise"}


def test_double_clicks_on_a_corner_make_it_an_elbow_a_mitre_and_a_bend_again(document, mouse):
    mouse.click(450, 200)
    for turn in ("elbow", "mitre", "bend"):
        mouse.double_click(450, 100)
        assert [corner.turn for corner in document.layout.run("rise").corners] == [turn, "bend"]


def test_page_down_goes_through_the_parts_without_a_mouse(document, plan):
    QTest.keyClick(plan, Qt.Key.Key_PageDown)
    assert document.selection == {"vessel"}
    QTest.keyClick(plan, Qt.Key.Key_PageDown)
    assert document.selection == {"pump"}
    QTest.keyClick(plan, Qt.Key.Key_PageUp)
    assert document.selection == {"vessel"}


def test_a_drag_with_the_middle_button_pans_and_edits_nothing(document, plan, mouse, build):
    before = plan.to_point(mouse.pixel(350, 100).toPointF())
    start, stop = mouse.pixel(350, 100), mouse.pixel(450, 160)
    mouse.drag((350, 100), (450, 160), button=MIDDLE)
    after = plan.to_point(stop.toPointF())
    assert (after.x(), after.y()) == pytest.approx((before.x(), before.y()), abs=2 * plan.pixel_mm)
    assert start != stop
    assert document.build is build


def test_space_and_a_drag_pan(document, plan, mouse, build):
    before = plan.to_point(mouse.pixel(350, 100).toPointF())
    stop = mouse.pixel(450, 160)
    QTest.keyPress(plan, Qt.Key.Key_Space)
    mouse.drag((350, 100), (450, 160))
    QTest.keyRelease(plan, Qt.Key.Key_Space)
    after = plan.to_point(stop.toPointF())
    assert (after.x(), after.y()) == pytest.approx((before.x(), before.y()), abs=2 * plan.pixel_mm)
    assert document.build is build


def test_an_edit_that_is_not_allowed_is_said_and_changes_nothing(plan, document, build, qtbot):
    from loopsim.build import edits

    with qtbot.waitSignal(plan.message) as said:
        done = plan.do(lambda: edits.move(document.build, document.layout.name, "nowhere", 0.0, 0.0))
    assert not done
    assert "nowhere" in said.args[0]
    assert document.build is build
