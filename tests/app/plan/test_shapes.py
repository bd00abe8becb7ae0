"""How corners follow, where routes go, which tubes cross: worked out by hand on paper."""

import pytest

from app.plan.crossings import Tube, crossings_of, passes_over
from app.plan.routing import closing, next_corner
from loopsim.build import Placement
from loopsim.geometry import Path, Spot
from loopsim.geometry.reshape import carried, insertion, pulled
from loopsim.parts import Pump, Radiator

# A run in the shape of a Z lying down: from a port along x, up, and along x into another port.
Z = [(0, 0), (50, 0), (50, 80), (120, 80)]


def test_a_port_that_moves_across_its_stretch_takes_the_corner_along():
    assert carried(Z, {0: (0, 10)}) == [(0, 10), (50, 10), (50, 80), (120, 80)]


def test_a_port_that_moves_along_its_stretch_takes_nothing_along():
    assert carried(Z, {0: (7, 0)}) == [(7, 0), (50, 0), (50, 80), (120, 80)]


def test_corners_in_one_line_are_carried_together():
    points = [(0, 0), (20, 0), (50, 0), (50, 80)]
    assert carried(points, {0: (0, 10)}) == [(0, 10), (20, 10), (50, 10), (50, 80)]


def test_a_slanted_stretch_carries_nothing():
    points = [(0, 0), (50, 30), (50, 80)]
    assert carried(points, {0: (5, 10)}) == [(5, 10), (50, 30), (50, 80)]


def test_a_riser_moves_with_its_port():
    points = [(0, 0), (0, 0), (90, 0), (90, 50)]
    assert carried(points, {0: (5, 10)}) == [(5, 10), (5, 10), (90, 10), (90, 50)]


def test_both_ends_can_move_at_once():
    assert carried(Z, {0: (0, 10), 3: (0, -5)}) == [(0, 10), (50, 10), (50, 75), (120, 75)]


def test_a_corner_beside_a_port_stays_in_the_line_of_the_port():
    assert pulled(Z, 1, (10, 20)) == [(0, 0), (60, 0), (60, 80), (120, 80)]


def test_a_corner_held_from_both_sides_is_let_go():
    assert pulled([(0, 0), (50, 0), (100, 0)], 1, (0, 20)) == [(0, 0), (50, 20), (100, 0)]


def test_a_new_corner_goes_to_the_nearest_stretch():
    assert insertion(Z, (48, 40)) == (1, 0.5, (50, 40))


def test_corners_go_straight_across_or_straight_along():
    assert next_corner((100, 27.5), (163, 40), free=False) == (165, 27.5)
    assert next_corner((100, 27.5), (103, 91), free=False) == (100, 90)


def test_a_free_corner_goes_where_the_pointer_is():
    assert next_corner((100, 27.5), (163.04, 40.08), free=True) == (163.0, 40.1)


def test_ports_that_face_each_other_out_of_line_are_joined_by_two_corners_half_way():
    assert closing((0, 0), [], (100, 40), 0.0, 180.0, free=False) == [(50, 0), (50, 40)]


def test_ports_that_face_each_other_in_line_are_joined_straight():
    assert closing((0, 0), [], (100, 0), 0.0, 180.0, free=False) == []


def test_ports_at_right_angles_are_joined_round_one_corner():
    assert closing((0, 0), [], (100, 40), 0.0, 270.0, free=False) == [(100, 0)]
    assert closing((0, 0), [], (100, 40), 90.0, 180.0, free=False) == [(0, 40)]


def test_a_run_enters_its_end_port_from_the_front():
    assert closing((0, 0), [(60, 0)], (100, 40), 0.0, 270.0, free=False) == [(100, 0)]
    assert closing((0, 0), [(60, 0)], (100, 40), 0.0, 180.0, free=False) == [(60, 0), (60, 40)]


def test_a_free_run_goes_straight_to_its_end():
    assert closing((0, 0), [(60, 10)], (100, 40), 0.0, 270.0, free=True) == [(60, 10)]


def tube(name, *spots, outer_mm=13.0):
    return Tube(name, Path([Spot(*spot) for spot in spots], [0.0] * (len(spots) - 2)).centre_line(), outer_mm)


def test_the_higher_tube_passes_over():
    low, high = tube("low", (0, 50, 10), (100, 50, 10)), tube("high", (40, 0, 40), (40, 100, 40))
    for pair in ((low, high), (high, low)):
        (crossing,) = crossings_of(*pair)
        assert (crossing.upper, crossing.lower) == ("high", "low")
        assert crossing.at == pytest.approx((40, 50))
        assert not crossing.meet


def test_heights_are_compared_where_the_tubes_cross():
    level, rising = tube("level", (0, 50, 30), (100, 50, 30)), tube("rising", (40, 0, 0), (40, 100, 100))
    (crossing,) = crossings_of(level, rising)
    assert crossing.upper == "rising"  # half way up it is at 50 mm


def test_tubes_closer_than_their_radii_meet():
    one, other = tube("one", (0, 50, 20), (100, 50, 20)), tube("other", (40, 0, 32), (40, 100, 32))
    assert crossings_of(one, other)[0].meet
    raised = tube("other", (40, 0, 33.5), (40, 100, 33.5))
    assert not crossings_of(one, raised)[0].meet


def test_the_piece_drawn_on_top_spans_the_lower_tube():
    low, high = tube("low", (0, 50, 10), (100, 50, 10), outer_mm=20), tube("high", (40, 0, 40), (40, 100, 40))
    (crossing,) = crossings_of(low, high)
    assert crossing.piece[0].y_mm < 40
    assert crossing.piece[-1].y_mm > 60


def test_tubes_that_only_share_a_port_or_run_side_by_side_do_not_cross():
    one = tube("one", (0, 0, 10), (100, 0, 10))
    assert crossings_of(one, tube("other", (100, 0, 10), (100, 80, 10))) == []
    assert crossings_of(one, tube("other", (0, 20, 10), (100, 20, 10))) == []


def test_only_the_stretch_of_a_tube_that_clears_a_part_is_drawn_over_it():
    part, stands = Pump(id="pump", name="Pump"), Placement(part="pump", x_mm=100, y_mm=50)  # 60 by 60 by 38 mm
    (piece,) = passes_over(tube("high", (0, 50, 45), (200, 50, 45)), part, stands)
    assert (piece[0].x_mm, piece[-1].x_mm) == pytest.approx((70, 130), abs=2.0)
    assert passes_over(tube("touching", (0, 50, 44), (200, 50, 44)), part, stands) == []
    assert passes_over(tube("beside", (0, 90, 60), (200, 90, 60)), part, stands) == []


def test_a_turned_part_is_passed_over_where_it_is():
    part = Radiator(id="rad", name="Radiator")  # 400 by 55 by 55 mm
    line = tube("high", (0, 150, 70), (200, 150, 70))
    assert passes_over(line, part, Placement(part="rad", x_mm=100, y_mm=0)) == []
    (piece,) = passes_over(line, part, Placement(part="rad", x_mm=100, y_mm=0, rotation_deg=90))
    assert piece[-1].x_mm - piece[0].x_mm == pytest.approx(55, abs=4.0)
