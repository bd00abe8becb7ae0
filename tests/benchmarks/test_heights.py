"""Bottleneck heights and pockets of a large graph, against one minimum spanning tree of a general library."""

from collections.abc import Callable

import networkx as nx
import numpy as np
from pytest_benchmark.fixture import BenchmarkFixture

from loopsim.network.pockets import bottlenecks, pockets

from .timing import in_turn

Say = Callable[[str], None]
PLACES = 10_000
MOST = 30.0


def test_ten_thousand_places_cost_less_than_thirty_spanning_trees(benchmark: BenchmarkFixture, say: Say) -> None:
    rng = np.random.default_rng(7)
    tree = np.column_stack([rng.integers(0, np.arange(1, PLACES)), np.arange(1, PLACES)])
    ends = np.vstack([tree, rng.integers(0, PLACES, (PLACES // 2, 2))])
    ends = ends[ends[:, 0] != ends[:, 1]].astype(np.intp)
    heights, volume = rng.random(PLACES), np.full(len(ends), 1e-6)
    graph: nx.Graph = nx.Graph()
    graph.add_weighted_edges_from(zip(*ends.T.tolist(), heights[ends].max(axis=1).tolist(), strict=True))
    near: list[list[tuple[int, int]]] = [[] for _ in range(PLACES)]
    for passage, (a, b) in enumerate(ends.tolist()):
        near[a].append((passage, b))
        near[b].append((passage, a))

    def levels() -> object:
        return bottlenecks(ends, heights, [0])

    def trapped() -> object:
        return pockets(ends, heights, volume, near, [0])

    one, ours, swept = in_turn([lambda: nx.minimum_spanning_tree(graph), levels, trapped], 3)
    say(f"{PLACES} places: bottleneck heights {ours / one:.1f}, pockets {swept / one:.1f} of one spanning tree")
    benchmark.pedantic(levels, rounds=1)
    assert ours < MOST * one
    assert swept < MOST * one
