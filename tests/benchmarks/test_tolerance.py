"""Ten thousand draws of the sample's tolerances, many of them by two processes, and a million in little memory."""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

import sample_loops
from loopsim.build import Build, load
from loopsim.solve import solve_variants
from loopsim.studies import Workers, heat_point, tolerance, uncertainties
from loopsim.studies.tolerance.draws import CHUNK, factors_of
from loopsim.studies.tolerance.model import Model

from .networks import thirty_elements
from .timing import in_turn

Say = Callable[[str], None]

DRAWS = 10_000
MANY = 60_000
MEMORY = 1e9  # [bytes]


@pytest.fixture(scope="module")
def plinth() -> Build:
    return load(sample_loops.sample("render-plinth"))


class Draws:
    """Ten thousand draws of the sample, flow alone or with all that follows."""

    def __init__(self, build: Build) -> None:
        heat = heat_point(build)
        inputs = uncertainties(heat.coupled.thermal)
        self.model = Model(heat, inputs)
        self.chunks = [factors_of(inputs, number, 0) for number in range(DRAWS // CHUNK)]

    def flow_alone(self) -> None:
        for each in self.chunks:
            self.model.flow_alone(each)

    def with_heat(self) -> None:
        for each in self.chunks:
            self.model.figures(each)


@pytest.fixture(scope="module")
def draws(plinth: Build) -> Draws:
    return Draws(plinth)


@pytest.fixture
def all_cores() -> Iterator[int]:
    """Every core, where the other benchmarks keep to one."""
    if not hasattr(os, "sched_setaffinity"):
        yield os.cpu_count() or 1
        return
    before = os.sched_getaffinity(0)
    os.sched_setaffinity(0, range(os.cpu_count() or 1))
    yield len(os.sched_getaffinity(0))
    os.sched_setaffinity(0, before)


def test_drawn_flow_costs_at_most_three_times_a_network_of_thirty(
    benchmark: BenchmarkFixture, say: Say, draws: Draws
) -> None:
    """The other has no tees, whose losses move with the flow."""
    network, rng = thirty_elements(), np.random.default_rng(3)
    floor = {name: rng.normal(1.0, 0.05, DRAWS).clip(0.8, 1.2) for name in network.links}
    benchmark.pedantic(draws.flow_alone, rounds=3)
    flow, least = in_turn([draws.flow_alone, lambda: solve_variants(network, {}, floor)], 10)
    say(f"{DRAWS:,} draws of the flow: {flow * 1e3:.0f} ms, {flow / least:.1f} times {least * 1e3:.0f} ms")
    assert flow <= 3 * least


def test_heat_and_air_cost_at_most_ten_times_the_flow(benchmark: BenchmarkFixture, say: Say, draws: Draws) -> None:
    benchmark.pedantic(draws.with_heat, rounds=3)
    coupled, flow = in_turn([draws.with_heat, draws.flow_alone], 10)
    say(f"{DRAWS:,} draws with heat and air: {coupled * 1e3:.0f} ms, {coupled / flow:.1f} times {flow * 1e3:.0f} ms")
    assert coupled <= 10 * flow


@pytest.mark.xfail(
    strict=False,
    reason="1.36 to 1.60 by the clock beside ten other programs; by process time 5.8 s against 0.9 beside 2 x 2.2 s",
)
def test_two_processes_are_at_least_1_6_times_as_quick_as_one(
    benchmark: BenchmarkFixture, say: Say, plinth: Build, all_cores: int
) -> None:
    """Once they have started; median of five pairs, each of the whole study with its sums and shares."""
    if all_cores < 2:
        pytest.skip("one core")

    def timed(processes: int) -> float:
        begin = time.perf_counter()
        tolerance(plinth, draws=MANY, workers=Workers(processes))
        return time.perf_counter() - begin

    timed(2)
    pairs = [(timed(1), timed(2)) for _ in range(5)]
    benchmark.pedantic(timed, (2,), rounds=1)
    ratio = statistics.median(one / two for one, two in pairs)
    one, two = (statistics.median(each) for each in zip(*pairs, strict=True))
    say(f"{MANY:,} draws: {one:.1f} s by one process, {two:.1f} s by two: {ratio:.2f} times as quick")
    assert ratio >= 1.6


@pytest.mark.skipif(sys.platform == "win32", reason="the largest memory of a child is not to be had")
def test_a_million_draws_stream_to_disk_in_less_than_a_gigabyte(
    benchmark: BenchmarkFixture, say: Say, tmp_path: Path
) -> None:
    import resource

    target = tmp_path / "draws.csv"
    sample = str(sample_loops.sample("render-plinth"))
    command = [sys.executable, "-m", "loopsim", "tolerance", sample, "-n", "1000000", "--jobs", "1", "-o", str(target)]
    benchmark.pedantic(lambda: subprocess.run(command, check=True, capture_output=True), rounds=1)
    unit = 1 if sys.platform == "darwin" else 1024
    most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * unit
    with target.open(encoding="utf-8") as file:
        rows = sum(1 for _ in file) - 1
    say(f"{rows:,} draws on disk, {target.stat().st_size / 1e6:.0f} MB, in {most / 1e6:.0f} MB of memory")
    assert rows == 1_000_000
    assert most < MEMORY
