"""What is drawn and said of a curve."""

import re

import numpy as np
import pytest

from loopsim.curves import AirDropCurve, DropCurve, FanCurve, HeadCurve, PowerCurve, drawn


def drops(*rows: tuple[float, float], **more: object) -> DropCurve:
    return DropCurve(points=[{"flow_l_h": flow, "dp_kpa": dp} for flow, dp in rows], **more)


def heads(*rows: tuple[float, float]) -> HeadCurve:
    return HeadCurve(points=[{"flow_l_h": flow, "head_m": head} for flow, head in rows])


def test_the_line_of_a_pump_runs_through_its_points_in_their_units() -> None:
    line = drawn(heads((0, 4.0), (200, 3.0), (400, 1.0)))
    assert np.interp([0.0, 200.0, 400.0], line.x, line.y) == pytest.approx([4.0, 3.0, 1.0])
    assert (line.words, line.levelled, line.lowered) == ("", (), 0.0)


def test_a_misfit_is_told_in_per_cent() -> None:
    """``dp = b Q^2`` with b = 1, 1.05 and 1: the best b is sum(v) / sum(v v), v = 1/b_i; 0.1 % is made linear."""
    line = drawn(drops((100, 1.0), (200, 4.2), (300, 9.0)))
    v = np.array([1.0, 1 / 1.05, 1.0])
    misfit = 1 - v.sum() / (v @ v) / 1.05
    told = re.fullmatch(r"The fit misses the points by at most (.+) %\.", line.words)
    assert float(told[1]) == pytest.approx(100 * misfit, abs=0.11)


def test_a_misfit_beyond_the_tolerance_says_so() -> None:
    line = drawn(drops((100, 1.0), (200, 4.2), (300, 9.0), relative_tolerance=0.01))
    assert line.words.endswith(" %, more than the tolerance.")


def test_points_on_no_smooth_law_are_met_one_by_one() -> None:
    line = drawn(drops((100, 1.0), (200, 6.0), (300, 7.0)))
    assert "passes through every point" in line.words
    assert np.interp(200.0, line.x, line.y) == pytest.approx(6.0, rel=0.01)


def test_one_point_tells_its_exponent() -> None:
    assert drawn(drops((100, 1.0), exponent=1.75)).words == "One point, taken on with the exponent 1.75."


def test_two_points_are_met() -> None:
    assert drawn(drops((100, 1.0), (200, 3.0))).words == "The curve passes through both points."


def test_a_dip_is_told_with_its_flows_and_depth() -> None:
    """From 3.0 m at 100 L/h up to 3.4 m and down through 3.0 m at 250 L/h, halfway between 3.4 m and 2.6 m."""
    line = drawn(heads((0, 3.2), (100, 3.0), (200, 3.4), (300, 2.6), (400, 1.0)))
    assert np.array(line.levelled) == pytest.approx(np.array([[100.0, 250.0]]))
    assert line.lowered == pytest.approx(0.4, abs=0.02)  # and the least fall, 0.5 % of 3.4 m over 400 L/h


def test_curves_of_air_are_drawn_in_their_own_units() -> None:
    fan = FanCurve(points=[{"air_m3_h": flow, "pressure_pa": p} for flow, p in ((0, 40), (30, 30), (60, 0))])
    filter_ = AirDropCurve(points=[{"air_m3_h": 50, "dp_pa": 8}])
    assert np.interp(30.0, drawn(fan).x, drawn(fan).y) == pytest.approx(30.0)
    assert (drawn(filter_).x[-1], drawn(filter_).y[-1]) == pytest.approx((50.0, 8.0))


def test_a_curve_without_a_line_of_its_own_is_not_drawn() -> None:
    assert drawn(PowerCurve(points=[{"flow_l_h": 0, "power_w": 9}])) is None
