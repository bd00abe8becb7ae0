"""What the checks of fit cost while a part is dragged."""

import time
from statistics import median, quantiles

import pytest

from loopsim.build import Build, Enclosure, Layout, Placement, edits
from loopsim.parts import Tube, TubeRun
from loopsim.parts.cross import Cross
from loopsim.studies.fit import fit

COLUMNS, ROWS, PITCH = 10, 6, 100.0


def grid_of_crosses() -> Build:
    """60 crosses, 100 runs between neighbours, none of which is in another's way."""
    parts, placed, runs = [], [], []
    for row in range(ROWS):
        for column in range(COLUMNS):
            part_id = f"x_{row}_{column}"
            parts.append(Cross(id=part_id, name=f"Cross {row} {column}"))
            placed.append(Placement(part=part_id, x_mm=PITCH * (column + 1), y_mm=PITCH * (row + 1)))
            if column + 1 < COLUMNS:
                runs.append((f"{part_id}.b", f"x_{row}_{column + 1}.a"))
            if row + 1 < ROWS:
                runs.append((f"{part_id}.c", f"x_{row + 1}_{column}.d"))
    drawn = [TubeRun(id=f"r{n}", start=a, end=b, tube="t") for n, (a, b) in enumerate(runs[:100])]
    layout = Layout(name="grid", placed=tuple(placed), runs=tuple(drawn))
    return Build(
        name="grid",
        enclosure=Enclosure(length_mm=1100, width_mm=700),
        tubes=(Tube(id="t", name="10/13"),),
        parts=tuple(parts),
        layouts=(layout,),
    )


@pytest.mark.benchmark
def test_sixty_parts_and_a_hundred_runs_are_checked_within_five_milliseconds(benchmark) -> None:
    """After the first time, one part having moved each time, as in a drag; the lower quartile, for shared caches."""
    build = grid_of_crosses()
    assert fit(build) == ()
    times = []
    for step in range(60):
        build = edits.move(build, "grid", "x_3_4", 500.0 + step % 7, 400.0 + step % 5).build
        before = time.process_time()  # of this process alone: a busy machine does not make it slower
        fit(build)
        times.append(time.process_time() - before)
    benchmark.extra_info["median_ms"] = round(median(times) * 1e3, 2)
    benchmark.pedantic(lambda: fit(build), rounds=20)
    assert quantiles(times, n=4)[0] < 5e-3
