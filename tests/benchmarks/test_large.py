"""Racks and grids of 3,000 to 100,000 elements."""

import math
import subprocess
import sys
from collections.abc import Callable

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from loopsim.network import Network
from loopsim.solve import solve_flow
from loopsim.solve.compiled import Compiled

from .networks import grid, racks
from .reference import evaluation, factorisation, pandapipes_net, run_pandapipes_roughly
from .timing import in_turn, quickest

Say = Callable[[str], None]

pytestmark = pytest.mark.filterwarnings("ignore")  # of the other library, on changes to come in its dependencies


def repeats(elements: int) -> int:
    """More for what is quick."""
    return max(5, 60_000 // elements)


@pytest.mark.parametrize(("elements", "share"), [(3_000, 0.5), (30_000, 0.3), (100_000, 0.3)])
def test_racks_cost_a_share_of_six_factorisations_and_evaluations(
    elements: int, share: float, benchmark: BenchmarkFixture, say: Say
) -> None:
    network = racks(elements)
    result = solve_flow(network)
    benchmark.pedantic(solve_flow, (network,), rounds=repeats(elements))
    works = [lambda: solve_flow(network), factorisation(network, result), evaluation(network, result)]
    ours, factor, evaluated = in_turn(works, repeats(elements))
    ratio = ours / (6 * (factor + evaluated))
    say(
        f"{len(network.links)} elements, {result.iterations} steps: {ours * 1e3:.1f} ms; factorisation "
        f"{factor * 1e3:.1f} ms, evaluation {evaluated * 1e3:.2f} ms: {ratio:.2f} of six"
    )
    assert max(result.mass_imbalance, result.pressure_imbalance) < 1e-9
    assert ratio <= share


def not_yet(make: Callable[[int], Network], elements: int, times: float, measured: str) -> object:
    """A case whose target is not reached; the figures are those of the run that found it so."""
    return pytest.param(make, elements, times, marks=pytest.mark.xfail(strict=False, reason=measured))


@pytest.mark.parametrize(
    ("make", "elements", "times"),
    [
        not_yet(racks, 3_000, 60, "28 to 37 times: 2.7 ms against 74 to 100 ms; a third of ours is evaluation"),
        not_yet(racks, 30_000, 120, "68 to 76 times: 20 ms against 1.4 to 1.5 s"),
        not_yet(racks, 100_000, 120, "82 times: 68 ms against 5.6 s; a third of ours is evaluation"),
        not_yet(grid, 3_000, 30, "18 times: 4.1 ms against 75 ms"),
        not_yet(grid, 30_000, 25, "17 times: 72 ms against 1.2 s; most of ours is factorisation"),
        not_yet(grid, 100_000, 20, "15 times: 0.41 s against 6.1 s; most of ours is factorisation"),
    ],
)
def test_large_networks_are_many_times_quicker_than_in_pandapipes(
    make: Callable[[int], Network], elements: int, times: float, benchmark: BenchmarkFixture, say: Say
) -> None:
    """There by default settings: Nikuradse's law, to about 1 Pa; its nets are kept too."""
    network = make(elements)
    result = solve_flow(network)
    net = pandapipes_net(network, result)
    theirs = quickest(lambda: run_pandapipes_roughly(net), max(1, 15_000 // elements))
    benchmark.pedantic(solve_flow, (network,), rounds=5)
    ours = quickest(lambda: solve_flow(network), repeats(elements))
    first = quickest(lambda: solve_flow(network.part_of(network.links)), 3)
    say(
        f"{len(network.links)} elements: {ours * 1e3:.1f} ms, a new network {first * 1e3:.0f} ms, against "
        f"{theirs * 1e3:.0f} ms: {theirs / ours:.0f} times, a new network {theirs / first:.0f} times"
    )
    assert max(result.mass_imbalance, result.pressure_imbalance) < 1e-9
    assert theirs / ours >= times


def test_time_grows_no_faster_than_the_network(benchmark: BenchmarkFixture, say: Say) -> None:
    small, large = racks(3_000), racks(100_000)
    for network in (small, large):
        solve_flow(network)
    benchmark.pedantic(solve_flow, (large,), rounds=5)
    times = in_turn([lambda: solve_flow(small), lambda: solve_flow(large)], 20)
    exponent = math.log(times[1] / times[0]) / math.log(len(large.links) / len(small.links))
    say(f"{times[0] * 1e3:.1f} ms and {times[1] * 1e3:.1f} ms: exponent {exponent:.2f}")
    assert exponent <= 1.0


@pytest.mark.parametrize("elements", [300, 3_000])
def test_setting_up_costs_at_most_what_is_left_of_the_first_solve(
    elements: int, benchmark: BenchmarkFixture, say: Say
) -> None:
    """Arrays from a network as it was written down, against start, orderings and steps."""
    network = racks(elements)
    solve_flow(network)

    def set_up() -> int:
        return len(Compiled(network).topology.chords)

    benchmark(set_up)
    setting_up, first, again = in_turn(
        [set_up, lambda: solve_flow(network.part_of(network.links)), lambda: solve_flow(network)], 20
    )
    say(f"{setting_up * 1e3:.1f} ms of {first * 1e3:.1f} ms; solved again {again * 1e3:.1f} ms")
    assert setting_up <= first - setting_up


def test_a_hundred_thousand_elements_stay_below_a_gigabyte(benchmark: BenchmarkFixture, say: Say) -> None:
    """Whole process: interpreter, libraries, the network as written, its arrays and the solve."""
    script = (
        "import resource; from loopsim.solve import solve_flow; from tests.benchmarks.networks import racks; "
        "solve_flow(racks(100_000)).flow; print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)"
    )
    run = benchmark.pedantic(
        lambda: subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True), rounds=1
    )
    peak = int(run.stdout) / 1e6  # kB on Linux
    say(f"{peak:.2f} GB")
    assert peak < 1.0
