"""Every way to join some things in series and in parallel, counted and looked at."""

import pytest

from loopsim.studies.arranging import shapes as ways
from loopsim.studies.arranging.shapes import Row, Shape, Split, shapes, things_in

# Labelled series-parallel networks: The On-Line Encyclopedia of Integer Sequences, A048172, from memory.
NETWORKS = {1: 1, 2: 3, 3: 19, 4: 195, 5: 2791}

# Ways to put n things into groups that stand in order (1, 3, 13, 75, 541, 4683: Fubini numbers, A000670, from memory),
# less those with a group of more than three. Of four things one has; of five one of all five and 5 with 4 and 1, in
# two orders; of six 1, 6 x 2 and 15 x (3 orders of the rest): 15 pairs, together or in a row, before, between, after.
FLAT = {6: 4683 - 1 - 6 * 2 - 15 * (2 + 6)}


@pytest.mark.parametrize("count", NETWORKS)
def test_without_a_limit_they_are_the_series_parallel_networks(count: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ways, "MOST_BRANCHES", count)
    ways._no_rows.cache_clear()
    every = list(shapes(count))
    ways._no_rows.cache_clear()
    assert len(every) == len(set(every)) == NETWORKS[count]


@pytest.mark.parametrize("count", FLAT)
def test_many_things_stand_in_a_row_of_groups_of_three_at_most(count: int) -> None:
    every = list(shapes(count))
    assert len(every) == len(set(every)) == FLAT[count]


def test_two_things_stand_in_either_order_or_beside_each_other() -> None:
    assert set(shapes(2)) == {Row((0, 1)), Row((1, 0)), Split((0, 1))}


@pytest.mark.parametrize("count", range(1, 7))
def test_every_way_uses_each_thing_once(count: int) -> None:
    assert all(sorted(things_in(shape)) == list(range(count)) for shape in shapes(count))


def test_no_row_stands_in_a_row_and_no_split_in_a_split() -> None:
    def parts(shape: Shape) -> tuple[Shape, ...]:
        return () if isinstance(shape, int) else shape.steps if isinstance(shape, Row) else shape.branches

    def is_plain(shape: Shape) -> bool:
        return all(type(part) is not type(shape) and is_plain(part) for part in parts(shape))

    assert all(is_plain(shape) for shape in shapes(5))
