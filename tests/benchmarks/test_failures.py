"""The whole failure catalogue of the sample against one coupled solve, and ten thousand draws of its tolerances."""

from collections.abc import Callable

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

import sample_loops
from loopsim.build import Build, load
from loopsim.solve import solve_variants
from loopsim.studies import catalogue, each_outcome, heat_point, uncertainties
from loopsim.studies.tolerance.draws import CHUNK, factors_of
from loopsim.studies.tolerance.model import Model

from .networks import thirty_elements
from .timing import in_turn

Say = Callable[[str], None]

DRAWS = 10_000


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


@pytest.mark.xfail(strict=False, reason="14 to 16: loads that can be borne take 15 solves beside those of 26 cases")
def test_ten_failures_cost_at_most_twelve_coupled_solves(benchmark: BenchmarkFixture, say: Say, plinth: Build) -> None:
    """With verdict and the load that can be borne, which takes solves of its own; all of it in less than a second."""
    base, failures = heat_point(plinth), catalogue(plinth)
    benchmark.pedantic(lambda: list(each_outcome(base, failures)), rounds=3)
    whole, once = in_turn([lambda: list(each_outcome(base, failures)), lambda: heat_point(plinth)], 10)
    ratio = 10 * whole / len(failures) / once
    say(f"{len(failures)} cases in {whole * 1e3:.0f} ms, a solve {once * 1e3:.1f} ms: {ratio:.1f} solves for ten")
    assert ratio <= 12


@pytest.mark.xfail(strict=False, reason="flow 5 times: losses of two tees move round by round, the other has none")
def test_drawn_flow_costs_at_most_three_times_a_network_of_thirty(
    benchmark: BenchmarkFixture, say: Say, draws: Draws
) -> None:
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
