"""Air that stays in a loop once it is filled, passage by passage."""

from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

from loopsim.network import HeightGraph, pockets, volume_above
from loopsim.studies.fill.clearing import Clears
from loopsim.studies.fill.flows import passage_flows, running_graph
from loopsim.studies.fill.results import AirMap
from loopsim.studies.results import OperatingPoint
from loopsim.studies.words import NO_FLOW

__all__ = ["SURELY", "UNSURELY", "air_left", "lasting_air"]

FloatArray = NDArray[np.float64]

SURELY: tuple[Clears, ...] = ("stays",)
UNSURELY: tuple[Clears, ...] = ("stays", "may clear")


def air_left(point: OperatingPoint, found: AirMap, verdicts: Collection[Clears] = SURELY) -> FloatArray:
    """Air in each passage of the layout's height graph once the loop is filled and bled, shape (m,) [m3].

    What is filled holds as much less than a full loop, and as much less can be drained.

    Parameters
    ----------
    point : OperatingPoint
        With all pumps running.
    found : AirMap
        At that point.
    verdicts : collection of str
        Of the high points that keep their air: those that surely do, or all that may (`UNSURELY`).
    """
    graph = running_graph(point)
    running = {pump.id for pump in point.pumps if pump.state == "running"}
    stirred = np.array([item in running for item in graph.items], dtype=bool)  # in the volutes of running pumps
    still = (np.abs(passage_flows(graph, point)) < NO_FLOW) & ~stirred
    return lasting_air(graph, graph.heights(), still, found, verdicts)


def lasting_air(
    graph: HeightGraph, heights: FloatArray, still: NDArray[np.bool_], found: AirMap, verdicts: Collection[Clears]
) -> FloatArray:
    """Air in the high points of these verdicts, and in blind ends of all others, in each passage, shape (m,) [m3].

    Parameters
    ----------
    graph : HeightGraph
    heights : ndarray, shape (n,)
        As the machine was held for the air map [m].
    still : ndarray of bool, shape (m,)
        Passages in which nothing moves.
    found : AirMap
    verdicts : collection of str
        ``"stays"``, ``"may clear"``, ``"clears"``.
    """
    tops = {point.at.place for point in found.points if point.verdict in verdicts}
    sills = np.full(len(graph.items), np.inf)
    for pocket in pockets(graph.ends, heights, graph.liquid, graph.passages_at, graph.opened("vented")):
        inside = np.zeros(len(heights), dtype=bool)
        inside[list(pocket.places)] = True
        mine = inside[graph.ends].any(axis=1)
        if graph.names[pocket.top] not in tops:
            mine &= still
        sills[mine] = np.minimum(sills[mine], pocket.sill)
    return volume_above(graph.ends, heights, graph.liquid, sills)
