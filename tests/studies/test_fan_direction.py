"""Fans drawn blowing against what their sheet says: named, and turned round with a button."""

import pytest

import sample_loops
from loopsim.build import Build, Enclosure, Placement, edits, load
from loopsim.parts import AirFilter, Fan, Radiator
from loopsim.studies import findings, heat_point
from loopsim.studies.fit import remedied

LAYOUT = "layout 1"


def against(build: Build, layout: str | None = None):
    return [finding for finding in findings(build, layout) if finding.code == "fan_against"]


def box(**fan: object) -> Build:
    """A fan in the middle of a room of 1200 by 600 mm, its air from the room to the chamber."""
    place = Placement(part="fan", **{"x_mm": 600.0, "y_mm": 300.0, **fan})
    return edits.add_part(
        Build(name="box", enclosure=Enclosure(length_mm=1200, width_mm=600)), LAYOUT, Fan(id="fan", name="Fan"), place
    ).build


def with_part(build: Build, part, **place: object) -> Build:
    return edits.add_part(build, LAYOUT, part, Placement(part=part.id, **place)).build


@pytest.mark.parametrize("name", ["render-plinth", "kiln-lamp", "pier-camera", "awkward-riser"])
def test_samples_draw_their_fans_as_they_blow_and_one_turned_is_named(name: str) -> None:
    build = load(sample_loops.sample(name))
    for layout in build.layouts:
        assert not against(build, layout.name)
    layout = build.layouts[0]
    fan = next(placed for placed in layout.placed if isinstance(build.part(placed.part), Fan))
    turned = edits.change_placement(build, layout.name, fan.part, rotation_deg=(fan.rotation_deg + 180) % 360).build
    (finding,) = against(turned, layout.name)
    assert finding.part == fan.part
    assert f"drawn blowing towards {fan.air_from or 'room'}" in finding.text


def test_the_remedy_turns_it_round_in_one_edit_and_it_is_named_no_more() -> None:
    build = load(sample_loops.sample("pier-camera"))
    name = build.layouts[0].name
    turned = edits.change_placement(build, name, "fan", rotation_deg=270.0).build
    edit = remedied(turned, name, *against(turned, name))
    assert edit.text == "Turn Fan round"
    assert edit.build.layout(name).placement("fan") == build.layout(name).placement("fan")
    assert not against(edit.build, name)


def test_its_air_goes_as_its_sheet_says_and_swapping_that_turns_the_air() -> None:
    build = load(sample_loops.sample("pier-camera"))
    name = build.layouts[0].name
    turned = edits.change_placement(build, name, "fan", rotation_deg=270.0).build
    as_drawn = edits.change_placement(turned, name, "fan", air_from="shroud", air_to="cabinet").build
    one, drawn, other = (heat_point(each, name) for each in (build, turned, as_drawn))
    assert drawn.fans[0].flow == one.fans[0].flow
    assert not against(as_drawn, name)
    through = [heat.coupled.air.flow["radiator"] for heat in (one, other)]
    assert through[0] > 0 > through[1]


@pytest.mark.parametrize(("x_mm", "rotation_deg", "is_named"), [
    (40.0, 0.0, False), (40.0, 180.0, True), (1160.0, 180.0, False), (1160.0, 0.0, True), (600.0, 0.0, False),
])  # fmt: skip
def test_with_nothing_beside_it_a_near_wall_tells(x_mm: float, rotation_deg: float, is_named: bool) -> None:
    """From the room into the chamber: the wall belongs behind it."""
    assert bool(against(box(x_mm=x_mm, rotation_deg=rotation_deg))) == is_named


def test_what_does_not_stand_in_line_with_it_tells_nothing() -> None:
    mat = AirFilter(id="mat", name="Mat")
    spaces = {"air_from": "room", "air_to": "intake"}
    ahead, aside = (
        with_part(box(air_from="intake"), mat, x_mm=800.0, y_mm=y_mm, rotation_deg=0.0, **spaces)
        for y_mm in (300.0, 20.0)
    )
    assert against(ahead)
    assert not against(aside)


def test_parts_that_tell_against_each_other_name_nobody() -> None:
    """A filter of its intake behind it, and one ahead: who knows how that is meant."""
    build = box(air_from="intake")
    for name, x_mm in (("one", 400.0), ("two", 800.0)):
        mat = AirFilter(id=name, name=name)
        build = with_part(build, mat, x_mm=x_mm, y_mm=300.0, air_from="room", air_to="intake")
    assert not against(build)


def test_a_radiator_behind_a_fan_that_blows_into_its_shroud_names_the_fan() -> None:
    shroud = {"air_from": "shroud", "air_to": "room"}
    ahead, behind = (
        with_part(
            box(air_to="shroud"), Radiator(id="rad", name="Rad"), x_mm=x_mm, y_mm=300.0, rotation_deg=90.0, **shroud
        )
        for x_mm in (800.0, 400.0)
    )
    assert not against(ahead)
    assert against(behind)


def test_a_fan_that_stirs_one_space_or_blows_up_is_not_told() -> None:
    assert not against(box(x_mm=40.0, rotation_deg=180.0, air_from="chamber"))
    assert not against(box(x_mm=40.0, rotation_deg=180.0, lie="ports up"))
