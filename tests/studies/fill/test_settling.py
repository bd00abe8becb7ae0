"""What goes where in pockets, and along currents, on graphs made by hand."""

import numpy as np
import pytest

from loopsim.network import HeightGraph
from loopsim.studies.fill.settling import Settling
from loopsim.studies.fill.ways import Currents

BORE = 0.010
AREA = np.pi / 4 * BORE**2
ML = 1e-6


def graph(heights: list[float], ends: list[tuple[int, int]], area: list[float] | None = None) -> HeightGraph:
    """Places with 100 mL and a length of 2 m in each passage between them."""
    count = len(ends)
    spots = np.zeros((len(heights), 3))
    spots[:, 2] = heights
    return HeightGraph(
        names=tuple(f"line/{number}" for number in range(len(heights))),
        spots=spots,
        ends=np.array(ends, dtype=np.intp),
        volume=np.full(count, 100 * ML),
        bore=np.full(count, BORE),
        area=np.full(count, AREA) if area is None else np.array(area),
        length=np.full(count, 2.0),
        items=("line",) * count,
        holds_air=np.zeros(count, dtype=bool),
        openings={},
    )


def two_humps() -> Settling:
    """Open at 5 m, down to 0, a hump of 3 m, down to 1 m, a hump of 2 m, down to 0, and up to the open at 5 m."""
    made = graph([5, 0, 3, 1, 2, 0, 5], [(number, number + 1) for number in range(6)])
    return Settling(made, made.heights(), [0, 6])


def test_full_pockets_stay_full() -> None:
    settling = two_humps()
    assert settling.after(settling.full()) == pytest.approx({2: 250 * ML, 4: 150 * ML})


def test_what_the_lower_hump_cannot_hold_joins_what_the_higher_one_has() -> None:
    """150 mL is all that the lower one holds: of 170 mL 20 go over to the 30 that are there already."""
    assert two_humps().after({4: 170 * ML, 2: 30 * ML}) == pytest.approx({4: 150 * ML, 2: 50 * ML})


def test_what_neither_can_hold_gets_out() -> None:
    assert two_humps().after({4: 1000 * ML}) == pytest.approx({4: 150 * ML, 2: 250 * ML})


def test_what_lies_in_no_pocket_is_gone() -> None:
    assert two_humps().after({0: 100 * ML, 6: 100 * ML}) == {}


def currents(made: HeightGraph, flow: list[float]) -> Currents:
    count = len(flow)
    liquid = (np.full(count, value) for value in (998.0, 1e-3, 0.0728))
    return Currents(made, made.heights(), np.array(flow), *liquid)


def test_air_takes_the_way_out_whose_hardest_stretch_is_the_easiest() -> None:
    """From the crest straight down in a wide, slow passage, or round by a third place in two narrow, fast ones."""
    made = graph(
        [0, 2, 1, 0.5, 0, 5, 5],
        [(0, 1), (1, 3), (1, 2), (2, 3), (3, 4), (4, 5), (0, 6)],
        [AREA, 20 * AREA, AREA, AREA, AREA, AREA, AREA],
    )
    flow = 1e-4
    moving = currents(made, [flow, 0.3 * flow, 0.7 * flow, 0.7 * flow, flow, flow, -flow])
    (pocket,) = Settling(made, made.heights(), [5, 6]).pockets
    way = moving.out_of(pocket)
    assert way is not None
    assert way.passage != 1
    assert moving.speed[way.passage] > 0.7 * flow / AREA * 0.99


def test_with_nothing_moving_there_is_no_way_out() -> None:
    made = graph([5, 0, 2, 0, 5], [(0, 1), (1, 2), (2, 3), (3, 4)])
    (pocket,) = Settling(made, made.heights(), [0, 4]).pockets
    still = currents(made, [0.0] * 4)
    assert still.out_of(pocket) is None
    assert still.still(pocket) == [1, 2]
