"""Tilting the machine to let air out."""

from collections.abc import Callable

import pytest

from loopsim.build import Build, load
from loopsim.network import LEVEL, Tilt
from loopsim.studies import operating_point
from loopsim.studies.fill import air_map, tilt_plan
from loopsim.studies.fill.tilt import tilts_within

Make = Callable[..., Build]


def test_the_grid_holds_level_first_and_both_ends() -> None:
    tilts = tilts_within(Tilt(12, 5), 5)
    assert tilts[0] == LEVEL
    assert {tilt.right_up_deg for tilt in tilts} == {-12, -10, -5, 0, 5, 10, 12}
    assert {tilt.back_up_deg for tilt in tilts} == {-5, 0, 5}


def test_a_tube_that_dips_towards_the_port_is_freed_by_lifting_that_side(between: Make) -> None:
    """A hump of 10 mm over 200 mm: lifting the right by more than 6 degrees leads all its air to the port there."""
    plan = tilt_plan(between(0, 0, 9, 19, 9), most=Tilt(20, 0), opened=["b"])
    assert plan.trapped > 0
    assert plan.steps[0].tilt.right_up_deg > 5
    assert plan.left < 0.2 * plan.trapped


def test_two_humps_on_both_sides_of_the_port_take_two_tilts(build: Make, tube: Callable) -> None:
    """A port in the middle, blind lines sloping down by 3 degrees to both sides: one tilt frees one side only."""
    from loopsim.parts import BleedPort, FillPort

    bench = build(
        {
            BleedPort(id="port", name="Port"): {"x_mm": 800, "y_mm": 200, "height_mm": 50},
            FillPort(id="left", name="Left", opening_height_mm=9): {"x_mm": 300, "y_mm": 200, "height_mm": 50},
            FillPort(id="right", name="Right", opening_height_mm=9): {"x_mm": 1300, "y_mm": 200, "height_mm": 50},
        },
        [
            tube("to_left", "left.b", "port.a", (550, 200, 44)),
            tube("to_right", "port.b", "right.a", (1050, 200, 44)),
        ],
    )
    plan = tilt_plan(bench, most=Tilt(20, 0), opened=["port"])
    assert len(plan.steps) == 2
    first, second = (step.tilt.right_up_deg for step in plan.steps)
    assert first * second < 0
    assert plan.left < 0.3e-6


def test_what_is_freed_and_what_is_left_add_up() -> None:
    build = load("sample_loops/render-plinth.loop.json")
    plan = tilt_plan(build)
    assert plan.trapped == pytest.approx(air_map(operating_point(build)).gas)
    assert plan.trapped == pytest.approx(plan.left + sum(step.freed for step in plan.steps))
    assert sum(plan.left_at.values()) <= plan.left + 1e-12
    lefts = [step.left for step in plan.steps]
    assert lefts == sorted(lefts, reverse=True)


def test_progress_is_told_to_the_end_and_may_stop_the_search(between: Make) -> None:
    told: list[float] = []
    tilt_plan(between(0, 0, 30), most=Tilt(10, 10), progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1

    def stop(share: float) -> None:
        raise KeyboardInterrupt(share)

    with pytest.raises(KeyboardInterrupt):
        tilt_plan(between(0, 0, 30), progress=stop)


def test_a_vessel_that_would_spill_is_named(loop: Make) -> None:
    """44 mm of liquid under a lid at 50 mm: over half of 160 mm, 5 degrees bring the surface to the lid."""
    plan = tilt_plan(loop(19, 30, 19), most=Tilt(20, 0))
    assert plan.steps
    assert plan.steps[0].spills == ("Vessel",)
