"""Steps that are done, kept with their layout."""

from pathlib import Path

import pytest

from loopsim.build import Build, edits, from_text, load, to_text
from loopsim.build.layout_edits import copy_layout
from loopsim.build.ticks import differ_in_ticks_only, ticked
from loopsim.studies.fill import drain_plan, fill_plan

STEPS = ("1 make ready", "2 pour reservoir/lid 100 mL", "3 check")


@pytest.fixture
def plinth(plinth_path: Path) -> Build:
    return load(plinth_path)


def tick(build: Build, step: str, is_done: bool = True, steps: tuple[str, ...] = STEPS) -> Build:
    return ticked(build, build.layout().name, "filled_steps", step, steps, is_done).build


def test_ticks_stand_in_the_order_of_the_plan_and_can_be_taken_away(plinth: Build) -> None:
    both = tick(tick(plinth, STEPS[2]), STEPS[0])
    assert both.layout().filled_steps == (STEPS[0], STEPS[2])
    assert tick(both, STEPS[0], is_done=False).layout().filled_steps == (STEPS[2],)


def test_a_tick_of_a_step_that_is_no_longer_planned_goes_with_the_next_one(plinth: Build) -> None:
    done = tick(plinth, STEPS[1])
    changed = (STEPS[0], "2 pour reservoir/lid 200 mL", STEPS[2])
    assert tick(done, STEPS[0], steps=changed).layout().filled_steps == (STEPS[0],)


def test_the_edit_says_what_was_ticked(plinth: Build) -> None:
    name = plinth.layout().name
    assert ticked(plinth, name, "filled_steps", STEPS[1], STEPS, True).text == "Tick step 2 of filling"
    assert ticked(plinth, name, "drained_steps", STEPS[1], STEPS, False).text == "Untick step 2 of draining"


def test_a_file_keeps_ticks_and_says_nothing_of_them_where_there_are_none(plinth: Build) -> None:
    done = tick(plinth, STEPS[0])
    assert from_text(to_text(done)) == done
    assert "filled_steps" in to_text(done)
    assert "_steps" not in to_text(plinth)


def test_a_copy_of_a_layout_begins_without_ticks(plinth: Build) -> None:
    done = tick(plinth, STEPS[0])
    assert copy_layout(done, done.layout().name, "another").build.layout("another").filled_steps == ()


def test_only_ticks_make_no_other_plan(plinth: Build) -> None:
    assert differ_in_ticks_only(plinth, tick(plinth, STEPS[0]))
    moved = edits.move(plinth, plinth.layout().name, "fan_1", 300.0, 200.0).build
    assert not differ_in_ticks_only(plinth, moved)
    assert not differ_in_ticks_only(plinth, edits.change_part(plinth, "reservoir", level_mm=40.0).build)


def test_every_step_of_a_plan_has_a_key_of_its_own_that_changes_with_what_is_to_be_done(plinth: Build) -> None:
    steps, drained = fill_plan(plinth).steps, drain_plan(plinth).steps
    for keys in ([each.key for each in steps], [each.key for each in drained]):
        assert len(set(keys)) == len(keys)
    lower = edits.change_part(plinth, "reservoir", level_mm=38.0).build
    pours = [next(each.key for each in plan if each.action == "pour") for plan in (steps, fill_plan(lower).steps)]
    assert pours[0] != pours[1]
    readies = [plan[0].key for plan in (steps, fill_plan(lower).steps)]
    assert readies[0] == readies[1]
