"""Distances between tubes and to boxes, against sampling and by hand."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.geometry import Box, Outline, Path, Place, Spot, body, box_of, overlapping, to_box, to_tube
from loopsim.geometry.box import distance_to_box, may_reach
from loopsim.geometry.clearance import segment_distances

coordinate = st.floats(-100, 100)
points = st.tuples(coordinate, coordinate, coordinate)
SHARES = np.linspace(0, 1, 201)


def sampled(a: tuple, b: tuple) -> np.ndarray:
    return np.array(a) + SHARES[:, None] * (np.array(b) - np.array(a))


def straight(*spots: tuple[float, float, float]) -> Path:
    return Path([Spot(*spot) for spot in spots], [0.0] * (len(spots) - 2))


def turned_box(x: float, y: float, length: float, width: float, turn_deg: float, low: float, high: float) -> Box:
    return box_of(Place(x, y, low, turn_deg), Outline(length, width, high - low))


boxes = st.builds(
    lambda x, y, length, width, turn, low, tall: turned_box(x, y, length, width, turn, low, low + tall),
    st.floats(-60, 60), st.floats(-60, 60), st.floats(1, 80), st.floats(1, 80), st.floats(-180, 180),
    st.floats(-20, 40), st.floats(1, 50),
)  # fmt: skip


@given(points, points, points, points)
def test_distances_of_stretches_agree_with_sampling(a: tuple, b: tuple, c: tuple, d: tuple) -> None:
    distance, on_first, on_second = segment_distances(*(np.array([each]) for each in (a, b, c, d)))
    grid = np.linalg.norm(sampled(a, b)[:, None] - sampled(c, d)[None], axis=-1).min()
    step = (math.dist(a, b) + math.dist(c, d)) / 200
    assert grid - step - 1e-9 <= distance[0] <= grid + 1e-6
    assert np.linalg.norm(on_first - on_second) == pytest.approx(distance[0])


@pytest.mark.parametrize(
    ("first", "second", "distance"),
    [
        (((0, 0, 0), (10, 0, 0)), ((5, -5, 3), (5, 5, 3)), 3.0),  # crossing, one above the other
        (((0, 0, 0), (10, 0, 0)), ((0, 4, 0), (10, 4, 0)), 4.0),  # side by side
        (((0, 0, 0), (10, 0, 0)), ((13, 4, 0), (20, 4, 0)), 5.0),  # parallel, one after the other
        (((0, 0, 0), (10, 0, 0)), ((12, 0, 0), (20, 0, 0)), 2.0),  # in line
        (((0, 0, 0), (0, 0, 0)), ((3, 4, 0), (3, 4, 0)), 5.0),  # two points
        (((0, 0, 0), (10, 0, 0)), ((5, 2, 0), (5, 9, 0)), 2.0),  # a tee that does not touch
    ],
)
def test_distances_by_hand(first: tuple, second: tuple, distance: float) -> None:
    ends = (np.array([each], dtype=float) for each in (*first, *second))
    assert segment_distances(*ends)[0][0] == pytest.approx(distance)


@given(points, points, boxes)
def test_distances_to_boxes_agree_with_sampling(a: tuple, b: tuple, box: Box) -> None:
    line = sampled(a, b)
    dx, dy = line[:, 0] - box.x, line[:, 1] - box.y
    own = np.stack(
        (box.cos * dx + box.sin * dy, box.cos * dy - box.sin * dx, line[:, 2] - (box.low + box.high) / 2), axis=1
    )
    half = (box.half_length, box.half_width, (box.high - box.low) / 2)
    grid = np.linalg.norm(np.maximum(np.abs(own) - half, 0), axis=1).min()
    distance, _ = distance_to_box(np.array([a]), np.array([b]), box)
    assert grid - math.dist(a, b) / 200 - 1e-6 <= distance[0] <= grid + 1e-6


@given(points, points, boxes, st.floats(0, 20))
def test_what_comes_near_a_box_is_never_passed_over(a: tuple, b: tuple, box: Box, by_mm: float) -> None:
    ends = np.array([a], dtype=float), np.array([b], dtype=float)
    distance, _ = distance_to_box(*ends, box)
    assert may_reach(*ends, box, by_mm)[0] or distance[0] >= by_mm - 1e-6


@given(boxes, boxes)
def test_overlaps_agree_with_sampling(one: Box, other: Box) -> None:
    """Points all over the first box: if one is well within the other they overlap; if they do not, none is."""
    share = np.linspace(-1, 1, 21)
    x, y = np.meshgrid(share * one.half_length, share * one.half_width)
    px, py = one.x + one.cos * x - one.sin * y, one.y + one.sin * x + one.cos * y
    dx, dy = px - other.x, py - other.y
    along, across = other.cos * dx + other.sin * dy, other.cos * dy - other.sin * dx
    depth = np.minimum(other.half_length - abs(along), other.half_width - abs(across)).max()
    tall = min(one.high, other.high) - max(one.low, other.low)
    found = bool(overlapping([one], [other])[0, 0])
    assert found == bool(overlapping([other], [one])[0, 0])
    if not found:
        assert depth <= 0.01 + 1e-9 or tall <= 0.01 + 1e-9
    if depth > 0.02 and tall > 0.02:
        assert found


def test_boxes_that_touch_do_not_overlap() -> None:
    one = turned_box(0, 0, 40, 20, 0, 0, 30)
    assert not overlapping([one], [turned_box(40, 0, 40, 20, 0, 0, 30)]).any()  # side by side
    assert not overlapping([one], [turned_box(0, 0, 40, 20, 30, 30, 50)]).any()  # one on the other
    assert overlapping([one], [turned_box(39, 0, 40, 20, 0, 29, 50)]).all()
    corner_to_edge = turned_box(20 + math.sqrt(200) - 1, 0, 20, 20, 45, 0, 30)  # half a diagonal of 20 x 20 is 14.1
    assert overlapping([one], [corner_to_edge]).all()
    assert not overlapping([one], [corner_to_edge._replace(x=corner_to_edge.x + 1)]).any()


def test_tubes_that_cross_are_as_far_apart_as_their_heights() -> None:
    one, other = straight((0, 0, 20), (200, 0, 20)), straight((100, -100, 33), (100, 100, 33))
    near = to_tube(body(one, 6.6), body(other, 6.6))
    assert near is not None
    assert (near.distance_mm, near.at, near.other) == (13.0, (100, 0, 20), (100, 0, 33))
    assert to_tube(body(one, 6.5), body(other, 6.5)) is None


def test_tubes_end_flat_at_their_ports() -> None:
    """Two tubes of 13 mm at right angles, as from a small tee: 8 mm off its middle each, they do not touch."""
    one, other = straight((-8, 0, 0), (-100, 0, 0)), straight((0, 8, 0), (0, 100, 0))
    near = to_tube(body(one, 6.5), body(other, 6.5))
    assert near is None or near.distance_mm >= 13.0


def test_a_tube_leaves_its_port_without_entering_the_part() -> None:
    box = turned_box(0, 0, 40, 20, 0, 0, 30)
    leaving = body(straight((20, 0, 15), (120, 0, 15)), 6.5)
    near = to_box(leaving, box)
    assert near is None or near.distance_mm >= 6.5 - 1e-6
    entering = to_box(body(straight((20, 0, 15), (-120, 0, 15)), 6.5), box)
    assert entering is not None
    assert entering.distance_mm == 0.0


def test_pieces_around_a_port_can_be_passed_over() -> None:
    tube = body(straight((20, 0, 15), (-20, 0, 15), (-20, 60, 15)), 2.0)
    box = turned_box(0, 0, 20, 20, 0, 0, 30)
    assert to_box(tube, box) is not None
    assert to_box(tube, box, (np.array([20.0, 0.0, 15.0]), 40.0)) is None


def test_a_tube_shorter_than_it_is_wide_is_its_middle() -> None:
    tube = body(straight((0, 0, 0), (4, 0, 0)), 6.5)
    assert tube.starts.tolist() == [[2, 0, 0]]
    assert tube.ends.tolist() == [[2, 0, 0]]


def test_a_body_is_kept_with_its_path() -> None:
    path = straight((0, 0, 0), (100, 0, 0))
    assert body(path, 6.5) is body(path, 6.5)
    assert body(path, 8.0) is not body(path, 6.5)
