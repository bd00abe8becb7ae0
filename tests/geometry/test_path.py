"""Paths of tubes and places of parts."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.geometry import Path, Place, Spot


def test_a_quarter_bend_saves_what_the_arc_cuts_off() -> None:
    """200 + 100 mm with a 40 mm bend: 300 - 80 + 40 pi / 2."""
    path = Path([Spot(0, 0, 0), Spot(200, 0, 0), Spot(200, 100, 0)], [40.0])
    assert path.length_mm == pytest.approx(300 - 80 + 40 * math.pi / 2)
    assert path.bends[0].angle_deg == pytest.approx(90.0)
    assert path.bends[0].radius_mm == 40.0


def test_a_sharp_elbow_keeps_the_full_length() -> None:
    path = Path([Spot(0, 0, 0), Spot(200, 0, 0), Spot(200, 100, 0)], [0.0])
    assert path.length_mm == 300.0
    assert path.bends[0].radius_mm == 0.0


def test_a_bend_shrinks_to_the_room_there_is() -> None:
    """Between two corners 50 mm apart each has 25 mm, at a quarter turn a radius of 25."""
    path = Path([Spot(0, 0, 0), Spot(100, 0, 0), Spot(100, 50, 0), Spot(0, 50, 0)], [40.0, 40.0])
    assert [bend.radius_mm for bend in path.bends] == pytest.approx([25.0, 25.0])
    assert [bend.wanted_mm for bend in path.bends] == [40.0, 40.0]


def test_height_counts_in_length_and_angle() -> None:
    path = Path([Spot(0, 0, 0), Spot(30, 0, 40), Spot(60, 0, 80)], [0.0])
    assert path.length_mm == pytest.approx(100.0)
    assert path.bends == ()


def test_a_corner_on_top_of_a_port_turns_nothing() -> None:
    path = Path([Spot(0, 0, 0), Spot(0, 0, 0), Spot(100, 0, 0)], [40.0])
    assert path.length_mm == 100.0
    assert path.bends == ()


def test_a_run_that_turns_back_on_itself_has_a_finite_length() -> None:
    path = Path([Spot(0, 0, 0), Spot(100, 0, 0), Spot(20, 0, 0)], [40.0])
    assert math.isfinite(path.length_mm)
    assert all(math.isfinite(value) for spot in path.centre_line() for value in spot)


spots = st.builds(Spot, *[st.floats(-500, 500)] * 3)


@given(st.lists(spots, min_size=2, max_size=7), st.floats(0, 80))
def test_the_drawn_centre_line_has_the_stated_length(corners: list[Spot], radius: float) -> None:
    path = Path(corners, [radius] * (len(corners) - 2))
    line = path.centre_line(step_deg=0.5)
    drawn = sum(math.dist(a, b) for a, b in pairwise(line))
    assert drawn == pytest.approx(path.length_mm, rel=1e-3, abs=1.0)
    assert line[0] == corners[0]
    assert line[-1] == corners[-1]


@given(st.lists(spots, min_size=3, max_size=6), st.floats(1, 80))
def test_bends_never_overlap(corners: list[Spot], radius: float) -> None:
    path = Path(corners, [radius] * (len(corners) - 2))
    taken = [0.0] * len(path.straights_mm)
    for bend in path.bends:
        taken[bend.corner] += bend.tangent_mm
        taken[bend.corner + 1] += bend.tangent_mm
    assert all(used <= there + 1e-6 for used, there in zip(taken, path.straights_mm, strict=True))


@pytest.mark.parametrize("turns", range(-4, 9))
def test_quarter_turns_are_exact(turns: int) -> None:
    spot = Place(100.0, 50.0, 5.0, 90.0 * turns).spot(Spot(30.0, 0.0, 7.0))
    x, y = ((30, 0), (0, 30), (-30, 0), (0, -30))[turns % 4]
    assert spot == Spot(100.0 + x, 50.0 + y, 12.0)


@given(st.floats(-720, 720))
def test_turning_keeps_distances(angle: float) -> None:
    place = Place(10.0, 20.0, 0.0, angle)
    assert math.dist(place.spot(Spot(0, 0, 0)), place.spot(Spot(30, 40, 0))) == pytest.approx(50.0)
    assert 0 <= place.facing(45.0) < 360
