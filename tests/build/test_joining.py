"""Runs that are cut, teed and led elsewhere."""

import pytest

from loopsim.build import Build, Layout, Placement, edits, joining, run_edits
from loopsim.errors import SketchError
from loopsim.parts import Block, Corner, Pump, Reservoir, Tube, TubeRun

NAME = "bench"


@pytest.fixture
def bench() -> Build:
    """A vessel at (100, 100), a block at (500, 300); one run between them, right and then up, at 18 mm."""
    parts = (Reservoir(id="vessel", name="Vessel"), Block(id="block", name="Block"), Pump(id="pump", name="Pump"))
    placed = (
        Placement(part="vessel", x_mm=100, y_mm=100),
        Placement(part="block", x_mm=500, y_mm=300, rotation_deg=90),
        Placement(part="pump", x_mm=900, y_mm=900),
    )
    corner = Corner(x_mm=500, y_mm=100, height_mm=18)
    run = TubeRun(id="rise", start="vessel.outlet", end="block.inlet", tube="tube", corners=(corner,))
    layout = Layout(name=NAME, placed=placed, runs=(run,))
    return Build(name="Bench", tubes=(Tube(id="tube", name="Tube", bore_mm=8),), parts=parts, layouts=(layout,))


def ports(build, *references):
    layout = build.layout(NAME)
    return [build.port_spot(layout, reference) for reference in references]


def test_a_part_set_into_a_run_lies_in_its_line_at_its_height(bench):
    after = joining.split_run(bench, NAME, "rise", "pump", (330, 104)).build
    inlet, outlet = ports(after, "pump.inlet", "pump.outlet")
    assert (inlet.y_mm, outlet.y_mm) == (100, 100)
    assert inlet.x_mm < 330 < outlet.x_mm
    assert (inlet.x_mm + outlet.x_mm) / 2 == pytest.approx(330)


def test_a_part_set_into_a_run_cuts_it_in_two(bench):
    edit = joining.split_run(bench, NAME, "rise", "pump", (330, 104))
    first, second = edit.build.layout(NAME).runs
    assert (first.id, first.start, first.end, first.corners) == ("rise", "vessel.outlet", "pump.inlet", ())
    assert (second.start, second.end, len(second.corners)) == ("pump.outlet", "block.inlet", 1)
    assert edit.text == "Set Pump into tube run Vessel to Block"


def test_a_part_set_into_a_stretch_that_leads_up_is_turned(bench):
    after = joining.split_run(bench, NAME, "rise", "pump", (505, 180)).build
    inlet, outlet = ports(after, "pump.inlet", "pump.outlet")
    assert (inlet.x_mm, outlet.x_mm) == pytest.approx((500, 500))
    assert inlet.y_mm < outlet.y_mm
    assert len(after.layout(NAME).run("rise").corners) == 1


def test_a_part_whose_ports_are_taken_is_not_set_into_a_run(bench):
    once = joining.split_run(bench, NAME, "rise", "pump", (330, 100)).build
    with pytest.raises(SketchError, match="Pump has no two free ports"):
        joining.split_run(once, NAME, "rise", "pump", (250, 100))


@pytest.mark.parametrize(("towards", "sign"), [((330, 200), 1), ((330, 20), -1)], ids=["left", "right"])
def test_the_branch_of_a_tee_looks_to_where_it_is_needed(bench, towards, sign):
    edit, branch = joining.tee_into(bench, NAME, "rise", (330, 100), towards)
    (spot,) = ports(edit.build, branch)
    assert spot.x_mm == pytest.approx(330)
    assert sign * (spot.y_mm - 100) > 0
    assert edit.build.part("tee").bore_mm == 8
    assert len(edit.build.layout(NAME).runs) == 2


def test_a_tee_keeps_the_pieces_on_their_sides(bench):
    for towards in ((330, 200), (330, 20)):
        edit, _ = joining.tee_into(bench, NAME, "rise", (330, 100), towards)
        first, second = edit.build.layout(NAME).runs
        into, out_of = ports(edit.build, first.end, second.start)
        assert into.x_mm < out_of.x_mm


def test_an_end_led_to_a_free_port_takes_its_corner_along(bench):
    after = joining.move_end(bench, NAME, "rise", "end", "pump.inlet").build
    (run,) = after.layout(NAME).runs
    (inlet,) = ports(after, "pump.inlet")
    assert run.end == "pump.inlet"
    assert run.corners[0].x_mm == pytest.approx(inlet.x_mm)


def test_an_end_led_to_a_taken_port_swaps_the_two_runs(bench):
    split = joining.split_run(bench, NAME, "rise", "pump", (330, 100)).build
    after = joining.move_end(split, NAME, "rise", "end", "pump.outlet")
    first, second = after.build.layout(NAME).runs
    assert (first.end, second.start) == ("pump.outlet", "pump.inlet")
    assert after.text == "Swap ports inlet and outlet of Pump"


def test_the_nearest_run_is_found_in_plan(bench):
    assert joining.nearest_run(bench, bench.layout(NAME), (480, 200)).id == "rise"
    empty = edits.remove_run(bench, NAME, "rise").build
    assert joining.nearest_run(empty, empty.layout(NAME), (480, 200)) is None


def test_a_corner_height_is_set_for_one_or_all(bench):
    more, index = run_edits.corner_after(bench, NAME, "rise", None)
    one = run_edits.set_corner_height(more.build, NAME, "rise", 40.0, index).build.layout(NAME).run("rise")
    assert [corner.height_mm for corner in one.corners] == [40.0 if n == index else 18.0 for n in range(2)]
    all_of = run_edits.set_corner_height(more.build, NAME, "rise", 40.0).build.layout(NAME).run("rise")
    assert [corner.height_mm for corner in all_of.corners] == [40.0, 40.0]
