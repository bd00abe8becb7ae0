"""Both sides of the heat budget, and the coolant's way up and down in temperature."""

import pytest

from loopsim.build import edits
from loopsim.errors import SketchError
from loopsim.parts import AirComponent, Supply
from loopsim.studies import heat_balance, heat_point, staircases
from tests.studies.test_heat import LAYOUT, add, machine


def test_both_sides_of_the_balance_add_up() -> None:
    build = add(machine(), AirComponent(id="board", name="Board", load_w=40))
    build = add(build, Supply(id="supply", name="Supply", rating_w=400, stands="outside",
                              feeds=[{"part": "block"}, {"part": "board"}]))  # fmt: skip
    heat = heat_point(build)
    balance = heat_balance(heat)
    assert balance.total == pytest.approx(heat.budget.electrical, rel=1e-9)
    assert balance.left == pytest.approx(0.0, abs=1e-6 * balance.total)
    assert balance.out[-1].name == "outside"
    assert balance.out[-1].heat == pytest.approx(240 * (1 / 0.9 - 1), rel=1e-9)


def test_the_largest_of_each_side_comes_first() -> None:
    balance = heat_balance(heat_point(machine()))
    for side in (balance.into, balance.out):
        heats = [line.heat for line in side]
        assert heats == sorted(heats, reverse=True)


def test_heat_without_a_way_out_is_left_over() -> None:
    balance = heat_balance(heat_point(machine(fans=0)))
    assert balance.left == pytest.approx(balance.total, rel=1e-6)


def test_the_staircase_rises_through_the_block_and_falls_through_the_radiator() -> None:
    heat = heat_point(machine())
    (stairs,) = staircases(heat)
    by_id = {step.id: step for step in stairs.steps}
    assert by_id["block"].change > 0 > by_id["radiator"].change
    assert (by_id["block"].enters, by_id["block"].leaves) == pytest.approx(heat.streams["block"])
    assert by_id["reservoir"].change == 0
    assert stairs.room == 22


def test_the_staircase_closes_on_itself_and_has_no_gaps() -> None:
    (stairs,) = staircases(heat_point(machine()))
    assert stairs.corners[0][1] == pytest.approx(stairs.corners[-1][1])
    for one, other in zip(stairs.steps, stairs.steps[1:], strict=False):
        assert (one.end, one.leaves) == (other.start, other.enters)
    assert stairs.warmest.id in ("block", "run_3")
    assert stairs.coldest.leaves == min(step.leaves for step in stairs.steps)


def test_all_changes_along_the_way_add_up_to_nothing() -> None:
    (stairs,) = staircases(heat_point(machine(load=400)))
    assert sum(step.change for step in stairs.steps) == pytest.approx(0.0, abs=1e-9)


def test_coolant_that_never_settles_has_no_staircase() -> None:
    assert staircases(heat_point(machine(fans=0))) == ()


def test_a_way_through_something_that_is_not_there_is_refused() -> None:
    build = edits.remove_part(machine(), LAYOUT, "fan_0").build
    with pytest.raises(SketchError, match="does not place a part 'fan_0'"):
        staircases(heat_point(build), "fan_0")
