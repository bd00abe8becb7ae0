"""Curves as a builder states them."""

import pytest
from pydantic import ValidationError

from loopsim.curves import DropCurve, HeadCurve, Provenance, worst_provenance


def test_a_curve_with_one_point_is_refused() -> None:
    with pytest.raises(ValidationError, match="at least 2 points, got 1"):
        HeadCurve.model_validate({"points": [{"flow_l_h": 0, "head_m": 3}]})


def test_a_head_that_rises_everywhere_is_refused() -> None:
    with pytest.raises(ValidationError, match="never falls"):
        HeadCurve.model_validate({"points": [{"flow_l_h": 0, "head_m": 1}, {"flow_l_h": 100, "head_m": 3}]})


def test_a_drop_that_falls_is_refused() -> None:
    with pytest.raises(ValidationError, match="must rise from point to point"):
        DropCurve.model_validate({"points": [{"flow_l_h": 50, "dp_kpa": 3}, {"flow_l_h": 100, "dp_kpa": 1}]})


def test_points_in_falling_order_are_told_how_to_mend() -> None:
    """A table may begin at the largest flow, or hold the head first; where only one point is out of order, no hint."""
    turned = [{"flow_l_h": flow, "head_m": head} for flow, head in ((400, 2), (200, 3.5), (0, 4))]
    with pytest.raises(ValidationError, match="after 400 L/h: turn the order of the points, or are two columns"):
        HeadCurve.model_validate({"points": turned})
    muddled = [{"flow_l_h": flow, "head_m": head} for flow, head in ((0, 4), (200, 3.5), (100, 3))]
    with pytest.raises(ValidationError, match="got 100 L/h after 200 L/h") as refused:
        HeadCurve.model_validate({"points": muddled})
    assert "turn the order" not in str(refused.value)


def test_flows_out_of_order_are_refused_with_their_values() -> None:
    with pytest.raises(ValidationError, match="got 50 L/h after 100 L/h"):
        DropCurve.model_validate({"points": [{"flow_l_h": 100, "dp_kpa": 1}, {"flow_l_h": 50, "dp_kpa": 3}]})


def test_the_worst_kind_of_data_is_named() -> None:
    kinds = [Provenance(kind="measured"), Provenance(kind="chart"), Provenance(kind="table")]
    assert worst_provenance(kinds) == "chart"
    assert worst_provenance([*kinds, Provenance()]) == "guess"
    assert worst_provenance([]) is None
