"""When places wet while the level rises, and when the air there is shut in."""

from collections.abc import Collection, Mapping
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from loopsim.network import HeightGraph, bottlenecks_one_way

__all__ = ["SAME", "Wetting", "run_down"]

FloatArray = NDArray[np.float64]

SAME = 1e-9  # heights closer than this are the same [m]
_DIGITS = 7  # to which moments are told apart [decimals of a metre]


class Wetting:
    """Liquid poured into one opening.

    Parameters
    ----------
    graph : HeightGraph
    heights : ndarray, shape (n,)
        As the machine is held [m].
    source : int
        Where liquid is poured in.
    opened : collection of int
        Places where air gets out, the source among them.
    heads : mapping of int to float
        By passage of a check valve: head that opens it forward [m]. Air, and liquid on its way down, open none.

    Attributes
    ----------
    heights : ndarray, shape (n,)
        As levels at the opening: behind a check valve raised by the head that it keeps back [m].
    starts : list of int
        Low points into which liquid runs down of itself.
    levels : ndarray, shape (n,)
        Level at which liquid comes to each place, inf where no way leads [m].
    sealed, sealed_by : ndarray, shape (n,)
        Level at which its air is shut in, inf where it always gets out [m], and the place that is flooded then; -1.
    low, high : ndarray of int, shape (m,)
        Lower and upper end of each passage.
    wet_up_to : ndarray, shape (m,)
        Height in each passage at which shut-in air above stops the liquid, inf where it does not [m].
    """

    def __init__(
        self,
        graph: HeightGraph,
        heights: FloatArray,
        source: int,
        opened: Collection[int],
        heads: Mapping[int, float],
    ) -> None:
        self.graph, self.opened = graph, opened
        self.starts = run_down(graph, heights, source)
        self.levels, lost = bottlenecks_one_way(graph.ends, heights, self.starts, heads)
        self.heights = heights = heights + lost
        self.sealed, self.sealed_by = self._sealed()
        start, end = graph.ends.T
        swap = heights[start] > heights[end]
        self.low, self.high = np.where(swap, end, start), np.where(swap, start, end)
        self.wet_up_to = self._wet_up_to()

    def share_wet(self, level: float) -> FloatArray:
        """Share of each passage under liquid at a level, air shut in counted as dry, shape (m,)."""
        low, high = self.low, self.high
        rise = self.heights[high] - self.heights[low]
        up_to = np.minimum(level, self.wet_up_to)
        slope = np.clip((up_to - self.heights[low]) / np.where(rise > SAME, rise, 1.0), 0.0, 1.0)
        share = np.where(rise > SAME, slope, 1.0)
        reached = self.levels[low] <= np.minimum(level, self.sealed[high]) + SAME
        return np.where(reached & ~np.isfinite(self.sealed[low]), share, 0.0)

    def _sealed(self) -> tuple[FloatArray, NDArray[np.intp]]:
        """Level at which the air at each place is shut in, inf where it always gets out, and what floods its way.

        Backwards in time, from full to dry: places come to light in the order opposite to that in which they wet, and
        a body of dry places breathes again when one comes to light that joins it to an open one. Places that wet at
        one moment come to light together: along a level stretch air gets out while it fills.
        """
        count = len(self.heights)
        sealed, by = np.full(count, np.inf), np.full(count, -1, dtype=np.intp)
        bodies: list[_Dry | None] = [None] * count
        moments = list(zip(self.levels.round(_DIGITS).tolist(), self.heights.round(_DIGITS).tolist(), strict=True))
        for _, together in groupby(sorted(range(count), key=moments.__getitem__, reverse=True), moments.__getitem__):
            for fresh in self.joined(list(together)):
                near = {id(body): body for place in fresh for body in self._bodies_at(place, bodies)}
                breathes = any(place in self.opened for place in fresh) or any(each.is_open for each in near.values())
                for body in near.values():
                    if breathes and not body.is_open:
                        gate = next(place for place in fresh if body in self._bodies_at(place, bodies))
                        sealed[body.places], by[body.places] = self.levels[gate], gate
                _merge(bodies, fresh, list(near.values()), breathes)
        for body in {id(each): each for each in bodies if each is not None and not each.is_open}.values():
            first = min(body.places, key=lambda place: float(self.levels[place]))
            if np.isfinite(self.levels[first]):  # behind a check valve air has no way out from the start
                sealed[body.places], by[body.places] = self.levels[first], first
        return sealed, by

    def _wet_up_to(self) -> FloatArray:
        """Liquid that rises with the level stops at the level at which air is shut in.

        What has run in over a hump fills from below while the level stands at the hump: it stops at the place that
        shuts the air in.
        """
        sealed = self.sealed[self.high]
        rises = self.levels[self.low] < sealed - SAME
        return np.asarray(np.where(np.isfinite(sealed) & ~rises, self.heights[self.sealed_by[self.high]], sealed))

    def joined(self, places: list[int]) -> list[list[int]]:
        """The connected bodies among places."""
        left, found = set(places), []
        while left:
            front = [left.pop()]
            body = list(front)
            while front:
                near = {other for _, other in self.graph.free_at[front.pop()]} & left
                left -= near
                front += near
                body += near
            found.append(sorted(body))
        return sorted(found)

    def _bodies_at(self, place: int, bodies: list["_Dry | None"]) -> list["_Dry"]:
        return [body for _, other in self.graph.free_at[place] if (body := bodies[other]) is not None]

    def is_fed_from_outside(self, gate: int, pocket: Collection[int]) -> bool:
        """True if liquid stands all the way to what shut a pocket in; False if it runs in through the pocket."""
        seen, front = {gate, *pocket}, [gate]
        while front:
            near = {other for _, other in self.graph.passages_at[front.pop()]} - seen
            seen |= near
            front += near
        return not (seen - set(pocket)).isdisjoint(self.starts)


class _Dry:
    """Connected places that are still dry."""

    def __init__(self, places: list[int], is_open: bool) -> None:
        self.places, self.is_open = places, is_open


def _merge(bodies: list[_Dry | None], fresh: list[int], near: list[_Dry], breathes: bool) -> None:
    """Let places that came to light and all bodies near them be one."""
    largest = max(near, key=lambda body: len(body.places), default=_Dry([], breathes))
    largest.is_open = breathes
    joined = [*fresh, *(place for body in near if body is not largest for place in body.places)]
    largest.places += joined
    for place in joined:
        bodies[place] = largest


def run_down(graph: HeightGraph, heights: FloatArray, source: int) -> list[int]:
    """The low points into which liquid from the opening runs down of itself."""
    seen, front, lowest = {source}, [source], []
    while front:
        place = front.pop()
        near = [other for _, other in graph.free_at[place]]
        down = [other for other in near if heights[other] < heights[place] - SAME]
        if not down:  # it spreads along the level
            lowest.append(place)
            down = [other for other in near if heights[other] <= heights[place] + SAME]
        new = [other for other in down if other not in seen]
        seen.update(new)
        front += new
    return lowest
