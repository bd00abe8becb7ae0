"""Layouts as wholes: added, copied, named, ordered, removed."""

from pathlib import Path

import pytest

from loopsim.build import Build, from_text, load, to_text
from loopsim.build.layout_edits import (
    add_layout,
    copy_layout,
    free_layout_name,
    order_layouts,
    remove_layout,
    rename_layout,
)
from loopsim.errors import LoopsimError, SketchError


@pytest.fixture
def plinth(plinth_path: Path) -> Build:
    return load(plinth_path)


def names(build: Build) -> list[str]:
    return [layout.name for layout in build.layouts]


def test_an_empty_layout_comes_last_and_shares_the_parts(plinth: Build):
    edit = add_layout(plinth, "tried at night")
    assert names(edit.build) == [*names(plinth), "tried at night"]
    assert edit.build.layouts[-1].placed == ()
    assert edit.build.parts is plinth.parts or edit.build.parts == plinth.parts
    assert edit.text == "Add layout tried at night"


def test_a_copy_stands_behind_its_original_and_forgets_what_was_measured(plinth: Build):
    first = plinth.layouts[0]
    measured = plinth.with_values(layouts=(first.with_values(measured_flow_l_h=250.0), *plinth.layouts[1:]))
    after = copy_layout(measured, first.name, "another").build
    assert names(after)[:2] == [first.name, "another"]
    assert after.layouts[1].placed == first.placed
    assert (after.layouts[0].measured_flow_l_h, after.layouts[1].measured_flow_l_h) == (250.0, None)


def test_a_layout_is_renamed_but_not_to_a_name_that_is_taken(plinth: Build):
    first, second, *_ = names(plinth)
    assert names(rename_layout(plinth, first, "flat").build)[0] == "flat"
    with pytest.raises(LoopsimError, match=second):
        rename_layout(plinth, first, second)


def test_data_of_parts_that_stand_nowhere_else_go_with_their_layout(plinth: Build):
    after = remove_layout(plinth, "one large pump").build
    placed = {part_id for layout in after.layouts for part_id in layout.placements}
    assert {part.id for part in after.parts} == placed
    assert from_text(to_text(after)) == after
    assert len(after.parts) < len(plinth.parts)


def test_the_only_layout_stays(plinth: Build):
    alone = plinth
    for name in names(plinth)[1:]:
        alone = remove_layout(alone, name).build
    with pytest.raises(SketchError, match="the only one"):
        remove_layout(alone, names(alone)[0])


def test_an_order_names_every_layout_once(plinth: Build):
    wanted = tuple(reversed(names(plinth)))
    assert names(order_layouts(plinth, wanted).build) == list(wanted)
    with pytest.raises(SketchError, match="every layout once"):
        order_layouts(plinth, wanted[:-1])


def test_a_name_that_is_taken_gets_a_number(plinth: Build):
    first = names(plinth)[0]
    assert free_layout_name(plinth, "new") == "new"
    assert free_layout_name(plinth, first) == f"{first} 2"
    assert free_layout_name(add_layout(plinth, f"{first} 2").build, first) == f"{first} 3"
