"""Flow, heat and air together against flow alone."""

from collections.abc import Callable
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from loopsim.build import load
from loopsim.studies import heat_point, operating_point

from .timing import in_turn

Say = Callable[[str], None]


@pytest.mark.parametrize("row", [0, 1, 2])
def test_heat_costs_at_most_six_times_the_flow_alone(
    row: int, plinth_path: Path, benchmark: BenchmarkFixture, say: Say
) -> None:
    """Both from a build to what a builder reads: network, solution, findings."""
    build = load(plinth_path)
    layout = build.layouts[row].name
    found = heat_point(build, layout)
    benchmark.pedantic(heat_point, (build, layout), rounds=20)
    whole, alone = in_turn([lambda: heat_point(build, layout), lambda: operating_point(build, layout)], 60)
    say(f"{found.coupled.rounds} rounds, {whole * 1e3:.1f} ms against {alone * 1e3:.2f} ms: {whole / alone:.1f} times")
    assert found.is_steady
    assert whole <= 6 * alone
