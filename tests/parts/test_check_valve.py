"""A check valve that works, and one that is stuck."""

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
