"""What theory says of flow networks, and two things that it does not."""

import math

import networkx as nx
import numpy as np
import pytest

from loopsim.elements import PowerLaw, Pump, StoppedPump, Tube, Valve, velocity
from loopsim.media import State
from loopsim.network import Network
from loopsim.solve import solve_flow

from .networks import WATER, random_network, random_network_of

THICK = State(1000.0, 1.0)  # so thick that every tube is laminar


def test_a_resistance_put_before_an_element_never_raises_its_own_flow() -> None:
    """In 250 networks of all elements; flows that are nothing beside the largest may wander by rounding."""
    for seed in range(250):
        network, rng = random_network(seed), np.random.default_rng(seed)
        before = solve_flow(network).flow
        name = str(rng.choice(list(network.links)))
        link = network.links[name]
        network.add_junction("before")
        network.links[name] = type(link)(name, "before", link.end, link.element)
        network.add_element("resistance", link.start, "before", PowerLaw(10 ** rng.uniform(9, 13)))
        after, slack = solve_flow(network).flow, 1e-6 * max(1e-5, *map(abs, before.values()))
        assert abs(after[name]) <= abs(before[name]) + slack, (seed, name)
        assert after[name] * before[name] >= -(slack**2), (seed, name)


def test_four_times_the_head_gives_twice_the_flow_where_all_laws_are_square() -> None:
    def square_laws(head: float) -> tuple:
        return (
            lambda rng: PowerLaw(10 ** rng.uniform(9, 13)),
            lambda rng: StoppedPump.from_coefficients(10 ** rng.uniform(6, 9), 10 ** rng.uniform(6, 9)),
            lambda rng: Pump.from_polynomial([head * rng.uniform(0.5, 5), 0.0, -(10 ** rng.uniform(6.5, 8.5))]),
        )

    for seed in range(250):
        once, fourfold = (
            np.array(list(solve_flow(random_network_of(seed, square_laws(head), closed=True)).flow.values()))
            for head in (1.0, 4.0)
        )
        most = max(1e-5, *np.abs(once))
        assert fourfold == pytest.approx(2 * once, abs=1e-4 * most), seed


def _laminar(seed: int) -> tuple[nx.Graph, Network]:
    """A connected graph whose edges are laminar tubes, each with its resistance [Pa s/m3]."""
    rng = np.random.default_rng(seed)
    graph = nx.connected_watts_strogatz_graph(int(rng.integers(5, 16)), 4, 0.5, seed=seed)
    network = Network(THICK)
    for node in graph:
        network.add_junction(str(node))
    for number, (a, b) in enumerate(graph.edges):
        bore, length = rng.uniform(0.006, 0.02), rng.uniform(0.1, 3.0)
        graph.edges[a, b]["resistance"] = 128 * THICK.viscosity * length / (math.pi * bore**4)
        network.add_element(str(number), str(a), str(b), Tube(bore, length))
    return graph, network


def _reading(network: Network, into: str, out_of: str, at: str, against: str) -> float:
    """Difference of pressure between two junctions while a flow is sent from one to another [Pa]."""
    fed = network.part_of(network.links)
    for name, inflow in ((into, 1e-6), (out_of, -1e-6)):
        del fed.junctions[name]
        fed.add_junction(name, inflow=inflow)
    pressure = solve_flow(fed).pressure
    return pressure[at] - pressure[against]


def test_laminar_networks_have_the_resistance_of_electrical_ones() -> None:
    """Between every node and the next, by `networkx.resistance_distance`."""
    for seed in range(60):
        graph, network = _laminar(seed)
        wanted = nx.resistance_distance(graph, 0, 3, weight="resistance", invert_weight=True)
        assert _reading(network, "0", "3", "0", "3") / 1e-6 == pytest.approx(wanted, rel=1e-9), seed


def test_in_laminar_networks_source_and_reading_can_be_exchanged() -> None:
    """Reciprocity, as Maxwell has it for frames and Kirchhoff for wires."""
    for seed in range(60, 160):
        _, network = _laminar(seed)
        there, back = _reading(network, "0", "1", "3", "4"), _reading(network, "3", "4", "0", "1")
        assert there == pytest.approx(back, rel=1e-8, abs=1e-9 * _reading(network, "0", "1", "0", "1")), seed


def test_a_parallel_pump_can_gain_when_its_neighbours_branch_is_throttled() -> None:
    """Less through the common tube leaves more of its head to the other pump: no law forbids that."""

    def side_by_side(throttle: float) -> dict[str, float]:
        network = Network(WATER)
        for name in ("suction", "a", "b", "delivery"):
            network.add_junction(name)
        pump = Pump.from_polynomial([4.0, 0.0, -3.6e7])
        network.add_element("pump a", "suction", "a", pump)
        network.add_element("pump b", "suction", "b", pump)
        network.add_element("branch a", "a", "delivery", Valve(2.0))
        network.add_element("branch b", "b", "delivery", Valve(throttle))
        network.add_element("common", "delivery", "suction", Tube(0.01, 3.0, 0.0, 10.0))
        return solve_flow(network).flow

    wide, throttled = side_by_side(2.0), side_by_side(0.4)
    assert throttled["pump b"] < 0.8 * wide["pump b"]
    assert throttled["pump a"] > 1.1 * wide["pump a"]
    assert throttled["common"] < wide["common"]


def test_a_bridge_of_mixed_arms_can_pass_more_when_its_bridge_is_blocked() -> None:
    """Two laminar arms and two of square law, crosswise, under 6 kPa: the open bridge costs 2.4 % of the flow.

    Where all arms obey one power of the flow this cannot happen (Calvert and Keady, 1993; from memory).
    """
    long_tube, throttle = Tube(0.004, 5.0), Valve(0.1)

    def across(bridge: bool) -> dict[str, float]:
        network = Network(WATER)
        network.add_junction("in", pressure=6000.0)
        network.add_junction("out", pressure=0.0)
        network.add_junction("a")
        network.add_junction("b")
        network.add_element("in a", "in", "a", throttle)
        network.add_element("a out", "a", "out", long_tube)
        network.add_element("in b", "in", "b", long_tube)
        network.add_element("b out", "b", "out", throttle)
        if bridge:
            network.add_element("bridge", "a", "b", Tube(0.01, 0.05))
        return solve_flow(network).flow

    is_open, blocked = across(True), across(False)
    through_open, through_blocked = (flow["in a"] + flow["in b"] for flow in (is_open, blocked))
    assert is_open["bridge"] > 0
    assert through_blocked > 1.02 * through_open
    for flow in (is_open, blocked):
        assert float(velocity(flow["a out"], 0.004)) * 0.004 * WATER.density / WATER.viscosity < 2000
