"""Resistance of a block: finite at rest, falling with the flow, through its points."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.elements import BlockCooling, Film
from loopsim.errors import PartDataError

FLOW = np.array([1.0, 2.0, 3.0, 4.0, 6.0]) * 1e-5
TRUE = BlockCooling(base=0.02, still=5.0, film=Film(20.0, 3e-5, 0.45))
flows = st.floats(0.0, 1e-3)


@given(flow=flows, more=st.floats(1e-9, 1e-3))
def test_resistance_falls_with_the_flow_in_either_direction(flow: float, more: float) -> None:
    assert TRUE.resistance(-flow) == TRUE.resistance(flow)
    assert TRUE.resistance(flow + more) < TRUE.resistance(flow)


def test_standing_coolant_takes_heat_too() -> None:
    assert TRUE.resistance(0.0) == pytest.approx(0.02 + 1 / 5.0)


@given(exponent=st.floats(0.01, 0.75), share=st.floats(0.05, 0.25))
def test_one_value_and_an_exponent_are_met(exponent: float, share: float) -> None:
    block = BlockCooling.from_one_point(3e-5, 0.06, exponent, share)
    low, high = block.resistance([3e-5 * 0.999, 3e-5 * 1.001])
    assert block.resistance(3e-5) == pytest.approx(0.06)
    assert np.log(low / high) / np.log(1.001 / 0.999) == pytest.approx(exponent, abs=1e-5)
    assert block.resistance(0.0) == pytest.approx(0.06 / share)


def test_points_of_a_known_block_give_it_back() -> None:
    fitted = BlockCooling.from_points(FLOW, TRUE.resistance(FLOW), 0.3)
    assert fitted.resistance(FLOW) == pytest.approx(TRUE.resistance(FLOW), rel=0.005)
    assert fitted.resistance(1.2e-4) == pytest.approx(TRUE.resistance(1.2e-4), rel=0.02)
    assert fitted.misfit < 0.005


def test_two_points_are_both_met() -> None:
    fitted = BlockCooling.from_points([2e-5, 6e-5], [0.08, 0.06], 0.2)
    assert fitted.resistance([2e-5, 6e-5]) == pytest.approx([0.08, 0.06], rel=0.002)
    assert fitted.base == 0.0


def test_a_resistance_that_hardly_falls_is_mostly_metal() -> None:
    fitted = BlockCooling.from_points(FLOW, 0.05 + 1e-7 / FLOW, 0.2)
    assert fitted.base == pytest.approx(0.05, abs=0.003)


def test_a_resistance_that_does_not_fall_is_a_constant() -> None:
    fitted = BlockCooling.from_points(FLOW, np.full(5, 0.05), 0.2)
    assert fitted.resistance(FLOW) == pytest.approx(np.full(5, 0.05), rel=1e-3)


def test_points_that_scatter_keep_their_misfit() -> None:
    scattered = 0.05 * np.array([1.3, 1.25, 1.0, 0.98, 0.8])
    assert 0.01 < BlockCooling.from_points(FLOW, scattered, 0.2).misfit < 0.1


@pytest.mark.parametrize(
    ("flow", "resistance", "share", "words"),
    [
        ([2e-5, 1e-5], [0.08, 0.06], 0.2, "flows must rise"),
        ([1e-5, 2e-5], [0.06, 0.08], 0.2, "must not rise with the flow"),
        ([1e-5, 2e-5], [0.08, 0.06], 1.0, "between 0 and 1, got 1"),
        ([1e-5], [0.08], 0.2, "needs at least 2 points, got 1"),
    ],
)
def test_what_cannot_be_a_block_is_refused(flow: list, resistance: list, share: float, words: str) -> None:
    with pytest.raises(PartDataError, match=words):
        BlockCooling.from_points(flow, resistance, share)
