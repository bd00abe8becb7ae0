"""The course in time against states at rest."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from loopsim.build import load
from loopsim.parts import Fan
from loopsim.studies import heat_point, transient

from .timing import in_turn

Say = Callable[[str], None]

HOURS = 8


@pytest.mark.parametrize(
    "kind", ["from cold", "one pump stopped", "one fan stopped", "all fans stopped"], ids=lambda kind: kind
)
def test_eight_hours_cost_at_most_two_hundred_states_at_rest(
    kind: str, plinth_path: Path, benchmark: BenchmarkFixture, say: Say
) -> None:
    build = load(plinth_path)
    fans = [part.id for part in build.parts if isinstance(part, Fan) and part.id in build.layout().placements]
    values: dict[str, Any] = {
        "from cold": {"from_cold": True},
        "one pump stopped": {"stopped": ["pump_a"]},
        "one fan stopped": {"stopped": fans[:1]},
        "all fans stopped": {"stopped": fans},
    }[kind]
    found = transient(build, minutes=60 * HOURS, **values)
    benchmark.pedantic(lambda: transient(build, minutes=60 * HOURS, **values), rounds=2)
    whole, rest = in_turn([lambda: transient(build, minutes=60 * HOURS, **values), lambda: heat_point(build)], 3)
    say(
        f"{found.course.solves} solves of the flows, to {found.time[-1] / 3600:.1f} h: {whole * 1e3:.0f} ms against "
        f"{rest * 1e3:.1f} ms: {whole / rest:.0f} times"
    )
    assert whole <= 200 * rest
