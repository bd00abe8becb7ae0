"""How a part stands: turned, mirrored, tipped."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loopsim.geometry import Lie, Outline, Place, Spot

BOX = Outline(80.0, 60.0, 25.0)
LIES: tuple[Lie, ...] = ("flat", "on edge", "ports up")
places = st.builds(
    Place,
    st.floats(-100, 100),
    st.floats(-100, 100),
    st.floats(-50, 50),
    st.floats(-360, 360),
    st.sampled_from(LIES),
    st.booleans(),
    st.just(BOX),
)
inside = st.builds(Spot, st.floats(-40, 40), st.floats(-30, 30), st.floats(0, 25))


def test_on_edge_the_left_side_is_up_and_the_underside_on_the_floor() -> None:
    """An 80 x 60 x 25 mm block with a port in the middle of its left side, 18 mm up: now on top, 60 mm high."""
    place = Place(100.0, 50.0, 5.0, 0.0, "on edge", False, BOX)
    assert place.spot(Spot(0.0, 30.0, 18.0)) == Spot(100.0, 50.0 + 12.5 - 18.0, 65.0)
    assert place.spot(Spot(0.0, -30.0, 18.0)).height_mm == 5.0
    assert place.direction(90.0) == Spot(0.0, 0.0, 1.0)
    assert place.direction(180.0) == Spot(-1.0, 0.0, 0.0)
    assert BOX.lying("on edge") == Outline(80.0, 25.0, 60.0)


def test_with_ports_up_the_near_end_is_on_top() -> None:
    place = Place(100.0, 50.0, 5.0, 0.0, "ports up", False, BOX)
    assert place.spot(Spot(-40.0, 10.0, 18.0)) == Spot(100.0 + 18.0 - 12.5, 60.0, 85.0)
    assert place.direction(180.0) == Spot(0.0, 0.0, 1.0)
    assert place.facing(90.0) == 90.0
    assert BOX.lying("ports up") == Outline(25.0, 60.0, 80.0)


def test_a_mirrored_part_has_left_and_right_exchanged() -> None:
    place = Place(0.0, 0.0, 0.0, 90.0, "flat", True, BOX)
    assert place.spot(Spot(40.0, 30.0, 7.0)) == Spot(30.0, 40.0, 7.0)
    assert place.facing(90.0) == 0.0
    assert place.facing(0.0) == 90.0


@given(places, inside, inside)
def test_however_it_stands_distances_within_a_part_stay(place: Place, a: Spot, b: Spot) -> None:
    assert math.dist(place.spot(a), place.spot(b)) == pytest.approx(math.dist(a, b), abs=1e-9)


@given(places, inside)
def test_what_is_in_the_part_is_in_its_lying_box(place: Place, own: Spot) -> None:
    spot, lying = place.spot(own), BOX.lying(place.lie)
    assert -1e-9 <= spot.height_mm - place.height_mm <= lying.height_mm + 1e-9
    corners = np.array(BOX.corners(place))[:, :2]
    along, across = corners[1] - corners[0], corners[3] - corners[0]
    shares = np.linalg.solve(np.column_stack((along, across)), np.array(spot[:2]) - corners[0])
    assert (shares >= -1e-9).all()
    assert (shares <= 1 + 1e-9).all()


@given(places)
def test_a_mirrored_part_is_a_mirror_image_and_no_other_is(place: Place) -> None:
    origin = np.array(place.spot(Spot(0, 0, 0)))
    axes = [np.array(place.spot(Spot(*unit))) - origin for unit in np.eye(3)]
    assert np.linalg.det(axes) == pytest.approx(-1.0 if place.mirrored else 1.0)


@given(places, st.floats(0, 360))
def test_a_direction_is_the_way_from_spot_to_spot(place: Place, own_deg: float) -> None:
    cos, sin = math.cos(math.radians(own_deg)), math.sin(math.radians(own_deg))
    start, end = place.spot(Spot(0, 0, 0)), place.spot(Spot(cos, sin, 0))
    assert np.subtract(end, start) == pytest.approx(np.array(place.direction(own_deg)), abs=1e-9)
    x, y, _ = place.direction(own_deg)
    if math.hypot(x, y) > 0.01:
        angle = math.radians(place.facing(own_deg))
        assert (math.cos(angle), math.sin(angle)) == pytest.approx(
            (x / math.hypot(x, y), y / math.hypot(x, y)), abs=1e-7
        )
