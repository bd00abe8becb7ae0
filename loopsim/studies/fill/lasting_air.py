"""Air that stays in a full loop, passage by passage."""

from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

from loopsim.network import HeightGraph, pockets, volume_above
from loopsim.studies.fill.clearing import Clears
from loopsim.studies.fill.results import AirMap

__all__ = ["lasting_air"]

FloatArray = NDArray[np.float64]


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
