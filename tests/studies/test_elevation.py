"""Heights along the loop, and the enclosure from its side."""

from itertools import pairwise

import pytest

import sample_loops
from loopsim.build import Build, Enclosure, Placement, Reserved, WallOpening, edits, load
from loopsim.errors import SketchError
from loopsim.parts import Block, Corner, LiquidExchanger, Pump, Radiator, Reservoir, Tee, Tube, TubeRun
from loopsim.studies.elevation import elevation
from loopsim.studies.side_view import SideBox, SideTube, side_view

LAYOUT = "layout 1"


@pytest.fixture
def build() -> Build:
    """A reservoir at x 100, a pump at x 300 and a block at x 500, 10 mm up, joined in a ring through two corners."""
    made = Build(name="ring", tubes=(Tube(id="t", name="10/13"),))
    for kind, part_id, x, height in ((Reservoir, "tank", 100, 0), (Pump, "pump", 300, 0), (Block, "block", 500, 10)):
        stands = Placement(part=part_id, x_mm=x, y_mm=100, height_mm=height)
        made = edits.add_part(made, LAYOUT, kind(id=part_id, name=part_id.title()), stands).build
    back = (Corner(x_mm=580, y_mm=100, height_mm=60), Corner(x_mm=-20, y_mm=100, height_mm=50, turn="elbow"))
    runs = (
        TubeRun(id="one", start="tank.outlet", end="pump.inlet", tube="t"),
        TubeRun(id="two", start="block.inlet", end="pump.outlet", tube="t"),  # drawn against the flow
        TubeRun(id="three", start="block.outlet", end="tank.inlet", tube="t", corners=back),
    )
    for run in runs:
        made = edits.add_run(made, LAYOUT, run).build
    return made


def ids(build: Build, **how: object) -> list[str]:
    return [stage.id for stage in elevation(build, build.layout(), **how).stages]


def test_the_walk_goes_from_the_free_surface_as_the_pump_drives(build: Build) -> None:
    walk = elevation(build, build.layout())
    assert [stage.id for stage in walk.stages] == ["tank", "one", "pump", "two", "block", "three", "tank"]
    assert walk.closes
    assert (walk.lid_mm, walk.levels[0].height_mm) == (100.0, 44.0)
    assert [stage.backwards for stage in walk.stages if not stage.is_part] == [False, True, False]


def test_the_walk_begins_with_any_part(build: Build) -> None:
    assert ids(build, start="block") == ["block", "three", "tank", "one", "pump", "two", "block"]
    with pytest.raises(SketchError, match="does not place a part 'pomp'"):
        elevation(build, build.layout(), start="pomp")


def test_solved_flows_decide_where_it_goes(build: Build) -> None:
    assert ids(build, flows={"one": -1.0, "two": 1.0, "three": -1.0}) == [
        "tank", "three", "block", "two", "pump", "one", "tank",
    ]  # fmt: skip


def test_heights_stand_at_ports_and_corners_and_say_which_can_be_changed(build: Build) -> None:
    """The block's port is 18 mm above its underside at 10 mm; the way up to the corner is 40 mm along, 32 mm up."""
    stage = next(stage for stage in elevation(build, build.layout()).stages if stage.id == "three")
    assert stage.heights_mm == (28.0, 60.0, 50.0, 12.0)
    assert stage.corners == (None, 0, 1, None)
    assert (stage.low_mm, stage.high_mm) == (5.5, 66.5)
    assert stage.along_mm[1] - stage.along_mm[0] == pytest.approx((40**2 + 32**2) ** 0.5)


def test_a_part_shows_the_way_inside_and_the_room_it_takes(build: Build) -> None:
    stage = next(stage for stage in elevation(build, build.layout()).stages if stage.id == "block")
    assert (stage.low_mm, stage.high_mm) == (10.0, 35.0)
    assert stage.heights_mm[0] == stage.heights_mm[-1] == 28.0
    tipped = edits.change_placement(build, LAYOUT, "block", lie="on edge").build
    on_edge = next(stage for stage in elevation(tipped, tipped.layout()).stages if stage.id == "block")
    assert (on_edge.low_mm, on_edge.high_mm) == (10.0, 70.0)


def test_ways_rise_without_a_gap(build: Build) -> None:
    stages = elevation(build, build.layout()).stages
    assert stages[0].along_mm[0] == 0.0
    for before, stage in pairwise(stages):
        assert stage.along_mm[0] == before.along_mm[-1]
        assert list(stage.along_mm) == sorted(stage.along_mm)
        assert before.heights_mm[-1] == pytest.approx(stage.heights_mm[0])


def test_an_open_end_ends_the_walk(build: Build) -> None:
    cut = edits.remove_run(build, LAYOUT, "three").build
    walk = elevation(cut, cut.layout())
    assert [stage.id for stage in walk.stages] == ["tank", "one", "pump", "two", "block"]
    assert not walk.closes


def test_nothing_placed_is_an_empty_walk() -> None:
    walk = elevation(Build(name="b"), Build(name="b").layout())
    assert (walk.stages, walk.length_mm, walk.levels) == ((), 0.0, ())


def test_a_walk_stays_in_its_circuit_through_an_exchanger() -> None:
    """Two liquids pass the exchanger: what enters on one side leaves on the same side."""
    made = Build(name="two circuits", tubes=(Tube(id="t", name="10/13"),))
    parts = (Pump(id="p", name="P"), LiquidExchanger(id="x", name="X"), Tee(id="a", name="A"), Tee(id="b", name="B"))
    for number, part in enumerate(parts):
        made = edits.add_part(made, LAYOUT, part, Placement(part=part.id, x_mm=150 * number, y_mm=0)).build
    sides = made.part("x").chambers
    assert len(sides) == 2
    ends = (("p.outlet", f"x.{sides[0][0]}"), (f"x.{sides[1][0]}", "a.a"), (f"x.{sides[0][1]}", "b.a"))
    for number, (start, end) in enumerate(ends):
        run = TubeRun(id=f"r{number}", start=start, end=end, tube="t")
        made = edits.add_run(made, LAYOUT, run).build
    assert ids(made, start="p") == ["p", "r0", "x", "r2", "b"]


@pytest.mark.parametrize("name", sample_loops.names())
def test_the_samples_close(name: str) -> None:
    build = load(sample_loops.sample(name))
    for layout in build.layouts:
        assert elevation(build, layout).closes


def seen(build: Build, edge: str) -> dict[str, SideBox]:
    return {each.id: each for each in side_view(build, build.layout(), edge).things if isinstance(each, SideBox)}


@pytest.mark.parametrize(
    ("edge", "across", "depth"),
    [
        ("front", (460, 540), 70),  # x from the left
        ("back", (60, 140), 270),  # x from the right
        ("right", (70, 130), 60),  # y from the left
        ("left", (270, 330), 460),  # y from the right
    ],
)
def test_a_block_is_seen_from_each_edge(build: Build, edge: str, across: tuple, depth: float) -> None:
    """80 x 60 mm at x 500, y 100 in a room of 600 x 400 mm, from 10 to 35 mm up."""
    box = seen(build, edge)["block"]
    assert (box.left_mm, box.right_mm) == across
    assert (box.low_mm, box.high_mm, box.depth_mm) == (10, 35, depth)


def test_what_is_nearer_comes_later(build: Build) -> None:
    moved = edits.move(build, LAYOUT, "pump", 500, 300).build
    order = [each.id for each in side_view(moved, moved.layout(), "front").things]
    assert order.index("pump") < order.index("block")
    order = [each.id for each in side_view(moved, moved.layout(), "back").things]
    assert order.index("block") < order.index("pump")


def test_tubes_are_lines_with_their_bends(build: Build) -> None:
    tubes = {each.id: each for each in side_view(build, build.layout(), "back").things if isinstance(each, SideTube)}
    assert tubes["one"].line_mm.tolist() == [[420, 12], [330, 19]]
    assert tubes["one"].outer_mm == 13
    assert len(tubes["three"].line_mm) > 4


def test_openings_of_that_wall_levels_and_reserved_spaces_are_seen(build: Build) -> None:
    holes = (
        WallOpening(name="hole", wall="back", along_mm=100, up_mm=50, length_mm=30, tall_mm=20),
        WallOpening(name="other", wall="left", along_mm=100, up_mm=50),
    )
    room = Enclosure(openings=holes)
    space = Reserved(name="bay", x_mm=300, y_mm=300, length_mm=100, width_mm=50, low_mm=5)
    full = edits.change_layout(edits.change_build(build, enclosure=room).build, LAYOUT, reserved=(space,)).build
    things = side_view(full, full.layout(), "back").things
    boxes = {each.name: each for each in things if isinstance(each, SideBox) and each.what != "level"}
    assert (boxes["hole"].left_mm, boxes["hole"].right_mm, boxes["hole"].low_mm) == (485, 515, 40)
    assert "other" not in boxes
    assert (boxes["bay"].left_mm, boxes["bay"].low_mm, boxes["bay"].high_mm) == (250, 5, 100)
    (level,) = [each for each in things if isinstance(each, SideBox) and each.what == "level"]
    assert (level.id, level.low_mm, level.high_mm) == ("tank", 44, 44)


def test_a_radiator_on_edge_is_seen_as_tall_as_it_lies() -> None:
    radiator = Radiator(id="r", name="R", width_mm=120.0)
    made = edits.add_part(
        Build(name="b"), LAYOUT, radiator, Placement(part="r", x_mm=300, y_mm=100, lie="on edge")
    ).build
    assert seen(made, "right")["r"].high_mm == 120.0
    assert seen(made, "right")["r"].right_mm - seen(made, "right")["r"].left_mm == 55.0
