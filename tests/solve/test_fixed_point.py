"""Fixed points that plain repetition finds, creeps to, or never meets."""

import numpy as np
import pytest

from loopsim.solve.fixed_point import fixed_point


def test_a_map_that_swings_for_ever_settles() -> None:
    """X -> 4 / x repeats 1, 4, 1, 4: the warmth that drives a loop and is carried away by it. Its fixed point is 2."""
    found, difference, *_ = fixed_point(lambda x: 4 / x, np.array([1.0]), 1e-9, 60)
    assert found[0] == pytest.approx(2.0, abs=1e-8)
    assert difference <= 1e-9


def test_a_linear_map_of_three_settles_within_a_few_rounds() -> None:
    matrix = np.array([[0.5, 0.3, 0.0], [0.1, 0.6, 0.2], [0.0, 0.2, 0.7]])
    offset = np.array([1.0, 2.0, 3.0])
    found, _, rounds, _ = fixed_point(lambda x: matrix @ x + offset, np.zeros(3), 1e-10, 30)
    assert found == pytest.approx(np.linalg.solve(np.eye(3) - matrix, offset), abs=1e-8)
    assert rounds < 10


def test_running_out_of_rounds_is_told() -> None:
    _, difference, rounds, is_settled = fixed_point(lambda x: x + 1.0, np.zeros(2), 1e-6, 7)
    assert (rounds, is_settled) == (7, False)
    assert difference == pytest.approx(1.0)


@pytest.mark.parametrize("left", [1e-1, 1e-3, 1e-6])
def test_what_may_be_left_to_go_saves_rounds_and_is_no_more_than_that(left: float) -> None:
    """Plain repetition of x -> x / 4 + 3, without the help of other values: what is left is known."""
    matrix = np.diag([0.25, 0.2, 0.1])
    short, whole = (fixed_point(lambda x: matrix @ x + 3.0, np.zeros(3), 1e-12, 60, each) for each in (left, 0.0))
    assert np.abs(short.value - 3.0 / (1.0 - matrix.diagonal())).max() <= left
    assert short.is_settled
    assert short.rounds <= whole.rounds
