"""The fill plan of the sample, which is there half a second after a part is let go.

That is the aim, and printed. What is asserted holds on a slow or shared machine too.
"""

import statistics
import time
from collections.abc import Callable

from pytest_benchmark.fixture import BenchmarkFixture

from loopsim.build import load
from loopsim.studies.fill import drain_plan, fill_plan

from .yardstick import yardstick_ms

Say = Callable[[str], None]
PLINTH = "sample_loops/render-plinth.loop.json"
MOST = 3.3  # yardsticks; 1.5 to 2.0 when this was written


def test_the_fill_plan_of_the_plinth_is_there_within_half_a_second(benchmark: BenchmarkFixture, say: Say) -> None:
    build = load(PLINTH)
    names = [layout.name for layout in build.layouts]
    for name in names:  # what loads on first use
        fill_plan(build, name)
    times = []
    for _ in range(4):
        for name in names:
            begin = time.process_time()  # of this process alone: what else the machine does takes none of it
            fill_plan(build, name)
            times.append(1e3 * (time.process_time() - begin))
    begin = time.process_time()
    drain_plan(build)
    drained = 1e3 * (time.process_time() - begin)
    yardstick = yardstick_ms()
    say(
        f"fill plan {statistics.median(times):.0f} ms, at most {max(times):.0f} ms; drain plan {drained:.0f} ms; "
        f"yardstick {yardstick:.0f} ms"
    )
    benchmark.pedantic(lambda: fill_plan(build), rounds=1)
    assert max(times) < MOST * yardstick
