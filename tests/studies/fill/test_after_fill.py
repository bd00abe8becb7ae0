"""The fall of the level at full pressure, against the gas law by hand."""

from collections.abc import Callable

import numpy as np
import pytest

from loopsim.build import Build
from loopsim.studies import operating_point
from loopsim.studies.fill import air_map, fill_plan
from loopsim.studies.fill.after_fill import level_fall
from loopsim.units import GRAVITY, STANDARD_ATMOSPHERE

Make = Callable[..., Build]


def test_air_in_the_pump_gives_way_as_boyle_says(loop: Make) -> None:
    """Only the pump's volute keeps air; the pressures at its ports, less the column at rest, press on it."""
    build = loop(12, vessel_mm=100)
    point = operating_point(build)
    (pocket,) = (each for each in air_map(point).points if each.verdict != "clears")
    assert pocket.at.item == "pump"
    density = point.state_of("pump").density
    shares = []
    for port in ("pump.inlet", "pump.outlet"):
        height = build.port_spot(build.layout(), port).height_mm / 1000
        at_rest, running = density * GRAVITY * (0.144 - height), point.pressures[port]
        shares.append((running - at_rest) / (STANDARD_ATMOSPHERE + running))
    fall = level_fall(point, air_map(point), expected_air=5e-6)
    assert fall is not None
    assert fall.expected == pytest.approx(5e-6 * np.mean(shares) / (0.150 * 0.080))
    assert fall.air(fall.expected) == pytest.approx(5e-6)


def test_without_air_the_level_stands(loop: Make) -> None:
    point = operating_point(loop(12, vessel_mm=100))
    fall = level_fall(point, air_map(point), expected_air=0.0)
    assert fall is not None
    assert fall.expected == 0.0


def test_no_pump_runs_no_test(loop: Make) -> None:
    point = operating_point(loop(12, vessel_mm=100), stopped=["pump"])
    assert level_fall(point, air_map(point), expected_air=1e-6) is None


def test_what_was_not_poured_is_air(loop: Make) -> None:
    plan = fill_plan(loop(12, vessel_mm=100))
    assert plan.air_inside(plan.capacity - 30e-6) == pytest.approx(30e-6)
    assert plan.air_inside(plan.poured) == pytest.approx(plan.air_left, abs=1e-9)
