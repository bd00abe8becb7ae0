"""Starting from flows that are nearly right, and solving a network again."""

import gc
import threading
import weakref
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopsim.elements import PowerLaw, Pump, Tube
from loopsim.errors import SketchError
from loopsim.network import Network
from loopsim.solve import compiled, solve_flow

from .random_networks import WATER, random_network


def two_branches(length: float = 2.0) -> Network:
    network = Network(WATER)
    for junction in ("suction", "delivery", "far"):
        network.add_junction(junction)
    network.add_element("pump", "suction", "delivery", Pump.from_points([0, 4e-5, 1.3e-4], [4.0, 3.8, 0.6]))
    network.add_element("tube", "delivery", "far", Tube(0.008, length, 1.5e-6, 4.0))
    network.add_element("one", "far", "suction", PowerLaw(2e12))
    network.add_element("two", "far", "suction", PowerLaw(5e12))
    return network


@settings(max_examples=60)
@given(st.integers(0, 2**32), st.sampled_from([18, 200]))
def test_any_start_leads_to_the_same_flows(seed: int, most_elements: int) -> None:
    rng = np.random.default_rng(seed)
    usual = solve_flow(random_network(seed, most_elements))
    wild = {f"e{number}": float(10 ** rng.uniform(-9, -2)) for number in range(most_elements)}
    other = solve_flow(random_network(seed, most_elements), start=wild)
    largest = max(1.0, *(abs(dp) for dp in usual.dp.values()))
    assert list(other.dp.values()) == pytest.approx(list(usual.dp.values()), abs=1e-8 * largest)
    assert other.mass_imbalance < 1e-9


def test_a_start_at_the_solution_needs_no_step() -> None:
    first = solve_flow(two_branches())
    assert first.iterations > 2
    assert solve_flow(two_branches(), start=first).iterations == 0
    assert solve_flow(two_branches(), start=first.flow).iterations == 0


def test_a_small_change_needs_two_steps_at_most() -> None:
    first = solve_flow(two_branches())
    again = solve_flow(two_branches(length=2.01), start=first)
    assert again.iterations <= 2
    assert again.flow["pump"] == pytest.approx(solve_flow(two_branches(length=2.01)).flow["pump"], rel=1e-9)


def test_flows_of_elements_that_are_gone_are_passed_over_and_new_ones_follow() -> None:
    """A tube put between the pump and the branches takes the flow of what it stands in series with."""
    first = solve_flow(two_branches())
    network = two_branches()
    network.add_junction("between")
    del network.links["tube"]
    network.add_element("before", "delivery", "between", Tube(0.008, 1.0, 1.5e-6, 2.0))
    network.add_element("after", "between", "far", Tube(0.008, 1.0, 1.5e-6, 2.0))
    again = solve_flow(network, start=first)
    assert again.iterations <= 1
    assert again.flow["after"] == pytest.approx(first.flow["tube"], rel=1e-9)
    assert again.flow["one"] == pytest.approx(first.flow["one"], rel=1e-9)


def test_a_network_solved_again_is_not_compiled_again(monkeypatch: pytest.MonkeyPatch) -> None:
    network = two_branches()
    first = solve_flow(network)
    monkeypatch.setattr(compiled, "Compiled", None)  # would raise
    assert solve_flow(network).flow == first.flow


def test_whatever_changes_in_a_network_is_noticed() -> None:
    network = two_branches()
    first = solve_flow(network).flow["pump"]
    network.add_element("three", "far", "suction", PowerLaw(5e12))
    assert (second := solve_flow(network).flow["pump"]) > first
    del network.links["three"]
    assert solve_flow(network).flow["pump"] == pytest.approx(first)
    network.links["one"] = replace(network.links["one"], element=PowerLaw(1e11))
    assert solve_flow(network).flow["pump"] > second
    network.junctions["far"] = replace(network.junctions["far"], inflow=1e-5)
    with pytest.raises(SketchError, match="take in 1e-05 m3/s more"):
        solve_flow(network)


def test_what_is_kept_with_a_network_goes_with_it() -> None:
    network = two_branches()
    solve_flow(network)
    gone = weakref.ref(network)
    del network
    gc.collect()
    assert gone() is None


def test_threads_may_solve_one_network_at_once() -> None:
    network = random_network(3, 400)
    expected = list(solve_flow(network).dp.values())
    found: list[list[float]] = []
    threads = [threading.Thread(target=lambda: found.append(list(solve_flow(network).dp.values()))) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 8
    assert all(each == pytest.approx(expected, abs=1e-6) for each in found)
