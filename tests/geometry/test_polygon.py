"""What lies inside an outline."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.geometry.polygon import crossing_edges, holds

SQUARE = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]
NOTCHED = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (60.0, 100.0), (60.0, 40.0), (40.0, 40.0), (40.0, 100.0), (0, 100)]


def box(x: float, y: float, length: float, width: float, turned_deg: float = 0.0) -> np.ndarray:
    cos, sin = math.cos(math.radians(turned_deg)), math.sin(math.radians(turned_deg))
    own = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * (length / 2, width / 2)
    return own @ np.array([(cos, sin), (-sin, cos)]) + (x, y)


@pytest.mark.parametrize(
    ("shape", "ring", "inside"),
    [
        (box(50, 50, 20, 20), SQUARE, True),
        (box(50, 50, 100, 100), SQUARE, True),  # touching all walls
        (box(95, 50, 20, 20), SQUARE, False),
        (box(50, 50, 99, 99, 45), SQUARE, False),
        (box(50, 20, 100, 40), NOTCHED, True),  # below the notch
        (box(50, 50, 100, 20), NOTCHED, False),  # corners inside, the notch between them
        (box(50, 70, 20, 60), NOTCHED, False),  # just the notch: its edges are the room's, its inside is not
        (box(20, 70, 40, 60), NOTCHED, True),
    ],
)
def test_a_shape_is_inside_or_not(shape: np.ndarray, ring: list, inside: bool) -> None:
    assert holds(ring, shape[None])[0] == inside


@given(st.floats(-20, 120), st.floats(-20, 120), st.floats(1, 90), st.floats(1, 90), st.floats(0, 90), st.booleans())
def test_insides_agree_with_sampling(
    x: float, y: float, length: float, width: float, turn: float, notched: bool
) -> None:
    """Points over the whole shape, tested one by one against what the room is made of."""
    shape, ring = box(x, y, length, width, turn), NOTCHED if notched else SQUARE
    shares = np.linspace(0, 1, 60)
    grid = shape[0] + shares[:, None, None] * (shape[1] - shape[0]) + shares[None, :, None] * (shape[3] - shape[0])
    px, py = grid[..., 0], grid[..., 1]
    outside = (px < 0) | (px > 100) | (py < 0) | (py > 100)
    if notched:
        outside |= (px > 40) & (px < 60) & (py > 40)
    depth = np.minimum.reduce([px, 100 - px, py, 100 - py])
    if holds(ring, shape[None])[0]:
        assert not (outside & (np.abs(depth) > 1e-6)).any()
    elif not outside.any():
        assert (depth.min() < 3) or notched  # only a sliver between two samples may be missed


def test_edges_that_cross_are_named() -> None:
    assert crossing_edges(SQUARE) is None
    assert crossing_edges([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]]) == (0, 2)
