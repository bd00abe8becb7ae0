"""Which pumps may run at a moment of the fill."""

from itertools import pairwise

import numpy as np

from loopsim.network import HeightGraph
from loopsim.studies.fill.flooding import HUMP, hump_between, suction_way
from loopsim.studies.fill.simulate import Filling

__all__ = ["Priming"]

_WET = 0.999  # share of what a passage holds at the end that makes it full


class Priming:
    """Pumps, their bodies and suction lines.

    Parameters
    ----------
    graph : HeightGraph
    pumps : list of str
        Ids.
    filling : Filling
        What is filled.
    """

    def __init__(self, graph: HeightGraph, pumps: list[str], filling: Filling) -> None:
        self.graph, self.pumps, self.filling = graph, pumps, filling
        ports = [port for vessel in filling.vessels for port in vessel.ports]
        self.ways = {pump: suction_way(graph, pump, ports) if ports else [] for pump in pumps}

    def is_flooded(self, pump: str, filling: Filling | None = None) -> bool:
        """True if liquid stands in its body and all along a suction line without a hump.

        And if the level at which that was so reached the top of its body, or another pump presses it in.
        """
        way = self.ways[pump]
        if not way or hump_between(self.filling.heights[way])[1] > HUMP:
            return False
        filling = filling or self.filling
        body = [self.graph.number[f"{pump}{place}"] for place in (".inlet", "/middle", ".outlet")]
        is_wet = all(self._is_wet(pair, filling) for pair in pairwise([*way, *body[1:]]))
        return is_wet and float(filling.flooded_to[body].min()) >= self.top_of(pump)

    def top_of(self, pump: str) -> float:
        """Height of the highest place in its body [m]."""
        return float(self.filling.heights[self.graph.ends[self.graph.passages_of[pump]]].max())

    def is_fed(self, pump: str) -> bool:
        """True if another pump presses liquid into it."""
        return bool(np.isinf(self.filling.flooded_to[self.graph.number[f"{pump}/middle"]]))

    def _is_wet(self, pair: tuple[int, int], filling: Filling) -> bool:
        passage = next(each for each, other in self.graph.passages_at[pair[0]] if other == pair[1])
        return bool(filling.liquid[passage] >= _WET * filling.target[passage])

    def flooded(self, filling: Filling | None = None) -> frozenset[str]:
        """Ids of all that may run."""
        return frozenset(pump for pump in self.pumps if self.is_flooded(pump, filling))
