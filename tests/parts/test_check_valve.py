"""A check valve that works, and one that is stuck."""

import math

import pytest

from loopsim.media import water
from loopsim.parts import CheckValve

WATER = water().at(20.0)


def test_stuck_open_it_passes_alike_both_ways_by_its_kv() -> None:
    """Kv by definition: its own cubic metres an hour cost 1 bar, in water of 15 degrees."""
    (path,) = CheckValve(id="v", name="V", kv_m3_h=2.0, stuck="open").flow_paths
    (forward, back), _ = path.element.dp([2.0 / 3600, -2.0 / 3600], WATER)
    assert forward == pytest.approx(1e5, rel=2e-3)
    assert back == pytest.approx(-forward)


def test_stuck_shut_nothing_passes() -> None:
    assert CheckValve(id="v", name="V", stuck="shut").flow_paths == ()


def test_working_it_resists_backward_far_more_than_forward() -> None:
    (path,) = CheckValve(id="v", name="V").flow_paths
    (forward, back), _ = path.element.dp([1e-6, -1e-6], WATER)
    assert -back > 10 * forward


def test_the_usual_valve_is_fully_open_at_the_flow_of_a_usual_loop() -> None:
    """Common practice, no source: sized so that normal flow holds it open; loops of 10 mm bore run at 120 to 170 L/h.

    And as lossy as poppets are: 10 to 14 velocity heads of its bore, beside what the spring asks for.
    """
    valve = CheckValve(id="v", name="V")
    (path,) = valve.flow_paths
    for flow_l_h, state in ((60.0, "part open"), (120.0, "open"), (170.0, "open")):
        assert path.element.opening_state(flow_l_h / 3.6e6) == state
    flow = 150 / 3.6e6
    drop = float(path.element.dp(flow, WATER)[0])
    heads = (drop - 700) / (0.5 * WATER.density * (flow / (math.pi / 4 * 0.01**2)) ** 2)
    assert 10 < heads < 14


def test_where_it_is_fully_open_is_a_datum() -> None:
    """At four cracking pressures the square law asks for three of them: sqrt(3) times the flow of the usual two."""
    (two,), (four,) = (CheckValve(id="v", name="V", full_open_factor=ratio).flow_paths for ratio in (2.0, 4.0))
    assert four.element.open_flow == pytest.approx(math.sqrt(3) * two.element.open_flow)
    assert float(four.element.dp(four.element.open_flow, WATER)[0]) == pytest.approx(4 * 700, rel=0.01)
    assert float(four.element.dp(1e-5, WATER)[0]) == float(two.element.dp(1e-5, WATER)[0])
