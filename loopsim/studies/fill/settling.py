"""Where air goes, or liquid, with the machine held one way and nothing running."""

from collections.abc import Collection, Mapping

import numpy as np
from numpy.typing import NDArray

from loopsim.network import HeightGraph, Pocket, pockets, volume_above

__all__ = ["Settling"]

FloatArray = NDArray[np.float64]


class Settling:
    """Pockets of a height graph, and what gets into them.

    Parameters
    ----------
    graph : HeightGraph
    heights : ndarray, shape (n,)
        As the machine is held [m]; turned over (with a minus) for liquid, which falls.
    openings : collection of int
        Places where it gets out.
    """

    def __init__(self, graph: HeightGraph, heights: FloatArray, openings: Collection[int]) -> None:
        self.graph, self.heights = graph, heights
        self.pockets = pockets(graph.ends, heights, graph.liquid, graph.passages_at, openings)
        self._tops = {pocket.top for pocket in self.pockets}
        self._by_sill = sorted(self.pockets, key=lambda pocket: -pocket.sill)
        self._around: dict[int, Pocket] = {}
        for pocket in sorted(self.pockets, key=lambda each: -len(each.places)):  # inner ones last, and so they stand
            self._around.update(dict.fromkeys(pocket.places, pocket))

    def full(self) -> dict[int, float]:
        """What lies at each place when every pocket is full [m3]: of each passage the part above the sill around it."""
        graph = self.graph
        sills = np.full(len(graph.items), np.inf)
        for pocket in self.pockets:
            inside = np.zeros(len(self.heights), dtype=bool)
            inside[list(pocket.places)] = True
            sills[inside[graph.ends].any(axis=1)] = np.minimum(sills, pocket.sill)[inside[graph.ends].any(axis=1)]
        return self.at_upper_ends(volume_above(graph.ends, self.heights, graph.liquid, sills))

    def at_upper_ends(self, volumes: FloatArray) -> dict[int, float]:
        """Volumes of passages, shape (m,), gathered at the place to which they rise [m3]."""
        found: dict[int, float] = {}
        for (start, end), volume in zip(self.graph.ends.tolist(), volumes.tolist(), strict=True):
            if volume > 0:
                top = start if self.heights[start] >= self.heights[end] else end
                found[top] = found.get(top, 0.0) + volume
        return found

    def after(self, volumes: Mapping[int, float]) -> dict[int, float]:
        """What is left of volumes that lay at these places, now at the tops of the pockets that keep it [m3].

        What a pocket cannot hold goes on to the one into which it spills, or gets out.
        """
        kept: dict[int, float] = {}
        for place, volume in volumes.items():
            pocket = self._around.get(place)
            if pocket is not None:
                kept[pocket.top] = kept.get(pocket.top, 0.0) + volume
        for pocket in self._by_sill:  # the highest sill first: it spills into one that spills later
            over = kept.get(pocket.top, 0.0) - pocket.volume
            if over > 0 and pocket.has_way_out:
                kept[pocket.top] = pocket.volume
                if pocket.into is not None and pocket.into in self._tops:
                    kept[pocket.into] = kept.get(pocket.into, 0.0) + over
        return kept
