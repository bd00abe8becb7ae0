"""Several parts moved, turned, mirrored, aligned, spaced out, locked and grouped."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.build import Build, Layout, Placement, arranging
from loopsim.errors import SketchError
from loopsim.parts import Block, Corner, Pump, Reservoir, Tube, TubeRun

NAME = "bench"


def bench() -> Build:
    """A pump and a block, off centre and turned, with a run of two corners between them; a vessel that leads to it."""
    parts = (Reservoir(id="vessel", name="Vessel"), Pump(id="pump", name="Pump"), Block(id="block", name="Block"))
    placed = (
        Placement(part="vessel", x_mm=80, y_mm=100),
        Placement(part="pump", x_mm=300, y_mm=100),
        Placement(part="block", x_mm=560, y_mm=340, rotation_deg=30),
    )
    corners = (Corner(x_mm=420, y_mm=100), Corner(x_mm=420, y_mm=300, height_mm=40))
    runs = (
        TubeRun(id="suction", start="vessel.outlet", end="pump.inlet", tube="tube"),
        TubeRun(id="rise", start="pump.outlet", end="block.inlet", tube="tube", corners=corners),
    )
    layout = Layout(name=NAME, placed=placed, runs=runs)
    return Build(name="Bench", tubes=(Tube(id="tube", name="Tube"),), parts=parts, layouts=(layout,))


def shape(build, run_id="rise"):
    layout = build.layout(NAME)
    return build.run_path(layout, layout.run(run_id)).spots


def boxes(build):
    layout = build.layout(NAME)
    found = {}
    for placement in layout.placed:
        part = build.part(placement.part)
        corners = part.outline.corners(placement.place_of(part))
        found[part.id] = [(min(c[axis] for c in corners), max(c[axis] for c in corners)) for axis in (0, 1)]
    return found


@given(st.floats(-360, 360))
def test_parts_turned_together_keep_the_length_and_the_heights_of_the_run_between_them(by):
    before = bench()
    after = arranging.rotate_parts(before, NAME, ["pump", "block"], by).build
    old, new = shape(before), shape(after)
    for (a, b), (c, d) in zip(pairwise(old), pairwise(new), strict=True):
        assert math.dist(a, b) == pytest.approx(math.dist(c, d), abs=0.01)
    assert [spot.height_mm for spot in old] == [spot.height_mm for spot in new]


@pytest.mark.parametrize("across", ["x", "y"])
def test_parts_mirrored_together_mirror_their_ports_and_the_run_between_them(across):
    before = bench()
    after = arranging.mirror_parts(before, NAME, ["pump", "block"], across).build
    axis = 0 if across == "x" else 1
    (low, high) = (min(boxes(before)[p][axis][0] for p in ("pump", "block")),
                   max(boxes(before)[p][axis][1] for p in ("pump", "block")))  # fmt: skip
    for old, new in zip(shape(before), shape(after), strict=True):
        expected = [*old]
        expected[axis] = low + high - old[axis]
        assert new == pytest.approx(expected, abs=0.002)


def test_mirrored_twice_is_where_it_was():
    once = arranging.mirror_parts(bench(), NAME, ["pump", "block"]).build
    twice = arranging.mirror_parts(once, NAME, ["pump", "block"]).build
    for old, new in zip(shape(bench()), shape(twice), strict=True):
        assert new == pytest.approx(old, abs=0.002)


def test_one_part_turns_and_mirrors_about_its_own_middle():
    for edit in (
        arranging.rotate_parts(bench(), NAME, ["block"], 90.0),
        arranging.mirror_parts(bench(), NAME, ["block"]),
    ):
        placement = edit.build.layout(NAME).placement("block")
        assert (placement.x_mm, placement.y_mm) == (560, 340)


@pytest.mark.parametrize(
    ("how", "axis", "side"),
    [("left edges", 0, 0), ("right edges", 0, 1), ("front edges", 1, 0), ("back edges", 1, 1)],
)
def test_aligned_edges_lie_in_line_with_the_outermost(how, axis, side):
    before = bench()
    after = arranging.align(before, NAME, ["vessel", "pump", "block"], how).build
    edges = [box[axis][side] for box in boxes(after).values()]
    outermost = (min, max)[side](box[axis][side] for box in boxes(before).values())
    assert edges == pytest.approx([outermost] * 3, abs=0.002)


@pytest.mark.parametrize(("how", "axis"), [("middles in a column", 0), ("middles in a row", 1)])
def test_aligned_middles_lie_in_line(how, axis):
    after = arranging.align(bench(), NAME, ["vessel", "pump", "block"], how).build
    middles = [sum(box[axis]) / 2 for box in boxes(after).values()]
    assert middles == pytest.approx([middles[0]] * 3, abs=0.002)


def test_parts_are_spaced_out_with_equal_gaps_between_the_first_and_the_last():
    before, after = bench(), arranging.space_out(bench(), NAME, ["vessel", "pump", "block"], "x").build
    old, new = boxes(before), boxes(after)
    assert new["vessel"][0] == old["vessel"][0]
    assert new["block"][0] == pytest.approx(old["block"][0], abs=0.002)
    gaps = new["pump"][0][0] - new["vessel"][0][1], new["block"][0][0] - new["pump"][0][1]
    assert gaps[0] == pytest.approx(gaps[1], abs=0.002)


def test_a_part_tips_through_all_its_lies():
    build = bench()
    lies = []
    for _ in range(3):
        build = arranging.next_lie(build, NAME, ["pump"]).build
        lies.append(build.layout(NAME).placement("pump").lie)
    assert lies == ["on edge", "ports up", "flat"]


def test_groups_have_names_of_their_own_and_can_be_undone():
    build = arranging.group(bench(), NAME, ["vessel", "pump"]).build
    build = arranging.group(build, NAME, ["pump", "block"]).build
    groups = {each.part: each.group for each in build.layout(NAME).placed}
    assert groups == {"vessel": "group", "pump": "group_2", "block": "group_2"}
    loose = arranging.ungroup(build, NAME, ["vessel", "pump", "block"]).build
    assert {each.group for each in loose.layout(NAME).placed} == {None}


def test_too_few_parts_are_refused_with_what_is_needed():
    with pytest.raises(SketchError, match="select two parts or more, got 1"):
        arranging.align(bench(), NAME, ["pump"], "left edges")
    with pytest.raises(SketchError, match="select three or more, got 2"):
        arranging.space_out(bench(), NAME, ["pump", "block"], "x")
    with pytest.raises(SketchError, match="a group has two parts or more, got 1"):
        arranging.group(bench(), NAME, ["pump"])


def test_an_edit_that_changes_nothing_gives_the_same_build():
    build = bench()
    assert arranging.lock(build, NAME, ["pump"], False).build is build
    assert arranging.move_parts(build, NAME, ["pump"], 0.0, 0.0).build is build
