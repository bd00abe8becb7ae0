"""The quietest speeds against a grid of all speeds, and what must hold of them."""

from itertools import product

import numpy as np
import pytest

from loopsim.build import Build, edits
from loopsim.errors import SketchError
from loopsim.studies import heat_point, quiet
from loopsim.studies.quiet import each_quiet, speed_groups
from loopsim.studies.quiet.groups import set_speeds

from ..failing.struck import LAYOUT, machine


@pytest.fixture(scope="module")
def build() -> Build:
    """Warm enough that speeds matter."""
    return machine(load=250.0, limit=72.0)


@pytest.fixture(scope="module")
def found(build: Build):
    return quiet(build)


def test_alike_machines_form_groups(build: Build) -> None:
    groups = speed_groups(build, build.layout())
    assert [(group.name, group.parts) for group in groups] == [
        ("Pump", ("pump",)),
        ("Fan 1 and Fan 2", ("fan_1", "fan_2")),
    ]
    assert groups[1].least == 0.3  # below, its fans do not start
    mixed = edits.change_placement(build, LAYOUT, "fan_2", air_to="elsewhere").build
    assert len(speed_groups(mixed, mixed.layout())) == 3


def test_no_speeds_of_a_grid_are_quieter(build: Build, found) -> None:
    """All 12 by 12 speeds solved: none that holds its limits is quieter, and the quietest is not far away."""
    loudness = []
    for speeds in product(*(np.linspace(group.least, group.most, 12) for group in found.groups)):
        heat = heat_point(set_speeds(build, LAYOUT, found.groups, speeds))
        if heat.warmest.margin >= 0 and heat.sound is not None:
            loudness.append(heat.sound)
    assert found.best.sound <= min(loudness) + 0.02
    assert found.best.sound >= min(loudness) - 3.5  # a step of the grid is a twelfth of the speed


def test_the_best_holds_its_limits_and_is_a_solved_machine(build: Build, found) -> None:
    heat = heat_point(set_speeds(build, LAYOUT, found.groups, found.best.speeds))
    assert heat.warmest.margin >= -1e-4
    assert heat.warmest.margin == pytest.approx(found.best.margin, abs=1e-4)
    assert heat.sound == pytest.approx(found.best.sound)
    assert found.best.sound < found.now.sound


def test_more_margin_costs_more_sound(found) -> None:
    margins, sounds = [point.margin for point in found.curve], [point.sound for point in found.curve]
    assert margins == sorted(margins)
    assert sounds == sorted(sounds)
    assert found.curve[0] is found.best


def test_a_margin_that_is_wanted_is_kept(build: Build) -> None:
    found = next(each_quiet(build, margin=2.0))  # what more margin costs comes after
    assert found.best.margin == pytest.approx(2.0, abs=0.05)


def test_speeds_stay_where_fans_start(found) -> None:
    for point in found.curve:
        for group, speed in zip(found.groups, point.speeds, strict=True):
            assert group.least <= speed <= group.most


def test_where_the_coolant_boils_at_any_speed_no_margin_is_told() -> None:
    """There is no temperature to take from a limit, so a number of kelvin would be made up."""
    boiling = quiet(machine(load=20_000.0, limit=72.0))
    assert (boiling.best, boiling.now.settles) == (None, False)
    assert "boils" in boiling.sentence
    assert "K" not in boiling.sentence


def test_one_pump_cannot_be_survived(build: Build) -> None:
    found = quiet(build, survive=True)
    assert (found.best, found.curve) == (None, ())
    assert "cannot run slower" in found.sentence


def test_what_cannot_be_searched_is_refused(build: Build) -> None:
    bare = build
    for part_id in ("pump", "fan_1", "fan_2"):
        bare = edits.remove_part(bare, LAYOUT, part_id).build
    with pytest.raises(SketchError, match="no pump or fan whose speed could be set"):
        quiet(bare)
    with pytest.raises(SketchError, match="must be a number of kelvin, got nan"):
        quiet(build, margin=float("nan"))
    with pytest.raises(SketchError, match="no component with a limit"):
        quiet(edits.remove_part(build, LAYOUT, "block").build)
