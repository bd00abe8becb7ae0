"""Bottleneck levels and pockets, against hand calculation and against a look at every way."""

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopsim.network.pockets import bottlenecks, bottlenecks_one_way, pockets, volume_above

LITRE = 1e-3


def chain(*heights: float, litres: float = 1.0):
    """Places in a row with the same volume between each two."""
    ends = np.array([(place, place + 1) for place in range(len(heights) - 1)], dtype=np.intp)
    return ends, np.array(heights, dtype=float), np.full(len(ends), litres * LITRE)


def near(ends: np.ndarray, count: int) -> list[list[tuple[int, int]]]:
    found = [[] for _ in range(count)]
    for passage, (a, b) in enumerate(ends.tolist()):
        found[a].append((passage, b))
        found[b].append((passage, a))
    return found


def trapped(ends, heights, volume, openings):
    return pockets(ends, heights, volume, near(ends, len(heights)), openings)


@st.composite
def networks(draw: st.DrawFn):
    """A connected graph of a few places at whole heights, with more passages than a tree."""
    count = draw(st.integers(2, 7))
    heights = draw(st.lists(st.integers(0, 9), min_size=count, max_size=count))
    tree = [(draw(st.integers(0, place - 1)), place) for place in range(1, count)]
    pair = st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)).filter(lambda ends: ends[0] != ends[1])
    ends = tree + draw(st.lists(pair, max_size=5))
    volume = draw(st.lists(st.integers(1, 9), min_size=len(ends), max_size=len(ends)))
    openings = draw(st.sets(st.integers(0, count - 1), min_size=1, max_size=2))
    return np.array(ends, dtype=np.intp), np.array(heights, dtype=float), np.array(volume) * LITRE, openings


def highest_on_best_way(ends, heights, start: int, place: int) -> float:
    """By going all ways one by one."""
    if start == place:
        return heights[start]
    graph = nx.Graph(ends.tolist())
    return min(max(heights[way]) for way in map(list, nx.all_simple_paths(graph, start, place)))


@given(networks())
@settings(max_examples=150)
def test_bottlenecks_are_those_of_all_ways_one_by_one(network) -> None:
    ends, heights, _, starts = network
    levels = bottlenecks(ends, heights, starts)
    for place in range(len(heights)):
        assert levels[place] == min(highest_on_best_way(ends, heights, start, place) for start in starts)


@given(networks())
@settings(max_examples=150)
def test_what_pockets_hold_is_what_no_way_lets_out(network) -> None:
    """Of each passage, what lies above the lowest place on the best way out of its upper end."""
    ends, heights, volume, openings = network
    out = [
        max(-highest_on_best_way(ends, -heights, opening, place) for opening in openings)
        for place in range(len(heights))
    ]
    expected = 0.0
    for (a, b), held in zip(ends.tolist(), volume, strict=True):
        low, high = sorted((a, b), key=lambda place: heights[place])
        rise = heights[high] - heights[low]
        share = (heights[high] - max(out[high], heights[low])) / rise if rise else float(out[high] < heights[high])
        expected += held * share
    assert sum(pocket.volume for pocket in trapped(ends, heights, volume, openings)) == pytest.approx(expected)


@given(networks())
@settings(max_examples=100)
def test_a_pocket_gets_out_where_the_best_way_out_is_lowest(network) -> None:
    ends, heights, volume, openings = network
    for pocket in trapped(ends, heights, volume, openings):
        out = max(-highest_on_best_way(ends, -heights, opening, pocket.top) for opening in openings)
        assert pocket.sill >= out  # into a higher pocket first, or into the open
        assert (pocket.sill == out) or pocket.into is not None
        if pocket.into is not None:
            assert heights[pocket.into] >= heights[pocket.top]


def test_nowhere_leads_a_way_that_is_cut() -> None:
    ends = np.array([(0, 1), (2, 3)], dtype=np.intp)
    assert bottlenecks(ends, np.array([0.0, 2.0, 0.0, 1.0]), [0]).tolist() == [0.0, 2.0, np.inf, np.inf]
    assert bottlenecks(ends, np.zeros(4), []).tolist() == [np.inf] * 4


def test_a_u_traps_no_air_and_all_liquid() -> None:
    """A U from 3 m down to 1 m and up to 2 m, its left end open."""
    ends, heights, volume = chain(3, 1, 2)
    (air,) = trapped(ends, heights, volume, [0])  # its blind end
    assert (air.top, air.sill, air.sill_at) == (2, 1, 1)
    assert trapped(ends, heights, volume, [0, 2]) == []
    (liquid,) = trapped(ends, -heights, volume, [0, 2])
    assert (liquid.top, -liquid.sill) == (1, 2)
    assert liquid.volume == pytest.approx(1.5 * LITRE)  # half of the left leg, all of the right one


def test_an_inverted_u_keeps_air_down_to_its_shorter_leg() -> None:
    """Legs from 0 m and 1 m up to 2 m, both leading up again to the open."""
    (pocket,) = trapped(*chain(5, 0, 2, 1, 5), [0, 4])
    assert (pocket.top, pocket.sill, pocket.sill_at, pocket.into) == (2, 1, 3, None)
    assert pocket.volume == pytest.approx(1.5 * LITRE)


def test_of_two_humps_the_lower_spills_into_the_higher() -> None:
    """Humps of 3 m and 2 m with 1 m between, 0 m on both sides."""
    higher, lower = trapped(*chain(5, 0, 3, 1, 2, 0, 5), [0, 6])
    assert (lower.top, lower.sill, lower.into) == (4, 1, higher.top)
    assert lower.volume == pytest.approx(1.5 * LITRE)  # all of one leg, half of the other
    assert (higher.top, higher.sill, higher.into) == (2, 0, None)
    # All between the two outer low points is 4 litres; the lower hump has 1.5 of it.
    assert higher.volume == pytest.approx(2.5 * LITRE)


def test_without_any_opening_the_highest_keeps_what_it_holds_before_a_lower_one_takes_air() -> None:
    higher, lower = trapped(*chain(0, 3, 1, 2, 0), [])
    assert (higher.top, higher.sill, higher.sill_at, higher.into) == (1, 1, 2, None)
    assert higher.volume == pytest.approx((2 / 3 + 1) * LITRE)
    assert lower.into == higher.top
    assert (higher.has_way_out, lower.has_way_out) == (False, True)


def test_a_level_top_belongs_to_the_pocket_and_a_level_sill_does_not() -> None:
    (pocket,) = trapped(*chain(5, 0, 0, 2, 2, 0, 5), [0, 6])
    assert pocket.volume == pytest.approx(3 * LITRE)


def test_above_a_level_lies_the_share_of_the_height() -> None:
    ends, heights, volume = chain(0, 4, 4, 1)
    assert volume_above(ends, heights, volume, 3.0) / LITRE == pytest.approx([1 / 4, 1, 1 / 3])
    assert volume_above(ends, heights, volume, 4.0).tolist() == [0, 0, 0]


@given(networks(), st.data())
@settings(max_examples=100, deadline=None)
def test_with_a_passage_of_one_way_every_place_needs_no_less(network, data: st.DataObject) -> None:
    ends, heights, _, starts = network
    passage = data.draw(st.integers(0, len(ends) - 1))
    head = data.draw(st.sampled_from([0.0, 0.5, 2.0, np.inf]))
    plain = bottlenecks(ends, heights, starts)
    levels, lost = bottlenecks_one_way(ends, heights, starts, {passage: head})
    assert (levels >= plain).all()
    assert set(lost[np.isfinite(levels)]) <= {0.0, head}
    assert (heights + lost <= levels + 1e-12).all()


def test_a_passage_that_opens_at_a_head_by_hand() -> None:
    """0 to 1 m, forward at 0.5 m, on to 2 m: 1.5 m open it, and 2 m behind it are 2.5 m before it."""
    ends, heights, _ = chain(0.0, 1.0, 1.0, 2.0)
    levels, lost = bottlenecks_one_way(ends, heights, [0], {1: 0.5})
    assert levels.tolist() == [0.0, 1.0, 1.5, 2.5]
    assert lost.tolist() == [0.0, 0.0, 0.5, 0.5]
    assert bottlenecks_one_way(ends, heights, [3], {1: 0.5})[0].tolist() == [np.inf, np.inf, 2.0, 2.0]
