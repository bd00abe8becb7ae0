"""What heights tell: up to where liquid must rise to get somewhere, and where air or liquid is trapped."""

import heapq
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

__all__ = ["Pocket", "bottlenecks", "bottlenecks_one_way", "pockets", "volume_above"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

LEAST_RISE = 1e-4  # a rise of less than 0.1 mm traps nothing [m]
LEAST_VOLUME = 1e-8  # nor does what holds less than 0.01 mL [m3]


def bottlenecks(ends: IntArray, heights: FloatArray, starts: Iterable[int]) -> FloatArray:
    """The level to which liquid must rise from any of `starts` to reach each place.

    Over all ways, the lowest of the highest place on the way, both its ends included.

    Parameters
    ----------
    ends : ndarray of int, shape (m, 2)
        Places at both ends of each passage.
    heights : ndarray, shape (n,)
        [m].
    starts : iterable of int

    Returns
    -------
    ndarray, shape (n,)
        [m]; inf where no way leads.

    References
    ----------
    Bottleneck paths: M. Pollack, Operations Research 8 (1960) 733-736, by Dijkstra's search, from memory. Checked
    against all paths one by one in tests/network/test_pockets.py.
    """
    return bottlenecks_one_way(ends, heights, starts, {})[0]


def bottlenecks_one_way(
    ends: IntArray, heights: FloatArray, starts: Iterable[int], heads: Mapping[int, float]
) -> tuple[FloatArray, FloatArray]:
    """The same with passages that open in one direction only, and for a head only.

    Behind such a passage the liquid stands lower, by that head, than where it comes from. Of two ways that need the
    same level the one counts that loses less head; a way of a lower level always counts.

    Parameters
    ----------
    ends, heights, starts
        As in `bottlenecks`.
    heads : mapping of int to float
        By passage: the head that opens it from its first to its second end, inf where nothing does [m].

    Returns
    -------
    levels, lost : ndarray, shape (n,)
        Level at the start that reaches each place, inf where none does, and the head lost on the way [m].
    """
    levels, lost = np.full(len(heights), np.inf), np.zeros(len(heights))
    onward: list[list[tuple[int, float]]] = [[] for _ in heights]
    for passage, (start, end) in enumerate(ends.tolist()):
        onward[start].append((end, heads.get(passage, 0.0)))
        if passage not in heads:
            onward[end].append((start, 0.0))
    height, done = heights.tolist(), [False] * len(heights)
    queue = [(height[start], 0.0, start) for start in starts]
    heapq.heapify(queue)
    while queue:
        level, head, place = heapq.heappop(queue)
        if done[place]:
            continue
        done[place], levels[place], lost[place] = True, level, head
        for other, more in onward[place]:
            needed = max(level, max(height[place], height[other]) + head + more)
            if not done[other] and needed < np.inf:
                heapq.heappush(queue, (needed, head + more, other))
    return levels, lost


@dataclass(frozen=True, slots=True)
class Pocket:
    """Where air rises to and stays (or, in heights turned over, where liquid runs to and stays).

    Attributes
    ----------
    top : int
        Its highest place.
    sill : float
        Height down to which it fills before air gets out [m].
    sill_at : int or None
        The place under which it then gets out; None if there is no such place.
    into : int or None
        Top of the higher pocket into which it goes then; None if into the open, or if it has no way out.
    has_way_out : bool
        False where nothing that joins it is higher or open: what a lower pocket cannot take stays here.
    places : tuple of int
        All that lie above the sill, those of lower pockets within included.
    volume : float
        Between top and sill, without lower pockets within [m3].
    """

    top: int
    sill: float
    sill_at: int | None
    into: int | None
    places: tuple[int, ...]
    volume: float
    has_way_out: bool = True

    def above_sill(self, heights: FloatArray) -> list[int]:
        """Its places that lie higher than the sill by more than nothing."""
        return [place for place in self.places if heights[place] > self.sill + LEAST_RISE]


def volume_above(ends: IntArray, heights: FloatArray, volume: FloatArray, level: float | FloatArray) -> FloatArray:
    """What each passage holds above a level, shape (m,) [m3]; a level passage at just that level holds nothing above.

    Parameters
    ----------
    ends : ndarray of int, shape (m, 2)
    heights : ndarray, shape (n,)
        [m].
    volume : ndarray, shape (m,)
        Of each passage, spread evenly along its height [m3].
    level : float or ndarray, shape (m,)
        [m].
    """
    low, high = np.sort(heights[ends], axis=1).T
    rise = high - low
    sloped = np.clip((high - level) / np.where(rise > 0, rise, 1.0), 0.0, 1.0)
    share = np.where(rise > 0, sloped, high > level)
    return np.asarray(volume * share)


@dataclass
class _Body:
    """Connected places above the height that the sweep has come down to."""

    top: int
    is_open: bool
    places: list[int]
    passages: list[int] = field(default_factory=list)
    told: float = 0.0  # volume in pockets already closed within [m3]
    first: Pocket | None = None  # as it was when another pocket first joined


def pockets(
    ends: IntArray,
    heights: FloatArray,
    volume: FloatArray,
    near: Sequence[Sequence[tuple[int, int]]],
    openings: Collection[int],
) -> list[Pocket]:
    """Every pocket in which air stays when all is full of liquid, the highest first.

    A sweep from the top down joins places into bodies. Where two meet, the lower body's air has found a way up: it is
    closed there. Where a body meets an opening, so is it. The volume of a pocket lies above the sill at which it meets
    a higher one or an opening; of one that meets neither, above the first sill at which a lower pocket takes air.

    Parameters
    ----------
    ends : ndarray of int, shape (m, 2)
    heights : ndarray, shape (n,)
        [m]; turned over (with a minus) for liquid in low points.
    volume : ndarray, shape (m,)
        [m3].
    near : sequence, n
        Passages at each place, each with the place at its other end.
    openings : collection of int
        Places from which air gets out.

    References
    ----------
    The join tree of a height field with the elder rule, as in computational topology (Edelsbrunner and Harer,
    Computational Topology, 2010, from memory). Checked against closed forms in tests/network/test_pockets.py.
    """
    return _Sweep(ends, heights, volume, near, frozenset(openings)).run()


class _Sweep:
    """From the top down."""

    def __init__(
        self,
        ends: IntArray,
        heights: FloatArray,
        volume: FloatArray,
        near: Sequence[Sequence[tuple[int, int]]],
        openings: frozenset[int],
    ) -> None:
        self.heights, self.near, self.openings = heights.tolist(), near, openings
        self.low, self.high = np.sort(heights[ends], axis=1).T.tolist() if len(ends) else ([], [])
        self.volume = volume.tolist()
        self.body: list[_Body | None] = [None] * len(self.heights)
        self.found: list[Pocket] = []

    def run(self) -> list[Pocket]:
        heights = self.heights
        for place in sorted(range(len(heights)), key=heights.__getitem__, reverse=True):
            self._add(place)
        left = {id(body): body for body in self.body if body is not None and not body.is_open}
        for body in left.values():
            lowest = min(heights[place] for place in body.places)
            self._keep(replace(body.first or self._pocket(body, lowest, None, None), has_way_out=False))
        return sorted(self.found, key=lambda pocket: -heights[pocket.top])

    def _add(self, place: int) -> None:
        height = self.heights[place]
        bodies = {id(body): body for _, other in self.near[place] if (body := self.body[other]) is not None}
        if not bodies:
            body = _Body(place, False, [])
        else:
            body = max(bodies.values(), key=lambda each: (each.is_open, self.heights[each.top]))
            for other in bodies.values():
                if other is not body:
                    self._join(body, other, height, place)
        if place in self.openings and not body.is_open:
            self._close(body, height, place, None)
            body.is_open = True
        body.places.append(place)
        body.passages += [passage for passage, other in self.near[place] if self.body[other] is None]
        self.body[place] = body

    def _join(self, elder: _Body, other: _Body, height: float, place: int) -> None:
        if not elder.is_open and elder.first is None and self._counts(other, height):
            elder.first = self._pocket(elder, height, place, None)
        if not other.is_open:
            self._close(other, height, place, None if elder.is_open else elder.top)
        elder.told += other.told
        elder.places += other.places
        elder.passages += other.passages
        for each in other.places:
            self.body[each] = elder

    def _close(self, body: _Body, sill: float, place: int, into: int | None) -> None:
        pocket = self._pocket(body, sill, place, into)
        if self._keep(pocket):
            body.told += pocket.volume

    def _counts(self, body: _Body, sill: float) -> bool:
        return body.is_open or self.heights[body.top] - sill >= LEAST_RISE

    def _keep(self, pocket: Pocket) -> bool:
        real = pocket.volume >= LEAST_VOLUME and self.heights[pocket.top] - pocket.sill >= LEAST_RISE
        if real:
            self.found.append(pocket)
        return real

    def _pocket(self, body: _Body, sill: float, place: int | None, into: int | None) -> Pocket:
        whole = sum(self._above(passage, sill) for passage in body.passages)
        return Pocket(body.top, sill, place, into, tuple(body.places), whole - body.told)

    def _above(self, passage: int, level: float) -> float:
        low, high = self.low[passage], self.high[passage]
        if high <= low:
            return float(self.volume[passage]) if high > level else 0.0
        return float(self.volume[passage] * min(max((high - level) / (high - low), 0.0), 1.0))
