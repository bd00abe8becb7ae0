"""Whether it fits: each check on a drawing made for it, and the drawing after its remedy."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import sample_loops
from loopsim.build import Build, Enclosure, Placement, PlanPoint, Reserved, edits, load
from loopsim.parts import (
    AirComponent,
    Block,
    CheckValve,
    Corner,
    Elbow,
    Filter,
    Part,
    Pump,
    Radiator,
    Supply,
    Tube,
    TubeRun,
)
from loopsim.studies import Finding, findings
from loopsim.studies.fit import fit, remedied
from loopsim.studies.harm import BY_HARM

LAYOUT = "layout 1"
PLACES = (60.0, 300.0, 540.0)


def bench(*parts: Part, runs: tuple[TubeRun, ...] = (), places: tuple = (), **room: object) -> Build:
    """Parts side by side in a room of 900 x 600 x 100 mm, with a tube 10/13."""
    build = Build(name="bench", tubes=(Tube(id="t", name="10/13"),))
    build = edits.change_build(
        build, enclosure={"length_mm": 900, "width_mm": 600, "clear_height_mm": 100, **room}
    ).build
    for number, part in enumerate(parts):
        where = {
            "part": part.id,
            "x_mm": PLACES[number],
            "y_mm": 150.0,
            **(places[number] if number < len(places) else {}),
        }
        build = edits.add_part(build, LAYOUT, part, Placement(**where)).build
    for run in runs:
        build = edits.add_run(build, LAYOUT, run).build
    return build


def run(start: str, end: str, *corners: tuple[float, float, float], run_id: str = "run", **values: object) -> TubeRun:
    made = tuple(Corner(x_mm=x, y_mm=y, height_mm=z) for x, y, z in corners)
    return TubeRun(id=run_id, start=start, end=end, tube="t", corners=made, **values)


def block(part_id: str, **values: object) -> Block:
    return Block(id=part_id, name=part_id.upper(), **values)


def only(build: Build, code: str) -> Finding:
    """The one finding of a drawing, which must be of a kind."""
    (found,) = fit(build)
    assert found.code == code
    assert found.remedy
    return found


def after(build: Build, finding: Finding) -> Build:
    """The drawing after a finding's remedy."""
    edit = remedied(build, LAYOUT, finding)
    assert edit is not None
    assert edit.text
    return edit.build


def test_a_plain_drawing_fits() -> None:
    """Two blocks of 80 x 60 x 25 mm, joined straight at 18 mm."""
    assert fit(bench(block("a"), block("b"), runs=(run("a.outlet", "b.inlet"),))) == ()


@pytest.mark.parametrize("name", sample_loops.names())
def test_the_samples_fit(name: str) -> None:
    build = load(sample_loops.sample(name))
    for layout in build.layouts:
        assert fit(build, layout.name) == ()


def test_a_part_that_stands_too_high_is_lowered() -> None:
    build = bench(block("a"), places=({"height_mm": 80.0},))
    found = only(build, "too_high")
    assert found.text == "A reaches 105 mm, the lid is at 100 mm"
    assert found.remedy == "lower it by 5 mm"
    assert fit(after(build, found)) == ()


def test_a_part_on_edge_that_is_too_high_is_laid_flat() -> None:
    """120 mm wide, 25 mm high: on edge it reaches 120 mm under a lid at 100 mm."""
    build = bench(block("a", width_mm=120.0), places=({"lie": "on edge"},))
    found = only(build, "too_high")
    assert found.text == "A reaches 120 mm, the lid is at 100 mm"
    assert found.remedy == "lay it flat"
    assert fit(after(build, found)) == ()


def test_a_part_too_high_however_it_lies_has_no_edit() -> None:
    build = bench(block("a", height_mm=120.0, length_mm=110.0, width_mm=110.0))
    found = only(build, "too_high")
    assert found.remedy == "choose a lower part, or raise the lid to 120 mm"
    assert remedied(build, LAYOUT, found) is None


def test_a_tube_counts_with_its_outside() -> None:
    """Centre at 94 mm under a lid at 100 mm: 13 mm outside reach 100.5 mm."""
    up = (run("a.outlet", "b.inlet", (150, 150, 94), (200, 150, 94), radius_mm=0),)
    build = bench(block("a"), block("b"), runs=up)
    found = only(build, "too_high")
    assert found.part == "run"
    assert fit(after(build, found)) == ()
    assert fit(edits.change_build(build, enclosure=build.enclosure.with_values(clear_height_mm=100.5)).build) == ()


def test_what_reaches_into_the_floor_is_raised() -> None:
    down = run("a.outlet", "b.inlet", (150, 150, 3), (200, 150, 3), radius_mm=0)
    build = bench(block("a"), block("b"), runs=(down,))
    assert fit(after(build, only(build, "too_low"))) == ()
    sunk = bench(block("a"), places=({"height_mm": -4.0},))
    assert fit(after(sunk, only(sunk, "too_low"))) == ()


def test_a_part_outside_is_moved_inside() -> None:
    build = bench(block("a"), places=({"x_mm": 20.0},))
    moved = after(build, only(build, "outside"))
    assert moved.layout().placement("a").x_mm == 40.0
    assert fit(moved) == ()


def test_an_outline_with_a_notch_leaves_out_what_stands_in_the_notch() -> None:
    corners = ((0, 0), (900, 0), (900, 600), (200, 600), (200, 300), (0, 300))
    notch = [PlanPoint(x_mm=x, y_mm=y) for x, y in corners]
    inside = bench(block("a"), outline=notch)
    assert fit(inside) == ()
    assert only(edits.move(inside, LAYOUT, "a", 100, 400).build, "outside").part == "a"
    through = (run("a.outlet", "b.outlet", (150, 450, 18), (150, 150, 18), radius_mm=0),)
    build = bench(block("a"), block("b", ports_at="one end"), runs=through, outline=notch)
    assert "outside" in [found.code for found in fit(build) if found.part == "run"]


def test_supplies_outside_the_machine_are_no_matter_of_fit() -> None:
    supply = Supply(id="s", name="Supply", stands="outside")
    assert fit(bench(supply, places=({"x_mm": -300.0},))) == ()


def test_two_parts_in_one_place_are_said_once() -> None:
    build = bench(block("a"), block("b"), places=({}, {"x_mm": 110.0, "rotation_deg": 30.0}))
    found = only(build, "part_over_part")
    assert (found.part, found.others) == ("a", ("b",))
    assert fit(edits.change_placement(build, LAYOUT, "b", height_mm=25.0).build) == ()  # one on the other


def crossing(height_mm: float) -> Build:
    """A straight tube at 18 mm, and another across it at some height."""
    lifted = {"height_mm": height_mm - 18.0, "rotation_deg": 90.0}
    return bench(
        block("a"), block("b"), block("c"), block("d"),
        places=({}, {}, {"x_mm": 180.0, "y_mm": 60.0, **lifted}, {"x_mm": 180.0, "y_mm": 300.0, **lifted}),
        runs=(run("a.outlet", "b.inlet", run_id="one"), run("c.outlet", "d.inlet", run_id="two")),
    )  # fmt: skip


PLACES = (*PLACES, 780.0)


def test_tubes_that_cross_need_the_sum_of_their_radii() -> None:
    """13 mm outside both: 13 mm between their middles are enough, 9 mm are not, whatever the plan shows."""
    assert fit(crossing(31.0)) == ()
    found = only(crossing(27.0), "tubes_meet")
    assert (found.part, found.others, found.at) == ("one", ("two",), (180.0, 150.0, 18.0))
    assert "at 180, 150 mm, 18 mm up: their middles are 9 mm apart, 13 mm are needed" in found.text
    assert found.remedy.startswith("raise one of them there by 4 mm")


def test_the_remedy_for_a_crossing_leads_round() -> None:
    build = crossing(18.0)
    assert fit(after(build, only(build, "tubes_meet"))) == ()


def test_a_tube_through_a_part_is_led_round_it() -> None:
    build = bench(block("a"), block("mid"), block("b"), runs=(run("a.outlet", "b.inlet"),))
    found = only(build, "through_part")
    assert (found.part, found.others) == ("run", ("mid",))
    assert fit(after(build, found)) == ()
    assert fit(edits.change_placement(build, LAYOUT, "mid", height_mm=25.0).build) == ()  # 24.5 mm is the tube's top


def test_a_tube_may_touch_its_own_parts_only_at_the_port() -> None:
    back = run("a.outlet", "b.inlet", (140, 150, 18), (140, 150, 60), (-20, 150, 18), (-20, 300, 18), (200, 300, 18))
    build = bench(block("a"), block("b"), runs=(back.with_values(radius_mm=0),))
    assert ("through_part", ("a",)) in [(found.code, found.others) for found in fit(build)]


def test_reserved_spaces_are_kept_free_at_their_heights() -> None:
    build = bench(block("a"), block("b"), runs=(run("a.outlet", "b.inlet"),))
    bay = Reserved(name="drive bay", x_mm=180.0, y_mm=150.0, length_mm=60.0, width_mm=60.0, low_mm=0.0, high_mm=30.0)
    taken = edits.change_layout(build, LAYOUT, reserved=(bay,)).build
    found = only(taken, "reserved")
    assert "passes the reserved space drive bay at " in found.text
    assert fit(after(taken, found)) == ()
    above = bay.with_values(low_mm=25.0, high_mm=None)
    assert fit(edits.change_layout(build, LAYOUT, reserved=(above,)).build) == ()
    over_part = bay.with_values(x_mm=60.0)
    assert {each.part for each in fit(edits.change_layout(build, LAYOUT, reserved=(over_part,)).build)} >= {"a"}


def test_a_bend_drawn_too_tight_gets_the_least_radius() -> None:
    turned = bench(
        block("a"), block("b"), places=({}, {"y_mm": 400.0, "rotation_deg": 90.0}),
        runs=(run("a.outlet", "b.inlet", (300, 150, 18), radius_mm=25),),
    )  # fmt: skip
    found = only(turned, "tight_bend")
    assert "radius 25 mm (as drawn), 10/13 kinks below 40 mm" in found.text
    assert found.at == (300, 150, 18)
    assert fit(after(turned, found)) == ()


def zigzag(step_mm: float, least_mm: float) -> Build:
    """Two corners some way apart, both asked to turn with 40 mm."""
    middle = 180.0
    build = bench(
        block("a"), block("b"), places=({}, {"y_mm": 150.0 + step_mm}),
        runs=(run("a.outlet", "b.inlet", (middle, 150, 18), (middle, 150 + step_mm, 18)),),
    )  # fmt: skip
    return edits.change_tube(build, "t", least_radius_mm=least_mm).build


def test_corners_too_close_for_their_bends_become_elbows_or_smaller() -> None:
    """60 mm between two quarter turns leave each a radius of 30 mm."""
    tight = zigzag(60.0, 40.0)
    found = [each for each in fit(tight) if each.code == "tight_bend"]
    assert len(found) == 2
    assert "radius 30 mm (there is no room for more)" in found[0].text
    assert len(fit(after(tight, found[0]))) == 1 or fit(after(tight, found[0])) == ()
    roomy = zigzag(60.0, 25.0)
    close = fit(roomy)
    assert [(each.code, each.quiet) for each in close] == [("close_corners", True)] * 2
    assert fit(after(roomy, close[0])) == ()
    assert fit(zigzag(80.0, 40.0)) == ()


def test_a_run_that_leaves_its_port_backward_is_led_out_of_the_front() -> None:
    """Out of the outlet, which looks right, but up and to the left."""
    over = run("a.outlet", "b.inlet", (60, 150, 60), (60, 300, 60), (240, 300, 18), radius_mm=0)
    build = bench(block("a"), block("b"), runs=(over,))
    codes = [found.code for found in fit(build)]
    assert "backward_exit" in codes
    found = fit(build)[codes.index("backward_exit")]
    assert "leaves A, outlet, backward" in found.text
    assert fit(after(build, found)) == ()


def test_a_run_that_leaves_its_port_sideways_is_told_but_for_an_elbow_right_there() -> None:
    """Out of the outlet, which looks right, at a right angle; 45 degrees and less a tube takes by itself."""
    aside = [run("a.outlet", "b.inlet", (110, 300, 18), (200, 300, 18), radius_mm=0)]
    build = bench(block("a"), block("b"), runs=tuple(aside))
    outlet = build.port_spot(build.layout(), "a.outlet")
    led = {
        "sideways": (Corner(x_mm=outlet.x_mm, y_mm=300, height_mm=18), Corner(x_mm=200, y_mm=300, height_mm=18)),
        "45 degrees": (Corner(x_mm=outlet.x_mm + 60, y_mm=outlet.y_mm + 60, height_mm=18),),
    }
    led["elbow"] = (Corner(x_mm=outlet.x_mm, y_mm=outlet.y_mm, height_mm=18, turn="elbow"), *led["sideways"])
    told = {
        how: [
            each.text
            for each in fit(edits.change_run(build, LAYOUT, build.layout().runs[0].id, corners=corners).build)
            if each.code == "sideways_exit" and "leaves A" in each.text
        ]
        for how, corners in led.items()
    }
    assert told["sideways"] == ["the tube from A to B leaves A, outlet, sideways"]
    assert told["45 degrees"] == told["elbow"] == []


def test_joints_above_electronics_are_warned_of() -> None:
    board = AirComponent(id="board", name="Board", length_mm=300.0, width_mm=100.0, height_mm=10.0)
    build = bench(block("a"), block("b"), board, runs=(run("a.outlet", "b.inlet"),), places=({}, {}, {"x_mm": 150.0}))
    raised = build
    for part in ("a", "b"):
        raised = edits.change_placement(raised, LAYOUT, part, height_mm=30.0).build
    found = fit(raised)
    assert {each.code for each in found} == {"joint_above"}
    assert "the joint at A, outlet sits above Board" in found[0].text
    aside = edits.move(raised, LAYOUT, "board", 700.0, 400.0).build
    assert fit(aside) == ()


def test_an_elbow_above_a_board_is_a_joint_and_whole_tube_is_none() -> None:
    space = Reserved(
        name="main board", rule="electronics below", x_mm=180, y_mm=150, length_mm=80, width_mm=80, high_mm=5
    )
    straight = bench(block("a"), block("b"), runs=(run("a.outlet", "b.inlet"),))
    assert fit(edits.change_layout(straight, LAYOUT, reserved=(space,)).build) == ()
    corner = Corner(x_mm=180, y_mm=150, height_mm=18, turn="elbow")
    with_elbow = edits.change_run(straight, LAYOUT, "run", corners=(corner,)).build
    found = only(edits.change_layout(with_elbow, LAYOUT, reserved=(space,)).build, "joint_above")
    assert "the elbow at corner 1 of the tube from A to B sits above main board" in found.text


def loop_of(*parts: Part, backwards: str) -> Build:
    """Parts in a ring, all joined outlet to inlet but one."""
    ways = {part.id: ("inlet", "outlet") if part.id != backwards else ("outlet", "inlet") for part in parts}
    ring = [*parts, parts[0]]
    corners = (((820, 150, 40), (820, 500, 40), (20, 500, 40), (20, 150, 40)),)
    runs = [
        run(
            f"{a.id}.{ways[a.id][1]}",
            f"{b.id}.{ways[b.id][0]}",
            *(corners[0] if b is parts[0] else ()),
            run_id=f"r{n}",
            radius_mm=0,
        )
        for n, (a, b) in enumerate(pairwise(ring))
    ]
    return bench(*parts, runs=tuple(runs))


@pytest.mark.parametrize("kind", [CheckValve, Filter])
def test_what_works_one_way_only_is_not_entered_by_its_outlet(kind: type[Part]) -> None:
    odd = kind(id="odd", name="Odd")
    build = loop_of(Pump(id="p", name="Pump"), block("b"), odd, backwards="odd")
    found = fit(build)[0]
    assert (found.code, found.part) == ("backwards", "odd")
    assert "backwards" not in {each.code for each in fit(after(build, found))}
    assert "backwards" not in {each.code for each in fit(loop_of(Pump(id="p", name="Pump"), odd, backwards=""))}


def test_two_pumps_that_push_against_each_other_are_found() -> None:
    build = loop_of(Pump(id="p", name="Pump"), Pump(id="q", name="Second"), backwards="q")
    found = fit(build)[0]
    assert (found.code, found.part) == ("backwards", "q")
    assert "Second pushes against another pump" in found.text
    series = loop_of(Pump(id="p", name="Pump"), Pump(id="q", name="Second"), backwards="")
    assert "backwards" not in {each.code for each in fit(series)}


def test_where_the_drawing_does_not_tell_nothing_is_claimed() -> None:
    """A block is alike both ways, and without a pump no direction is known."""
    odd = CheckValve(id="odd", name="Odd")
    assert "backwards" not in {each.code for each in fit(loop_of(odd, block("b"), backwards="odd"))}
    assert "backwards" not in {each.code for each in fit(loop_of(Pump(id="p", name="Pump"), block("b"), backwards="b"))}


def test_aluminium_and_copper_in_one_circuit_corrode() -> None:
    """Anodic index 0.90 V and 0.35 V (from memory, table with MIL-STD-889): 0.55 V, where 0.25 V are usual."""
    radiator = Radiator(id="rad", name="Radiator", wetted="aluminium", length_mm=120.0)
    joined = bench(block("a", wetted="copper"), radiator, runs=(run("a.outlet", "rad.a"),))
    found = only(joined, "mixed_metals")
    assert found.text.startswith("Radiator has aluminium, A copper, in one circuit: they lie 0.55 V apart")
    assert (found.part, found.others) == ("rad", ("a",))
    assert fit(edits.remove_run(joined, LAYOUT, "run").build) == ()
    assert fit(edits.change_part(joined, "rad", wetted="not stated").build) == ()


@pytest.mark.parametrize("pair", [("copper", "brass"), ("copper", "nickel"), ("nickel", "stainless steel")])
def test_metals_that_go_together_in_practice_are_left_alone(pair: tuple[str, str]) -> None:
    one, other = block("a", wetted=pair[0]), block("b", wetted=pair[1])
    assert fit(bench(one, other, runs=(run("a.outlet", "b.inlet"),))) == ()


def test_metal_tube_counts_too() -> None:
    build = bench(block("a", wetted="aluminium"), block("b"), runs=(run("a.outlet", "b.inlet"),))
    copper = edits.change_tube(build, "t", material="drawn copper or brass").build
    assert only(copper, "mixed_metals").others == ("run",)


def test_harm_orders_what_is_found() -> None:
    build = crossing(18.0)
    build = edits.change_placement(build, LAYOUT, "b", height_mm=90.0).build
    build = edits.change_part(build, "a", wetted="aluminium").build
    build = edits.change_part(build, "b", wetted="copper").build
    codes = [found.code for found in fit(build)]
    assert codes == sorted(codes, key=BY_HARM.index)
    assert codes[0] == "mixed_metals"


def test_findings_of_the_drawing_contain_those_of_fit() -> None:
    build = crossing(18.0)
    assert set(fit(build)) <= set(findings(build))


def test_an_elbow_part_has_its_port_inside_its_outline_and_is_no_obstacle_to_its_own_run() -> None:
    elbow = Elbow(id="e", name="Elbow", angle="45 degrees")
    corner = run("e.b", "b.inlet", (120, 210, 9), (200, 150, 18), radius_mm=0)
    assert "through_part" not in {each.code for each in fit(bench(elbow, block("b"), runs=(corner,)))}


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from("abcd"), st.integers(0, 900), st.integers(0, 600), st.integers(0, 60)), max_size=8
    )
)
def test_what_is_kept_from_step_to_step_never_differs_from_a_fresh_look(steps: list) -> None:
    build = crossing(31.0)
    for part, x, y, height in steps:
        build = edits.change_placement(
            build, LAYOUT, part, x_mm=x, y_mm=y, height_mm=height, rotation_deg=x % 360
        ).build
        fresh = Build.model_validate_json(build.model_dump_json())
        assert fit(build) == fit(fresh)


def test_a_room_of_its_own_name_is_asked_for() -> None:
    with pytest.raises(Exception, match="has no layout 'layout 2'"):
        fit(Build(name="b", enclosure=Enclosure()), "layout 2")


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from("abcd"), st.integers(0, 900), st.integers(0, 600), st.integers(-10, 90),
            st.sampled_from([0, 90, 180, 270]), st.sampled_from(["flat", "on edge", "ports up"]),
        ),
        min_size=1, max_size=4,
    )
)  # fmt: skip
def test_a_remedy_mends_what_it_was_offered_for(steps: list) -> None:
    build = crossing(31.0)
    for part, x, y, height, turned, lie in steps:
        stands = {"x_mm": x, "y_mm": y, "height_mm": height, "rotation_deg": turned, "lie": lie}
        build = edits.change_placement(build, LAYOUT, part, **stands).build
    for found in fit(build):
        edit = remedied(build, LAYOUT, found)
        if edit is not None:
            left = [(each.code, each.part, each.at, each.others) for each in fit(edit.build)]
            assert (found.code, found.part, found.at, found.others) not in left, found


def leaving(*holes: dict, heights: float = 18.0) -> Build:
    """A tube that leaves by the back wall at x = 150 and comes back at x = 450."""
    way = ((150, 300, heights), (150, 700, heights), (450, 700, heights), (450, 300, heights))
    through = (run("a.outlet", "b.inlet", *way, radius_mm=20),)
    return bench(block("a"), block("b"), runs=through, openings=holes)


def hole(name: str, along: float, **values: object) -> dict:
    return {"name": name, "wall": "back", "along_mm": along, "up_mm": 18.0, **values}


def codes(build: Build) -> list[str]:
    """What is said of walls and lid."""
    return [found.code for found in fit(build) if found.code in ("outside", "too_high")]


def test_a_tube_may_leave_through_holes_that_it_fits_into_and_nowhere_else() -> None:
    assert codes(leaving()) == ["outside"]
    assert codes(leaving(hole("out", 150))) == ["outside"]  # it comes back through the wall
    assert codes(leaving(hole("out", 150), hole("back", 450))) == []
    assert codes(leaving(hole("out", 150), hole("back", 460))) == ["outside"]  # beside it
    assert codes(leaving(hole("out", 150), hole("back", 450, up_mm=40))) == ["outside"]  # above it
    assert codes(leaving(hole("out", 150), hole("back", 450, length_mm=12.9))) == ["outside"]  # 13 mm outside
    assert codes(leaving(hole("out", 150), hole("back", 450, length_mm=13.1, tall_mm=13.1))) == []
    assert codes(leaving(hole("out", 150), hole("back", 450, kind="grille"))) == ["outside"]
    assert codes(leaving(hole("out", 150), hole("back", 450, wall="front"))) == ["outside"]


def test_a_slanted_tube_needs_a_longer_hole() -> None:
    """At 45 degrees the cut through a tube of 13 mm is 13 sqrt 2 = 18.4 mm long, and 13 mm tall as before."""
    way = ((200, 400, 18), (500, 700, 18))
    back = ((500, 850, 18), (540, 400, 18))
    for length, said in ((18.3, ["outside"]), (18.5, [])):
        holes = hole("slant", 400, length_mm=length, tall_mm=13.1), hole("back", 522, length_mm=40)
        tube = run("a.outlet", "b.inlet", *way[:2], *back, radius_mm=0)
        assert codes(bench(block("a"), block("b"), runs=(tube,), openings=holes)) == said


def test_a_tube_may_pass_the_lid_through_a_hole_at_that_place() -> None:
    way = ((150, 150, 18), (150, 150, 130), (400, 150, 130), (400, 150, 18))
    build = bench(block("a"), block("b"), runs=(run("a.outlet", "b.inlet", *way, radius_mm=0),))
    assert "too_high" in codes(build)
    holes = [{"name": str(x), "wall": "lid", "along_mm": x, "up_mm": 150.0} for x in (150.0, 400.0)]
    assert codes(edits.change_build(build, enclosure=build.enclosure.with_values(openings=tuple(holes))).build) == []
    moved = [holes[0], holes[1] | {"up_mm": 170.0}]
    assert "too_high" in codes(
        edits.change_build(build, enclosure=build.enclosure.with_values(openings=tuple(moved))).build
    )
