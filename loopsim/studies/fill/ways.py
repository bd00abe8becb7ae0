"""Ways of air along the flow, within a pocket and on from it."""

import heapq
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loopsim.network import HeightGraph, Pocket
from loopsim.studies.fill.clearing import ClearingSpeeds, clearing_speeds, clears
from loopsim.studies.words import NO_FLOW

__all__ = ["Carried", "Currents"]

FloatArray = NDArray[np.float64]

_RANK = {"stays": 0, "may clear": 1, "clears": 2}


@dataclass(frozen=True, slots=True)
class Carried:
    """The best way along the flow out of a pocket: its hardest passage, and the place at its end."""

    passage: int
    end: int


class Currents:
    """Which way liquid flows in each passage, and how well it carries air there.

    Parameters
    ----------
    graph : HeightGraph
    heights, flow, density, viscosity, tension : ndarray
        Heights of the places, shape (n,) [m]; the others of the passages, shape (m,), SI.
    """

    def __init__(
        self,
        graph: HeightGraph,
        heights: FloatArray,
        flow: FloatArray,
        density: FloatArray,
        viscosity: FloatArray,
        tension: FloatArray,
    ) -> None:
        self.graph, self.heights, self.flow = graph, heights, flow
        self.speed = np.abs(flow) / graph.area
        start, end = heights[graph.ends].T
        drop = (start - end) * np.where(flow >= 0, 1.0, -1.0)
        length = np.maximum(graph.length, np.abs(drop))
        self.sine = np.where(length > 0, drop / np.where(length > 0, length, 1.0), 0.0)
        self.limits: ClearingSpeeds = clearing_speeds(graph.bore, self.sine, density, viscosity, tension)

    def rank(self, passage: int) -> tuple[int, float]:
        """How well it carries air, to compare passages: the verdict, then the speed over the one that surely does."""
        speed, fast = float(self.speed[passage]), float(self.limits.clears_above[passage])
        verdict = clears(speed, float(self.limits.stays_below[passage]), fast)
        return _RANK[verdict], speed / fast if fast > 0 else np.inf

    def onward(self, place: int) -> list[tuple[int, int]]:
        """Passages in which liquid leaves a place, each with the place where it goes."""
        found = []
        for passage, other in self.graph.passages_at[place]:
            leaving = self.flow[passage] if self.graph.ends[passage, 0] == place else -self.flow[passage]
            if leaving > NO_FLOW:
                found.append((passage, other))
        return found

    def out_of(self, pocket: Pocket) -> Carried | None:
        """The easiest way along the flow, by its hardest passage, from the highest place passed to below the sill.

        None where nothing flows in it.
        """
        inside = set(pocket.places)
        passed = [place for place in pocket.above_sill(self.heights) if self.onward(place)]
        if not passed:
            return None
        top = max(passed, key=lambda place: float(self.heights[place]))
        best: dict[int, tuple[int, float]] = {top: (3, np.inf)}
        queue: list[tuple[tuple[float, float], int, int]] = [((-3.0, -np.inf), top, -1)]
        while queue:
            (rank, ratio), place, hardest = heapq.heappop(queue)
            reached = (int(-rank), -ratio)
            if reached < best[place]:
                continue
            if place not in inside:
                return Carried(hardest, place)
            for passage, other in self.onward(place):
                there = self.rank(passage)
                worst, at = (there, passage) if there < reached else (reached, hardest)
                if other not in best or worst > best[other]:
                    best[other] = worst
                    heapq.heappush(queue, ((-float(worst[0]), -worst[1]), other, at))
        return None

    def still(self, pocket: Pocket) -> list[int]:
        """Passages of a pocket in which nothing flows: blind ends."""
        near = {passage for place in pocket.places for passage, _ in self.graph.passages_at[place]}
        return sorted(passage for passage in near if abs(float(self.flow[passage])) <= NO_FLOW)

    def follow(
        self, place: int, is_vessel: Callable[[int], bool], pocket_at: Mapping[int, int]
    ) -> tuple[int | None, int | None]:
        """Along the strongest flow from a place: the vessel's place where it ends, and the first pocket on the way.

        The vessel is None if the flow comes round to where it was; the pocket None if there is none before the vessel.
        """
        seen: set[int] = set()
        caught: int | None = None
        while place not in seen:
            if is_vessel(place):
                return place, caught
            if caught is None:
                caught = pocket_at.get(place)
            seen.add(place)
            onward = self.onward(place)
            if not onward:
                return None, caught
            _, place = max(onward, key=lambda each: abs(float(self.flow[each[0]])))
        return None, caught
