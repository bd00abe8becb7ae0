"""The solver on networks with known answers, and on random ones."""

import math

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from loopsim.elements import Element, PowerLaw, Pump, Restriction, Tube
from loopsim.errors import NotSolved, SketchError
from loopsim.media import State, water
from loopsim.network import Network
from loopsim.solve import solve_flow, solve_variants
from loopsim.units import GRAVITY

from .random_networks import random_network

WATER = water().at(20.0)
POINTS = ([0, 4e-5, 8e-5, 1.3e-4], [4.0, 3.8, 3.0, 0.6])


def ring(*elements: Element) -> Network:
    """Elements one after the other in a closed ring."""
    network = Network(WATER)
    for number in range(len(elements)):
        network.add_junction(f"j{number}")
    for number, element in enumerate(elements):
        network.add_element(f"e{number}", f"j{number}", f"j{(number + 1) % len(elements)}", element)
    return network


def test_a_pump_on_a_square_law_meets_at_the_root_of_both() -> None:
    """``4 - 3.6e7 Q^2 = k Q^2`` solved by hand."""
    k = 9e7
    result = solve_flow(ring(Pump.from_polynomial([4.0, 0.0, -3.6e7]), PowerLaw(k * WATER.density * GRAVITY)))
    assert result.flow["e0"] == pytest.approx(math.sqrt(4.0 / (3.6e7 + k)), rel=1e-9)


def test_a_tabulated_pump_on_a_tube_meets_where_an_independent_root_finder_says() -> None:
    pump, tube = Pump.from_points(*POINTS), Tube(0.008, 4.0, 1.5e-6, 6.0)
    root = brentq(lambda q: float(pump.dp(q, WATER)[0] + tube.dp(q, WATER)[0]), 1e-6, 1.3e-4, xtol=1e-16)
    assert solve_flow(ring(pump, tube)).flow["e1"] == pytest.approx(root, rel=1e-9)


def test_equal_pumps_double_head_in_series_and_flow_side_by_side() -> None:
    pump, load = Pump.from_polynomial([4.0, 0.0, -3.6e7]), PowerLaw(9e7 * WATER.density * GRAVITY)
    series = solve_flow(ring(pump, pump, load)).flow["e2"]
    assert series == pytest.approx(math.sqrt(8.0 / (2 * 3.6e7 + 9e7)), rel=1e-9)
    beside = ring(pump, load)
    beside.add_element("twin", "j0", "j1", pump)
    assert solve_flow(beside).flow["e1"] == pytest.approx(math.sqrt(4.0 / (3.6e7 / 4 + 9e7)), rel=1e-9)


def test_pressure_is_static_at_the_junctions_height_and_head_is_piezometric() -> None:
    network = Network(WATER)
    network.add_junction("low", elevation=0.0, pressure=5000.0)
    network.add_junction("high", elevation=1.0)
    network.add_element("riser", "low", "high", Tube(0.01, 1.0))
    result = solve_flow(network)
    assert result.pressure["high"] == pytest.approx(5000.0 - WATER.density * GRAVITY)
    assert result.head("high") == pytest.approx(result.head("low"))
    assert result.head("low") == pytest.approx(5000.0 / (WATER.density * GRAVITY))
    assert result.datum == ()


def test_an_island_without_a_fixed_pressure_gets_its_first_junction_by_name_at_zero() -> None:
    network = ring(Pump.from_points(*POINTS), Tube(0.01, 1.0))
    network.add_junction("z", elevation=2.0)
    network.add_junction("a island", elevation=3.0)
    network.add_element("apart", "z", "a island", Tube(0.01, 1.0))
    result = solve_flow(network)
    assert set(result.datum) == {"j0", "a island"}
    assert result.pressure["j0"] == 0.0
    assert result.pressure["a island"] == pytest.approx(0.0, abs=1e-9)
    assert result.flow["apart"] == 0.0


def test_flow_that_goes_in_must_come_out() -> None:
    network = Network(WATER)
    network.add_junction("a", inflow=1e-4)
    network.add_junction("b", inflow=-0.9e-4)
    network.add_element("t", "a", "b", Tube(0.01, 1.0))
    with pytest.raises(SketchError, match=r"take in 1e-05 m3/s more than they give off"):
        solve_flow(network)


def test_an_island_without_a_pump_is_at_rest() -> None:
    result = solve_flow(ring(Tube(0.01, 1.0), Tube(0.01, 2.0), Tube(0.005, 1.0)))
    assert max(abs(flow) for flow in result.flow.values()) < 1e-15
    assert result.mass_imbalance < 1e-9
    assert result.pressure_imbalance < 1e-9


def test_an_empty_network_and_a_lone_junction_are_solved() -> None:
    assert solve_flow(Network(WATER)).flow == {}
    network = Network(WATER)
    network.add_junction("alone", elevation=1.0)
    assert solve_flow(network).pressure == {"alone": 0.0}


def test_an_unknown_junction_is_offered_the_nearest() -> None:
    with pytest.raises(SketchError, match="no junction 'j00'; did you mean 'j0'"):
        solve_flow(ring(PowerLaw(1.0), PowerLaw(1.0))).head("j00")


def test_what_does_not_close_is_never_returned(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("loopsim.solve.newton.MOST_STEPS", 1)
    with pytest.raises(NotSolved, match=r"loop through 'e\d' does not close after 1 steps: .* Pa left, .* Pa allowed"):
        solve_flow(ring(Pump.from_points(*POINTS), Tube(0.008, 4.0, 0.0, 30.0)))


def test_laminar_networks_equal_electrical_resistances() -> None:
    """In laminar flow the drop over flow between two junctions is their resistance distance (networkx)."""
    thick = State(1000.0, 1.0)
    rng = np.random.default_rng(5)
    graph = nx.gnm_random_graph(8, 14, seed=2)
    assert nx.is_connected(graph)
    network = Network(thick)
    for node in graph:
        network.add_junction(str(node), inflow={0: 1e-6, 7: -1e-6}.get(node, 0.0))
    for number, (a, b) in enumerate(graph.edges):
        length = rng.uniform(0.1, 3.0)
        graph.edges[a, b]["resistance"] = 128 * thick.viscosity * length / (math.pi * 0.01**4)
        network.add_element(str(number), str(a), str(b), Tube(0.01, length))
    result = solve_flow(network)
    distance = nx.resistance_distance(graph, 0, 7, weight="resistance", invert_weight=True)
    assert (result.pressure["0"] - result.pressure["7"]) / 1e-6 == pytest.approx(distance, rel=1e-9)


@settings(max_examples=300)
@given(st.integers(0, 2**32))
def test_random_networks_close_below_a_billionth(seed: int) -> None:
    network = random_network(seed)
    result = solve_flow(network)
    assert result.mass_imbalance < 1e-9
    assert result.pressure_imbalance < 1e-9
    for link in network.links.values():  # told again without the solver's own bookkeeping
        drop = (result.head(link.start) - result.head(link.end)) * WATER.density * GRAVITY
        wanted = float(link.element.dp(result.flow[link.name], WATER)[0])
        assert drop == pytest.approx(wanted, rel=1e-8, abs=1e-6 + 1e-9 * max(map(abs, result.dp.values())))


@settings(max_examples=30)
@given(st.integers(0, 2**32))
def test_the_order_in_which_a_network_is_written_down_does_not_matter(seed: int) -> None:
    network = random_network(seed)
    again = Network(WATER)
    again.junctions = dict(reversed(network.junctions.items()))
    again.links = dict(reversed(network.links.items()))
    first, second = solve_flow(network).flow, solve_flow(again).flow
    size = max(1e-7, *(abs(flow) for flow in first.values()))
    assert all(first[name] == pytest.approx(second[name], abs=1e-7 * size) for name in first)


def test_variants_are_what_each_inflow_gives_alone() -> None:
    flows = np.array([0.0, 2e-5, 9e-5, -4e-5])

    def between(inflow: float) -> Network:
        network = ring(Tube(0.008, 2.0), Restriction.from_points([3e-5, 9e-5], [1e3, 8e3], WATER), Tube(0.006, 0.5))
        network.junctions["j0"] = type(network.junctions["j0"])("j0", 0.0, inflow, None)
        network.junctions["j1"] = type(network.junctions["j1"])("j1", 0.0, -inflow, None)
        return network

    together = solve_variants(between(0.0), {"j0": flows, "j1": -flows})
    for column, inflow in enumerate(flows):
        alone = solve_flow(between(float(inflow)))
        assert together.flows[:, column] == pytest.approx(list(alone.flow.values()), rel=1e-9, abs=1e-15)


def test_variants_with_factors_are_what_networks_with_those_drops_give_alone() -> None:
    """A square law takes its factor in k, a pump's polynomial in every coefficient."""
    rng = np.random.default_rng(2)
    loads, heads = rng.uniform(0.5, 2.0, 50), rng.uniform(0.7, 1.1, 50)

    def loop(load: float, head: float) -> Network:
        network = ring(Pump.from_polynomial([4.0 * head, 0.0, -3.6e7 * head]), PowerLaw(9e11 * load), Tube(0.008, 2.0))
        network.add_element("beside", "j1", "j2", PowerLaw(4e12))
        return network

    together = solve_variants(loop(1.0, 1.0), {}, {"e0": heads, "e1": loads})
    assert together.mass_imbalance < 1e-9
    assert together.pressure_imbalance < 1e-9
    for column, (load, head) in enumerate(zip(loads, heads, strict=True)):
        alone = solve_flow(loop(float(load), float(head)))
        assert together.flows[:, column] == pytest.approx(list(alone.flow.values()), rel=1e-9)
        assert together.drops[:, column] == pytest.approx(list(alone.dp.values()), rel=1e-8)
        assert together.potentials[:, column] == pytest.approx(alone.variants.potentials[:, 0], rel=1e-8, abs=1e-4)


@pytest.mark.parametrize("at_once", [3, 40, 10**6])
@pytest.mark.parametrize("most_loops", [-1, 60], ids=["nodes", "loops"])
def test_variants_do_not_depend_on_how_many_are_solved_together(
    at_once: int, most_loops: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    rng = np.random.default_rng(7)
    factors = {"e0": rng.uniform(0.8, 1.2, 9), "e3": np.array([1.1])}
    inflow = {"j0": rng.uniform(0, 1e-4, 9)}
    usual = [solve_variants(random_network(11, 30), *given) for given in (({}, factors), (inflow, factors), (inflow,))]
    monkeypatch.setattr("loopsim.solve.flow.VALUES_AT_ONCE", at_once)
    monkeypatch.setattr("loopsim.solve.forms.MOST_LOOPS", most_loops)
    again = [solve_variants(random_network(11, 30), *given) for given in (({}, factors), (inflow, factors), (inflow,))]
    for one, other in zip(usual, again, strict=True):
        assert other.flows.shape == one.flows.shape
        assert other.drops == pytest.approx(one.drops, abs=1e-8 * np.abs(one.drops).max())


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.nan, math.inf])
def test_a_factor_must_be_above_zero_and_its_element_exist(wrong: float) -> None:
    network = ring(PowerLaw(1.0), PowerLaw(1.0))
    with pytest.raises(SketchError, match="element 'e0': a factor on its drop must be above 0, got"):
        solve_variants(network, {}, {"e0": [1.0, wrong]})
    with pytest.raises(SketchError, match="no element 'e00'; did you mean 'e0'"):
        solve_variants(network, {}, {"e00": [1.0]})


def test_columns_of_different_length_are_refused() -> None:
    network = ring(PowerLaw(1.0), PowerLaw(1.0))
    with pytest.raises(SketchError, match="'e0' has 2 values, others have 3; give one or as many"):
        solve_variants(network, {}, {"e0": [1.0, 2.0], "e1": [1.0, 1.0, 1.0]})
    with pytest.raises(SketchError, match="'j0' has 2 values, others have 3"):
        solve_variants(network, {"j0": [0.0, 0.0]}, {"e1": [1.0, 1.0, 1.0]})
