"""What a solve costs beside others: ratios within one run, for any machine.

Run with ``python -m pytest tests/benchmarks --benchmark-only``.
"""

import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from loopsim.build import load
from loopsim.elements import Pump, Restriction, Tube
from loopsim.media import water
from loopsim.network import Network, assemble
from loopsim.solve import solve_flow
from loopsim.studies import operating_point

WATER = water().at(25.0)


def quickest(work: Callable[[], object], repeats: int = 7) -> float:
    """Seconds of the quickest of several runs: noise only ever adds."""
    times = []
    for _ in range(repeats):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    return min(times)


def racks(elements: int) -> Network:
    """Racks on two headers, each with forty blocks between two manifolds."""
    per_rack = 40
    count = max(1, elements // (5 * per_rack))
    block, hose = Restriction.from_points([2e-5, 6e-5], [2e3, 1.6e4], WATER), Tube(0.008, 0.6, 1e-6, 2.0)
    network = Network(WATER)
    network.add_junction("s", pressure=0.0)
    network.add_junction("d")
    flow = count * per_rack * np.array([0.0, 5e-5, 1e-4])
    network.add_element("pump", "s", "d", Pump.from_points(flow.tolist(), [20.0, 15.0, 2.0]))
    supply, back = "d", "s"
    for rack in range(count):
        for name in (f"s{rack}", f"r{rack}"):
            network.add_junction(name)
        network.add_element(f"supply {rack}", supply, f"s{rack}", Tube(0.3, 1.0))
        network.add_element(f"back {rack}", f"r{rack}", back, Tube(0.3, 1.0))
        supply, back = f"s{rack}", f"r{rack}"
        upper, lower = supply, back
        for slot in (f"{rack} {number}" for number in range(per_rack)):
            for corner in "abcd":
                network.add_junction(f"{corner} {slot}")
            network.add_element(f"in {slot}", upper, f"a {slot}", Tube(0.04, 0.05))
            network.add_element(f"out {slot}", f"d {slot}", lower, Tube(0.04, 0.05))
            network.add_element(f"hose {slot}", f"a {slot}", f"b {slot}", hose)
            network.add_element(f"block {slot}", f"b {slot}", f"c {slot}", block)
            network.add_element(f"return {slot}", f"c {slot}", f"d {slot}", hose)
            upper, lower = f"a {slot}", f"d {slot}"
    return network


@pytest.mark.parametrize("elements", [3_000, 30_000])
def test_time_grows_in_step_with_the_network(benchmark: BenchmarkFixture, elements: int) -> None:
    """Ten times the racks cost at most twelve times as much."""
    small, large = racks(elements // 10), racks(elements)
    times = [quickest(lambda network=network: solve_flow(network), 3) for network in (small, large)]
    print(f"{len(small.links)} elements {times[0] * 1e3:.0f} ms, {len(large.links)} elements {times[1] * 1e3:.0f} ms")
    benchmark.pedantic(solve_flow, args=(large,), rounds=2)
    assert times[1] <= 12 * times[0]


def test_answering_a_drag_costs_little_more_than_solving(benchmark: BenchmarkFixture, plinth_path: Path) -> None:
    """From build to operating point, network included: at most eight solves (5.5 measured)."""
    build = load(plinth_path)
    network = assemble(build, build.layouts[1]).network
    whole = quickest(lambda: operating_point(build, build.layouts[1].name), 30)
    alone = quickest(lambda: solve_flow(network), 30)
    print(f"{whole * 1e3:.2f} ms against {alone * 1e3:.2f} ms")
    benchmark(operating_point, build, build.layouts[1].name)
    assert whole <= 8 * alone
