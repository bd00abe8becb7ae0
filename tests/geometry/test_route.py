"""Proposed ways: shortest, clear of everything, with room for every bend."""

import math
from itertools import pairwise

import networkx as nx
import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from loopsim.geometry import Box, Path, Spot, boxes_along, route
from loopsim.geometry.box import distance_to_box
from loopsim.geometry.way_search import BEND_MM

RIGHT, UP, LEFT, DOWN = Spot(1, 0, 0), Spot(0, 1, 0), Spot(-1, 0, 0), Spot(0, -1, 0)
WAYS = (RIGHT, UP, LEFT, DOWN)
ROOM = ((0.0, 0.0), (600.0, 0.0), (600.0, 400.0), (0.0, 400.0))


def box(x: float, y: float, length: float, width: float, low: float = 0.0, high: float = 60.0) -> Box:
    return Box(x, y, low, high, length / 2, width / 2)


def length_mm(start: Spot, corners: tuple[Spot, ...], end: Spot) -> float:
    return sum(math.dist(a[:2], b[:2]) for a, b in pairwise([start, *corners, end]))


def test_ports_that_face_each_other_are_joined_straight() -> None:
    assert route(Spot(100, 50, 20), RIGHT, Spot(300, 50, 20), LEFT, [], radius_mm=40, clear_mm=8) == ()


def test_a_quarter_turn_takes_one_corner_at_the_height_of_the_end() -> None:
    corners = route(Spot(100, 50, 20), RIGHT, Spot(300, 200, 30), DOWN, [], radius_mm=40, clear_mm=8)
    assert corners == (Spot(300, 50, 30),)


def test_ports_that_look_the_same_way_are_joined_by_a_wide_turn() -> None:
    """60 mm apart with bends of 40 mm: straight on would leave no room, so the way swings out."""
    start, end = Spot(100, 100, 20), Spot(100, 160, 20)
    corners = route(start, RIGHT, end, RIGHT, [], radius_mm=40, clear_mm=8)
    assert corners is not None
    path = Path([start, *corners, end], [40.0] * len(corners))
    assert [bend.radius_mm for bend in path.bends] == pytest.approx([40.0] * len(corners))
    narrow = route(start, RIGHT, end, RIGHT, [], radius_mm=30, clear_mm=8)
    assert narrow is not None
    assert len(narrow) == 2


def test_the_way_goes_round_a_part_with_its_bends() -> None:
    """A part of 100 x 100 mm in the middle: its corner may not be cut by the bend inside the way's corner."""
    start, end, block = Spot(50, 200, 20), Spot(550, 200, 20), box(300, 200, 100, 100)
    corners = route(start, RIGHT, end, LEFT, [block], radius_mm=40, clear_mm=8, room=ROOM)
    assert corners is not None
    line = Path([start, *corners, end], [40.0] * len(corners)).line
    assert distance_to_box(line[:-1], line[1:], block)[0].min() >= 8 - 0.2
    assert len(corners) == 4


def test_what_lies_at_another_height_is_no_obstacle() -> None:
    start, end = Spot(50, 200, 40), Spot(550, 200, 40)
    assert route(start, RIGHT, end, LEFT, [box(300, 200, 100, 100, 0, 30)], radius_mm=40, clear_mm=8) == ()
    assert route(start, RIGHT, end, LEFT, [box(300, 200, 100, 100, 0, 33)], radius_mm=40, clear_mm=8) != ()


def test_where_there_is_no_way_none_is_given() -> None:
    wall = box(300, 200, 20, 400)
    assert (
        route(Spot(50, 200, 20), RIGHT, Spot(550, 200, 20), LEFT, [wall], radius_mm=40, clear_mm=8, room=ROOM) is None
    )


def test_a_port_that_looks_up_is_left_along_any_axis() -> None:
    up = Spot(0, 0, 1)
    assert route(Spot(100, 50, 20), up, Spot(100, 300, 20), DOWN, [], radius_mm=40, clear_mm=8) == ()


def test_another_tube_is_an_obstacle_along_its_whole_way() -> None:
    other = Path([Spot(300, 0, 20), Spot(300, 300, 20)], [])
    start, end = Spot(50, 100, 20), Spot(550, 100, 20)
    corners = route(start, RIGHT, end, LEFT, boxes_along(other, 6.5), radius_mm=40, clear_mm=8, room=ROOM)
    assert corners is not None
    assert max(corner.y_mm for corner in corners) >= 300 + 6.5 + 8 - 1e-6


def is_near(port: Spot, each: Box, by: float) -> bool:
    return abs(port.x_mm - each.x) <= each.half_length + by and abs(port.y_mm - each.y) <= each.half_width + by


grid = st.integers(2, 28).map(lambda number: number * 20.0)
obstacles = st.lists(
    st.builds(
        box, grid, st.integers(2, 18).map(lambda n: n * 20.0), st.sampled_from([20.0, 60.0, 140.0]),
        st.sampled_from([20.0, 60.0, 140.0]),
    ),
    max_size=6,
)  # fmt: skip
ports = st.tuples(grid, st.integers(2, 18).map(lambda number: number * 20.0), st.sampled_from(WAYS))


@settings(max_examples=60)
@given(obstacles, ports, ports, st.sampled_from([0.0, 25.0]))
def test_every_way_is_along_the_axes_clear_and_has_full_bends(
    there: list[Box], first: tuple, second: tuple, radius: float
) -> None:
    start, end = Spot(first[0], first[1], 20), Spot(second[0], second[1], 20)
    corners = route(start, first[2], end, second[2], there, radius_mm=radius, clear_mm=8, room=ROOM)
    if corners is None or math.dist(start, end) < 1:
        return
    spots = [start, *corners, end]
    path = Path(spots, [radius] * len(corners))
    assert all(a.x_mm == b.x_mm or a.y_mm == b.y_mm for a, b in pairwise(spots))
    assert all(bend.radius_mm == pytest.approx(radius) for bend in path.bends)
    for facing, near, port in ((first[2], spots[1], start), (second[2], spots[-2], end)):
        assert np.dot(facing[:2], np.subtract(near[:2], port[:2])) > 0
    for each in there:
        at_port = any(is_near(port, each, 8) for port in (start, end))
        if not at_port:
            line = path.line
            assert distance_to_box(line[:-1], line[1:], each)[0].min() >= 8 - 0.3


def shortest_by_dijkstra(there: list[Box], start: Spot, facing: Spot, end: Spot, end_facing: Spot) -> float:
    """Length of the shortest way for elbows: Dijkstra's search on all lines along grown obstacles."""
    clear = 8.0
    halves = [(b.half_length + clear, b.half_width + clear) for b in there]
    rects = [(b.x - x, b.y - y, b.x + x, b.y + y) for b, (x, y) in zip(there, halves, strict=True)]
    fronts = [(p.x_mm + clear * f.x_mm, p.y_mm + clear * f.y_mm) for p, f in ((start, facing), (end, end_facing))]
    xs = sorted({*(r[0] for r in rects), *(r[2] for r in rects), *(p[0] for p in fronts), 8.0, 592.0})
    ys = sorted({*(r[1] for r in rects), *(r[3] for r in rects), *(p[1] for p in fronts), 8.0, 392.0})
    xs, ys = [x for x in xs if 8 <= x <= 592], [y for y in ys if 8 <= y <= 392]
    graph = nx.Graph()
    lines = [((a, y), (b, y)) for a, b in pairwise(xs) for y in ys] + [
        ((x, a), (x, b)) for x in xs for a, b in pairwise(ys)
    ]
    for a, b in lines:
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        if not any(r[0] < middle[0] < r[2] and r[1] < middle[1] < r[3] for r in rects):
            graph.add_edge(a, b, weight=math.dist(a, b))
    try:
        return 2 * clear + nx.dijkstra_path_length(graph, *fronts, weight="weight")
    except (nx.NetworkXNoPath, nx.NodeNotFound):
        return math.inf


@settings(max_examples=80)
@given(obstacles, ports, ports)
@example([], (40.0, 40.0, RIGHT), (80.0, 40.0, UP))  # the end lies straight ahead, but is entered from above
def test_no_way_is_shorter(there: list[Box], first: tuple, second: tuple) -> None:
    start, end = Spot(first[0], first[1], 20), Spot(second[0], second[1], 20)
    if any(is_near(port, each, 17) for each in there for port in (start, end)):
        return  # ports that touch an obstacle have rules of their own
    if math.dist(start, end) < 40:
        return
    shortest = shortest_by_dijkstra(there, start, first[2], end, second[2])
    corners = route(start, first[2], end, second[2], there, radius_mm=0, clear_mm=8, room=ROOM)
    if corners is None:
        assert shortest == math.inf
        return
    found = length_mm(start, corners, end)
    assert found >= shortest - 1e-3 or len(corners) == 0  # ports that face each other need no room before them
    assert found <= shortest + 6 * BEND_MM  # a longer way only where it saves bends
