"""Parts set into runs, tees, and ends led to other ports, with real mouse and key events."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from loopsim.build import edits, joining
from loopsim.parts import KINDS
from loopsim.parts.reservoir import SidePort
from tests.app.plan.conftest import ALT

BLOCK_OUTLET, PUMP_OUTLET, BLOCK_INLET = (640, 300), (380, 100), (560, 300)


def specimen(kind):
    return KINDS[kind](id=kind, name=KINDS[kind].title)


def ends(document):
    return {(run.start, run.end) for run in document.layout.runs}


def test_a_part_placed_on_a_run_is_set_into_it(document, plan, mouse, build):
    plan.place(specimen("flow_meter"))
    mouse.move(450, 200)
    assert plan.gesture.words() == "into tube run Pump A to Block"
    mouse.click(450, 200)
    assert ends(document) == {
        ("vessel.outlet", "pump.inlet"),
        ("pump.outlet", "flow_meter.inlet"),
        ("flow_meter.outlet", "block.inlet"),
    }
    placement = document.layout.placement("flow_meter")
    assert (placement.x_mm, placement.y_mm) == pytest.approx((450, 200), abs=1)
    assert placement.rotation_deg == 90
    document.history.undo()
    assert document.build is build


def test_what_is_set_into_a_run_and_a_tee_stand_on_the_grid(document, plan, mouse):
    plan.place(specimen("flow_meter"))
    mouse.click(451.7, 203.4)
    placement = document.layout.placement("flow_meter")
    assert (placement.x_mm, placement.y_mm) == pytest.approx((450, 205))
    mouse.click(*BLOCK_OUTLET)
    mouse.click(640, 141)
    mouse.click(451.7, 141)
    (tee,) = [each for each in document.layout.placed if each.part.startswith("tee")]
    assert (tee.x_mm, tee.y_mm) == pytest.approx((450, 140))


def test_alt_places_a_part_over_a_run_without_setting_it_in(document, plan, mouse):
    plan.place(specimen("flow_meter"))
    mouse.move(450, 200)
    mouse.click(450, 200, ALT)
    assert len(document.layout.runs) == 2


def test_a_dry_part_is_not_set_into_a_run(document, plan, mouse):
    plan.place(specimen("fan"))
    mouse.click(450, 200)
    assert len(document.layout.runs) == 2


def test_a_loose_part_dragged_onto_a_run_is_set_into_it_in_one_step(document, mouse, build):
    mouse.drag((400, 450), (450, 200))  # the radiator: no run leads to it
    assert ("pump.outlet", "rad.a") in ends(document)
    assert ("rad.b", "block.inlet") in ends(document)
    assert document.history.count() == 1
    document.history.undo()
    assert document.build is build


def test_a_part_with_runs_is_only_moved_over_another_run(document, mouse):
    mouse.drag((600, 300), (450, 200))
    assert len(document.layout.runs) == 2


def test_a_run_that_ends_on_a_run_ends_in_a_tee(document, mouse, build):
    mouse.click(*BLOCK_OUTLET)
    mouse.click(680, 300)
    mouse.click(680, 200)
    mouse.click(450, 200)
    assert document.build.part("tee").name == "Tee 1"
    assert ("block.outlet", "tee.c") in ends(document)
    assert document.layout.run("rise").end in ("tee.a", "tee.b")
    assert {part for part, _ in (end.split(".") for pair in ends(document) for end in pair)} >= {"tee", "block"}
    assert len(document.layout.runs) == 4
    assert document.history.count() == 1
    assert len(document.selection) == 1
    document.history.undo()
    assert document.build is build


def test_a_run_that_begins_on_a_run_begins_in_a_tee(document, plan, mouse, build):
    QTest.keyClick(plan, Qt.Key.Key_T)
    mouse.click(450, 200)
    assert document.build is build  # nothing yet: the run may still be given up
    mouse.click(680, 200)
    mouse.click(*BLOCK_OUTLET)
    assert ("tee.c", "block.outlet") in ends(document)
    assert document.history.count() == 1


def test_esc_after_a_run_began_on_a_run_leaves_no_tee(document, plan, mouse, build):
    QTest.keyClick(plan, Qt.Key.Key_T)
    mouse.click(450, 200)
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert document.build is build


def test_an_end_dragged_to_a_free_port_of_the_same_part_leads_there(document, mouse):
    mouse.click(450, 200)
    mouse.drag(BLOCK_INLET, BLOCK_OUTLET)
    assert ("pump.outlet", "block.outlet") in ends(document)
    assert document.history.undoText() == "Lead tube run Pump A to Block to Block, outlet"


def test_an_end_dragged_to_a_taken_port_swaps_both_in_one_step(document, plan, mouse, build):
    mouse.click(450, 200)
    mouse.drag(PUMP_OUTLET, (320, 100), release=False)
    assert plan.gesture.words() == "swap with the run at Pump A, inlet"
    QTest.mouseRelease(plan.viewport(), Qt.MouseButton.LeftButton, pos=mouse.pixel(320, 100))
    assert ends(document) == {("vessel.outlet", "pump.outlet"), ("pump.inlet", "block.inlet")}
    document.history.undo()
    assert document.build is build


def test_an_end_let_go_beside_every_port_stays(document, mouse, build):
    mouse.click(450, 200)
    mouse.drag(PUMP_OUTLET, (500, 500))
    assert document.build is build


def test_an_end_is_led_elsewhere_without_a_mouse(document, plan):
    document.select(("rise",))
    QTest.keyClick(plan, Qt.Key.Key_W)
    QTest.keyClick(plan, Qt.Key.Key_PageDown)
    QTest.keyClick(plan, Qt.Key.Key_Return)
    assert ("pump.outlet", "block.inlet") not in ends(document)
    assert document.history.count() == 1


def with_spare_ports(document, *names):
    vessel = document.build.part("vessel")
    spare = tuple(SidePort(name=name, side="front", offset_mm=30.0 * n) for n, name in enumerate(names))
    document.do(edits.change_part(document.build, "vessel", port_list=(*vessel.port_list, *spare)))


def test_the_ports_that_a_vessel_does_not_need_are_plugged(document, plan, mouse):
    with_spare_ports(document, "spare")
    item = plan.scene().parts["vessel"]
    assert item.plugged_ports == frozenset()
    mouse.click(*BLOCK_OUTLET)
    mouse.click(640, 530)
    mouse.click(70, 530)
    mouse.click(70, 100)
    assert ("block.outlet", "vessel.inlet") in ends(document)
    assert item.open_ports == item.plugged_ports == {"spare"}


def test_a_plugged_port_still_takes_a_run(document, mouse):
    with_spare_ports(document, "spare", "other")
    document.do(joining.move_end(document.build, document.layout.name, "rise", "end", "vessel.inlet"))
    mouse.click(*BLOCK_OUTLET)
    mouse.click(640, 20)
    mouse.click(150, 55)  # in the middle of the vessel's front
    assert ("block.outlet", "vessel.spare") in ends(document)


def with_eight_ports(document):
    document.do(edits.change_part(document.build, "block", openings="8"))


def port_at(document, reference):
    spot = document.build.port_spot(document.layout, reference)
    return spot.x_mm, spot.y_mm


def test_a_block_with_eight_ports_shows_them_all_and_plugs_what_is_not_used(document, plan):
    with_eight_ports(document)
    item = plan.scene().parts["block"]
    assert len(item.part.ports) == 8
    assert item.open_ports - item.plugged_ports == {"outlet"}
    assert item.plugged_ports == {f"{side}_{number}" for side in ("inlet", "outlet") for number in (2, 3, 4)}


def test_a_run_is_pulled_from_any_port_of_a_block_and_plugs_the_main_one(document, plan, mouse):
    with_eight_ports(document)
    mouse.click(*port_at(document, "block.outlet_3"))
    mouse.click(port_at(document, "block.outlet_3")[0], 50)
    mouse.click(70, 50)
    mouse.click(70, 100)
    assert ("block.outlet_3", "vessel.inlet") in ends(document)
    assert "outlet" in plan.scene().parts["block"].plugged_ports


def test_an_end_goes_to_another_port_of_the_block_in_one_gesture(document, plan, mouse, build):
    with_eight_ports(document)
    mouse.click(450, 200)
    mouse.drag(BLOCK_INLET, port_at(document, "block.inlet_2"), release=False)
    assert plan.gesture.words() == "to Block, inlet 2"
    QTest.mouseRelease(plan.viewport(), Qt.MouseButton.LeftButton, pos=mouse.pixel(*port_at(document, "block.inlet_2")))
    assert ("pump.outlet", "block.inlet_2") in ends(document)
    assert "inlet" in plan.scene().parts["block"].plugged_ports
    document.history.undo()
    document.history.undo()
    assert document.build is build
