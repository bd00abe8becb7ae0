"""Edits lead from build to build and never change the one they are given."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopsim.build import Build, Placement, edits, to_text
from loopsim.errors import LoopsimError, PartDataError, SketchError
from loopsim.parts import Block, TubeRun

LAYOUT = "layout 1"


def test_moving_a_part_changes_only_its_placement(build: Build) -> None:
    edit = edits.move(build, LAYOUT, "pump", 320, 110)
    assert edit.text == "Move Pump"
    assert edit.build.layout().placement("pump").x_mm == 320
    assert build.layout().placement("pump").x_mm == 300
    assert all(after is before for after, before in zip(edit.build.parts, build.parts, strict=True))
    assert all(a is b for a, b in zip(edit.build.layout().runs, build.layout().runs, strict=True))


def test_every_build_has_a_revision_of_its_own(build: Build) -> None:
    moved = edits.move(build, LAYOUT, "pump", 320, 110).build
    back = edits.move(moved, LAYOUT, "pump", 300, 100).build
    assert len({build.revision, moved.revision, back.revision}) == 3
    assert back == build


def test_quarter_turns_add_up(build: Build) -> None:
    turned = build
    for _ in range(4):
        turned = edits.rotate(turned, LAYOUT, "pump", 90).build
    assert turned == build


def test_a_part_leaves_with_the_runs_that_end_on_it(build: Build) -> None:
    edit = edits.remove_part(build, LAYOUT, "pump")
    assert edit.text == "Remove Pump"
    assert [run.id for run in edit.build.layout().runs] == ["run_3"]
    assert "pump" not in edit.build.parts_by_id


def test_a_part_that_another_layout_places_keeps_its_data(build: Build) -> None:
    other = build.layout().with_values(name="second")
    both = build.with_values(layouts=(*build.layouts, other))
    assert "pump" in edits.remove_part(both, LAYOUT, "pump").build.parts_by_id


def test_correcting_a_part_corrects_it_in_every_layout(build: Build) -> None:
    both = build.with_values(layouts=(*build.layouts, build.layout().with_values(name="second")))
    after = edits.change_part(both, "block", loads=[{"heat_w": 250}]).build
    assert after.part("block").heat_w == 250
    assert len(after.layouts) == 2


def test_a_refused_value_names_part_field_and_range(build: Build) -> None:
    with pytest.raises(PartDataError, match="bore_mm is -1, must be above 0 mm") as caught:
        edits.change_part(build, "pump", bore_mm=-1)
    assert (caught.value.part, caught.value.field) == ("pump", "bore_mm")


def test_a_port_cannot_be_taken_away_under_a_run(build: Build) -> None:
    with pytest.raises(SketchError, match="has no port"):
        edits.change_part(build, "reservoir", port_list=({"name": "other"},))


def test_a_run_cannot_share_a_port(build: Build) -> None:
    with pytest.raises(SketchError, match="holds two tube runs"):
        edits.add_run(build, LAYOUT, TubeRun(id="run_4", start="pump.outlet", end="reservoir.inlet", tube="t"))


def test_ids_of_runs_and_parts_do_not_meet(build: Build) -> None:
    with pytest.raises(SketchError, match="stands here twice"):
        edits.add_part(build, LAYOUT, Block(id="run_1", name="B"), Placement(part="run_1", x_mm=0, y_mm=0))


def test_free_ids_are_free(build: Build) -> None:
    assert edits.free_part_id(build, "pump") == "pump_2"
    assert edits.free_part_id(build, "radiator") == "radiator"
    assert edits.free_run_id(build.layout()) == "run"


CHANGES = {
    "move": lambda build, x: edits.move(build, LAYOUT, "block", x, -x),
    "rotate": lambda build, x: edits.rotate(build, LAYOUT, "pump", x),
    "speed": lambda build, x: edits.change_placement(build, LAYOUT, "pump", speed_percent=x),
    "size": lambda build, x: edits.change_part(build, "block", width_mm=x),
    "radius": lambda build, x: edits.change_run(build, LAYOUT, "run_3", radius_mm=x),
    "bore": lambda build, x: edits.change_tube(build, "t", bore_mm=x),
    "name": lambda build, x: edits.change_build(build, name=f"build {x}"),
    "remove run": lambda build, _: edits.remove_run(build, LAYOUT, "run_3"),
    "remove part": lambda build, _: edits.remove_part(build, LAYOUT, "block"),
}


@settings(max_examples=60)
@given(steps=st.lists(st.tuples(st.sampled_from(sorted(CHANGES)), st.floats(-50, 200)), max_size=12))
def test_any_sequence_of_edits_leaves_every_earlier_build_as_it_was(build: Build, steps: list) -> None:
    seen = [(build, to_text(build))]
    for name, value in steps:
        try:
            seen.append((edit := CHANGES[name](seen[-1][0], value)).build and (edit.build, to_text(edit.build)))
        except LoopsimError:
            continue
    for earlier, text in seen:
        assert to_text(earlier) == text


def test_a_copy_of_a_record_forgets_what_was_worked_out_from_the_old_values(build):
    placement, pump = build.layouts[0].placement("pump"), build.part("pump")
    before = placement.port_spots(pump)["inlet"]
    after = placement.model_copy(update={"x_mm": placement.x_mm + 10}).port_spots(pump)["inlet"]
    assert after.x_mm == before.x_mm + 10
