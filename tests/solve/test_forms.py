"""Both ways to the Newton step, and the sums along the tree that they rest on."""

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopsim.elements import Tube
from loopsim.network import Network
from loopsim.solve import FlowResult, solve_flow
from loopsim.solve.compiled import Compiled
from loopsim.solve.tree import SpanningTree

from .random_networks import WATER, random_network


def solved_by(form: str, network: Network) -> FlowResult:
    """A copy, for what is kept with the network holds its form too, solved by loops or by nodes whatever its size."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("loopsim.solve.forms.MOST_LOOPS", 10**6 if form == "loops" else -1)
        return solve_flow(network.part_of(network.links, network.junctions))


@settings(max_examples=25)
@given(st.integers(0, 2**32), st.sampled_from([12, 60, 400]))
def test_loops_and_nodes_agree_on_random_networks(seed: int, most_elements: int) -> None:
    """Compared by drops: flow through an element that is flat at rest is settled by no pressure."""
    by_loops = solved_by("loops", random_network(seed, most_elements))
    by_nodes = solved_by("nodes", random_network(seed, most_elements))
    largest = max(1.0, *(abs(dp) for dp in by_loops.dp.values()))
    assert list(by_nodes.dp.values()) == pytest.approx(list(by_loops.dp.values()), abs=1e-8 * largest)
    for result in (by_loops, by_nodes):
        assert result.mass_imbalance < 1e-9
        assert result.pressure_imbalance < 1e-9


@given(st.integers(0, 2**32), st.integers(1, 60))
def test_the_loop_system_built_by_two_ways_has_one_solution(seed: int, count: int) -> None:
    """Side by side elimination against the library's solver."""
    from loopsim.solve.forms import _eliminated

    rng = np.random.default_rng(seed)
    size = 1 + count % 9
    root = rng.normal(size=(count, size, size))
    matrix, right = root @ root.transpose(0, 2, 1) + np.eye(size), rng.normal(size=(count, size))
    expected = np.linalg.solve(matrix, right[:, :, None])[:, :, 0]
    got = _eliminated(np.ascontiguousarray(matrix.transpose(1, 2, 0)), right.T.copy()).T
    assert got == pytest.approx(expected, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("walked", [0, 10**6], ids=["compiled", "plain"])
@pytest.mark.parametrize("graph", [nx.path_graph(50), nx.star_graph(50), nx.gnm_random_graph(60, 110, seed=3)])
def test_tree_sums_are_those_of_walking_each_path(
    graph: nx.Graph, walked: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("loopsim.solve.tree.WALKED_IN_PYTHON", walked)
    ground, rng = len(graph) - 1, np.random.default_rng(1)
    graph = graph.subgraph(nx.node_connected_component(graph, ground))
    graph = nx.relabel_nodes(graph, dict(zip(sorted(graph), range(len(graph)), strict=True)))
    ground = len(graph) - 1
    start, end = np.array(graph.edges).T
    tree = SpanningTree(start, end, ground)
    drop, inflow = rng.normal(size=(ground, 3)), rng.normal(size=(ground, 3))
    potential, carried = tree.potentials(drop), tree.carried(inflow)
    expected_flow = np.zeros_like(carried)
    for junction in range(ground):
        total, here = np.zeros(3), junction
        while here != ground:
            expected_flow[here] += inflow[junction] * tree.sign[here]
            total += tree.sign[here] * drop[here]
            link = tree.link[here]
            here = int(start[link] + end[link] - here)
        assert potential[junction] == pytest.approx(total, abs=1e-12)
    assert carried == pytest.approx(expected_flow, abs=1e-12)
    assert tree.potentials(drop[:, 0]) == pytest.approx(potential[:, 0])
    depth = nx.single_source_shortest_path_length(graph, ground)
    assert all(depth[junction] == 1 + depth[int(start[k] + end[k] - junction)] for junction, k in enumerate(tree.link))


def test_elements_in_a_row_count_as_one_whichever_way_they_point() -> None:
    """Two rows side by side of 30 tubes each, one between two knots, one hanging on a fixed pressure."""
    from loopsim.solve.chains import Chains

    rng = np.random.default_rng(4)
    network = Network(WATER)
    rows = {"a": ("p", "q"), "b": ("q", "p"), "c": ("p", "q")}
    for junction in "pq":
        network.add_junction(junction, pressure=0.0 if junction == "q" else None, inflow=1e-4 * (junction == "p"))
    for name, (start, end) in rows.items():
        between = [f"{name}{number}" for number in range(29)]
        for junction in between:
            network.add_junction(junction)
        for number, ends in enumerate(zip([start, *between], [*between, end], strict=True)):
            a, b = ends if rng.random() < 0.5 else ends[::-1]
            network.add_element(f"{name}/{number}", a, b, Tube(0.01, 0.1 + rng.random()))
    chains = Chains(Compiled(network).topology)
    assert len(chains.start) == 3
    assert sorted(np.bincount(chains.of_element)) == [30, 30, 30]
    assert set(chains.start.tolist()) | set(chains.end.tolist()) == {0, 1}
    by_loops, by_nodes = solved_by("loops", network), solved_by("nodes", network)
    assert list(by_nodes.flow.values()) == pytest.approx(list(by_loops.flow.values()), rel=1e-9)


def test_many_tubes_between_two_junctions_and_a_long_row_are_solved_by_nodes() -> None:
    network = Network(WATER)
    for number in range(3001):
        network.add_junction(f"j{number}", inflow={0: 1e-4, 3000: -1e-4}.get(number, 0.0))
    for number in range(3000):
        for twin in "ab":
            network.add_element(f"{twin}{number}", f"j{number}", f"j{number + 1}", Tube(0.01, 0.1))
    result = solved_by("nodes", network)
    assert result.flow["a1500"] == pytest.approx(5e-5, rel=1e-9)
    assert result.mass_imbalance < 1e-9
    assert result.pressure_imbalance < 1e-9
