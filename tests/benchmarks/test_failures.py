"""The whole failure catalogue of the sample against one coupled solve."""

from collections.abc import Callable

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

import sample_loops
from loopsim.build import Build, load
from loopsim.studies import catalogue, each_outcome, heat_point

from .timing import in_turn

Say = Callable[[str], None]


@pytest.fixture(scope="module")
def plinth() -> Build:
    return load(sample_loops.sample("render-plinth"))


def test_ten_failures_cost_at_most_twelve_coupled_solves(benchmark: BenchmarkFixture, say: Say, plinth: Build) -> None:
    """With verdict and the load that can be borne, which takes solves of its own; all of it in less than a second."""
    base, failures = heat_point(plinth), catalogue(plinth)
    benchmark.pedantic(lambda: list(each_outcome(base, failures)), rounds=3)
    whole, once = in_turn([lambda: list(each_outcome(base, failures)), lambda: heat_point(plinth)], 10)
    ratio = 10 * whole / len(failures) / once
    say(f"{len(failures)} cases in {whole * 1e3:.0f} ms, a solve {once * 1e3:.1f} ms: {ratio:.1f} solves for ten")
    assert ratio <= 12
