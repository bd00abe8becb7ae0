"""The air map and the flooded pumps of the sample, which are redrawn while a part is dragged.

The aim is a frame, 33 ms for 95 of 100, and is printed. What is asserted holds on a slow or shared machine too.
"""

import statistics
import time
from collections.abc import Callable

from pytest_benchmark.fixture import BenchmarkFixture

from loopsim.build import edits, load
from loopsim.studies import operating_point
from loopsim.studies.fill import air_map, gravity_fill, tilt_plan

from .timing import in_turn
from .yardstick import yardstick_ms

Say = Callable[[str], None]
PLINTH = "sample_loops/render-plinth.loop.json"
MOST = 0.3  # yardsticks at the median; 0.12 to 0.19 when this was written


def test_air_map_and_flooded_pumps_of_the_plinth_are_there_within_a_frame(
    benchmark: BenchmarkFixture, say: Say
) -> None:
    build = load(PLINTH)
    points = [operating_point(build, layout.name) for layout in build.layouts]

    def both() -> None:
        for point in points:
            air_map(point)
            gravity_fill(build, point.layout.name)

    both()  # what loads on first use
    times = []
    for _ in range(40):
        begin = time.process_time()  # of this process alone: what else the machine does takes none of it
        both()
        times.append(1e3 * (time.process_time() - begin) / len(points))
    usual, late, yardstick = statistics.median(times), statistics.quantiles(times, n=20)[-1], yardstick_ms()
    say(
        f"air map and flooded pumps of a layout: {usual:.1f} ms, 95 of 100 within {late:.1f} ms, "
        f"{usual / yardstick:.2f} yardsticks of {yardstick:.0f} ms"
    )
    benchmark.pedantic(both, rounds=1)
    assert usual < MOST * yardstick


def test_with_check_valves_the_air_map_costs_little_more(benchmark: BenchmarkFixture, say: Say) -> None:
    """What is not passed backwards takes more sweeps: no more than twice the time of the same layout without."""
    build = load("sample_loops/awkward-riser.loop.json")
    name = "sump on a side branch"
    stuck = edits.change_part(build, "check_valve", stuck="open").build
    works = [lambda each=each: gravity_fill(each, name) for each in (stuck, build)]
    plain, held = in_turn(works, 15)
    say(f"gravity fill with a check valve: {held / plain:.2f} of that without")
    benchmark.pedantic(works[1], rounds=1)
    assert held < 2 * plain


def test_the_search_over_tilts_is_told_in_time(benchmark: BenchmarkFixture, say: Say) -> None:
    """81 tilts of the sample, in the background; no more than a hundred air maps."""
    build = load(PLINTH)
    point = operating_point(build)
    begin = time.process_time()
    for _ in range(10):
        air_map(point)
    one = (time.process_time() - begin) / 10
    begin = time.process_time()
    tilt_plan(build)
    search = time.process_time() - begin
    say(f"search over 81 tilts: {1e3 * search:.0f} ms, {search / one:.1f} air maps")
    benchmark.pedantic(lambda: tilt_plan(build), rounds=1)
    assert search < 100 * one
