"""Lift and lock, by hand calculation."""

from collections.abc import Callable

import numpy as np
import pytest

from loopsim.build import Build
from loopsim.parts import Pump
from loopsim.studies.fill import GAS_DERATING, gravity_fill, lock_head, start_ups

Make = Callable[..., Build]


def test_a_single_hump_opposes_with_its_height_above_the_level() -> None:
    """From a level of 0 up to 0.5 m and down to 0 with air: 0.5 m."""
    assert lock_head(np.array([0, 0.5, 0.0]), np.array([0.0, 1.0])) == pytest.approx((0.5, 1))


def test_two_humps_add_up() -> None:
    """0 up to 0.5, air down to 0.1, up to 0.4, air down to 0: opposing columns 0.5 and 0.4 - 0.1, 0.8 m in all."""
    lock, humps = lock_head(np.array([0, 0.5, 0.1, 0.4, 0]), np.array([0, 1.0, 0, 1]))
    assert lock == pytest.approx(0.5 + (0.4 - 0.1))
    assert humps == 2


def test_three_humps_add_up() -> None:
    """Rises of 0.5, 0.3 and 0.6 m; the last leg ends 0.2 m above the level, and there ends the air."""
    heights = np.array([0, 0.5, 0.2, 0.5, 0.1, 0.7, 0.2, 0.0])
    lock, humps = lock_head(heights, np.array([0, 1.0, 0, 1, 0, 1, 0]))
    assert lock == pytest.approx((0.5 - 0.2) + (0.5 - 0.1) + (0.7 - 0.2))
    assert humps == 3


def test_a_leg_full_of_liquid_gives_back_what_the_rise_cost() -> None:
    assert lock_head(np.array([0, 0.5, 0.1, 0.4, 0]), np.zeros(4)) == (0, 0)


def test_half_a_leg_of_air_counts_half() -> None:
    assert lock_head(np.array([0, 0.5, 0.0]), np.array([0, 0.5]))[0] == pytest.approx(0.25)


def test_a_low_loop_starts(loop: Make) -> None:
    """Crest at 250 mm; vessel's level at 144 mm: 106 mm of lift; air in the falling leg down to 112 mm."""
    build = loop(250, vessel_mm=100)
    fill = gravity_fill(build, opening="vessel")
    (start,) = start_ups(build, fill)
    assert start.lift == pytest.approx(0.250 - 0.144)
    assert start.lock == pytest.approx(0.250 - 0.112)
    assert start.humps == 1
    assert start.pumps == ("pump",)
    assert start.shut_off == pytest.approx(4.1)  # of the default compact pump
    assert start.derated == pytest.approx(GAS_DERATING * 4.1)
    assert start.verdict == "starts"


def test_two_humps_in_a_line_lock_with_both(loop: Make) -> None:
    """Crests at 300 and 280 mm with 150 mm between; the last leg of air ends at the vessel's port, at 112 mm."""
    build = loop(300, 150, 280, vessel_mm=100)
    (start,) = start_ups(build, gravity_fill(build, opening="vessel"))
    assert start.lock == pytest.approx((0.300 - 0.150) + (0.280 - 0.112))
    assert start.humps == 2
    places, lifts = zip(*start.crests, strict=True)
    assert places == ("line/1", "line/3")
    assert lifts == pytest.approx((0.300 - 0.144, 0.280 - 0.144))
    assert start.lift == max(lifts)


def test_high_humps_stop_a_pump(loop: Make) -> None:
    """Four rises of a metre each against 4.1 m of shut-off head, 2.9 m with gas: open; with 5 m of lift: never."""
    locked = loop(1200, 200, 1200, 200, 1200, 200, 1200, vessel_mm=100)
    (start,) = start_ups(locked, gravity_fill(locked, opening="vessel"))
    assert start.lock == pytest.approx(3 * 1.0 + 1.2 - 0.112)
    assert start.verdict == "may start"
    high = loop(5200, vessel_mm=100)
    (start,) = start_ups(high, gravity_fill(high, opening="vessel"))
    assert start.verdict == "does not start"


def test_a_slow_pump_has_less_head(loop: Make) -> None:
    build = loop(250, vessel_mm=100)
    (layout,) = build.layouts
    slow = tuple(each.with_values(speed_percent=50.0) if each.part == "pump" else each for each in layout.placed)
    build = build.with_values(layouts=(layout.with_values(placed=slow),))
    (start,) = start_ups(build, gravity_fill(build, opening="vessel"))
    assert start.shut_off == pytest.approx(4.1 / 4)  # with the square of the speed


def test_pumps_in_series_push_together_and_branches_are_told_apart() -> None:
    from loopsim.build import load

    build = load("sample_loops/render-plinth.loop.json")
    starts = start_ups(build, gravity_fill(build))
    assert {start.pumps for start in starts} == {("pump_a", "pump_b")}
    branches = [set(start.way) & {"graphics_1", "graphics_2"} for start in starts]
    assert branches == [{"graphics_1"}, {"graphics_2"}]
    each = [build.part(pump) for pump in starts[0].pumps]
    heads = [part.curve.head[0] for part in each if isinstance(part, Pump)]
    assert starts[0].shut_off == pytest.approx(sum(heads), rel=0.02)
