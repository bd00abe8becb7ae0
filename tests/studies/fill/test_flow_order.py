"""In which order a flow reaches the passages of a loop."""

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from loopsim.studies.fill.flow_order import flow_order, strongest_way


def test_a_branch_is_passed_before_what_it_feeds() -> None:
    """From 0 by 1 and 2 side by side to 3 and home to 9."""
    moving = [(0, 3, 9, 2.0), (1, 0, 1, 1.0), (2, 0, 2, 1.0), (3, 1, 3, 1.0), (4, 2, 3, 1.0)]
    order = [passage for passage, *_ in flow_order(moving, {0, 9})]
    assert sorted(order) == [0, 1, 2, 3, 4]
    assert order[-1] == 0
    assert order.index(1) < order.index(3)


def test_a_ring_beside_the_vessel_is_cut_and_ends() -> None:
    """1 to 2 to 3 and back to 1, fed from 0 and left to 9."""
    moving = [(0, 0, 1, 1.0), (1, 1, 2, 3.0), (2, 2, 3, 2.0), (3, 3, 1, 2.0), (4, 2, 9, 1.0)]
    order = [passage for passage, *_ in flow_order(moving, {0, 9})]
    assert sorted(order) == [0, 1, 2, 3, 4]
    assert order[0] == 0


def test_what_no_vessel_feeds_is_left_out() -> None:
    assert flow_order([(0, 1, 2, 1.0), (1, 2, 1, 1.0)], {0}) == []


def test_the_strongest_way_takes_the_larger_branch() -> None:
    moving = [(0, 0, 1, 3.0), (1, 1, 9, 1.0), (2, 1, 2, 2.0), (3, 2, 9, 2.0)]
    assert [passage for passage, *_ in strongest_way(flow_order(moving, {0, 9}), {0, 9})] == [0, 2, 3]


@given(st.sets(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=1, max_size=40))
def test_each_passage_comes_after_all_that_feed_it(pairs: set[tuple[int, int]]) -> None:
    """On random graphs without rings, against the descendants that a general library finds."""
    moving = [(number, a, b, 1.0) for number, (a, b) in enumerate(sorted((a, b) for a, b in pairs if a < b))]
    order = flow_order(moving, {0})
    graph = nx.DiGraph([(a, b) for _, a, b, _ in moving])
    reached = {0, *nx.descendants(graph, 0)} if 0 in graph else set()
    assert set(order) == {course for course in moving if course[1] in reached}
    if all(course[1] in reached for course in moving):
        place = {passage: index for index, (passage, *_) in enumerate(order)}
        assert all(place[one[0]] < place[two[0]] for one in moving for two in moving if one[2] == two[1])
