"""The search for a way along the plan's axes: corners on the lines on which shortest ways turn."""

import heapq
import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

__all__ = ["AXES", "BEND_MM", "SLACK", "Ends", "Point", "Search", "Way", "holding", "way_mm"]

Point = tuple[float, float]
Way = tuple[int, int]  # a step along one of the plan's axes
FloatArray = NDArray[np.float64]

AXES: tuple[Way, ...] = ((1, 0), (0, 1), (-1, 0), (0, -1))
SLACK = 1e-6
_ARRIVED: Way = (0, 0)  # the step that leads on from the end port
_SHORTEST_MM = 1.0  # between two corners
BEND_MM = 20.0  # of tube that one bend less is worth
_CUT = 1 - math.sqrt(0.5)  # of its radius: by so much a quarter bend stays away from its corner, along each axis


@dataclass(frozen=True)
class Ends:
    start: Point
    leaves: tuple[Way, ...]
    end: Point
    arrives_from: tuple[Way, ...]  # facings of the end port: the way arrives against one of them


class Search:
    """One search over the lines on which a way may turn."""

    def __init__(
        self,
        rects: FloatArray,
        at_end: FloatArray,
        lined: FloatArray,
        ends: Ends,
        radius: float,
        clear: float,
        room: Sequence[Point] | None,
    ) -> None:
        self.ends, self.radius, self.most = ends, radius, math.inf
        self.stub = max(radius, clear if radius else clear + SLACK)
        self.lines = (self._lines(0, lined, room, clear), self._lines(1, lined, room, clear))
        from_start = rects[~holding(rects, ends.start)]
        self.masks = {"between": rects, "start": from_start, "end": at_end[~holding(at_end, ends.end)]}
        self.masks["both"] = from_start[~holding(from_start, ends.end)]
        self.rows = {name: mask.tolist() for name, mask in self.masks.items()}
        self._spans: dict[tuple[str, int, float], tuple[list[float], list[float]]] = {}

    def corners(self, most: float = math.inf, patience: float = math.inf) -> list[Point] | None:
        """The best way's corners, None if there is no way that costs less than `most`.

        None too once as many corners as `patience` were looked on from without having arrived.
        """
        self.most = most
        for way in self.ends.leaves:
            if (-way[0], -way[1]) in self.ends.arrives_from and self._straight(way):
                return []
        best: dict[tuple[Point, Way], float] = {}
        queue: list[tuple[float, float, int, float, Point, Way, tuple[Point, ...]]] = []
        count = 0
        for cost, at, way, before in self._first():
            count = self._push(queue, best, count, cost, at, way, before)
        looked_on = 0
        while queue and looked_on < patience:
            looked_on += 1
            _, _, _, cost, at, way, before = heapq.heappop(queue)
            if way == _ARRIVED:
                return list(before)
            if cost > best[at, way] + SLACK:
                continue
            for more, to, on in self._next(at, way, first=not before):
                count = self._push(queue, best, count, cost + more + BEND_MM, to, on, (*before, at))
        return None

    def _push(
        self, queue: list[tuple[float, float, int, float, Point, Way, tuple[Point, ...]]],
        best: dict[tuple[Point, Way], float], count: int, cost: float, at: Point, way: Way, before: tuple[Point, ...],
    ) -> int:  # fmt: skip
        if cost < best.get((at, way), math.inf) - SLACK:
            best[at, way] = cost
            rest = self._rest(at, way)
            if cost + rest < self.most - SLACK:
                heapq.heappush(queue, (cost + rest, rest, count, cost, at, way, before))
        return count + 1

    def _first(self) -> Iterator[tuple[float, Point, Way, tuple[Point, ...]]]:
        """Stretches out of the start port."""
        for way in self.ends.leaves:
            for length, to in self._along(self.ends.start, way, self.stub, "start"):
                yield length, to, way, ()

    def _next(self, at: Point, came: Way, first: bool) -> Iterator[tuple[float, Point, Way]]:
        """Stretches across, from a corner to the next one or into the end port."""
        for way in ((-came[1], came[0]), (came[1], -came[0])):
            here = "start" if first else "between"
            if self._bend_is_clear(at, came, way, here):
                for length, to in self._along(at, way, max(2 * self.radius, _SHORTEST_MM), "between"):
                    yield length, to, way
            if self._arrives(at, way) and self._bend_is_clear(at, came, way, "both" if first else "end"):
                yield _manhattan(at, self.ends.end), self.ends.end, _ARRIVED

    def _arrives(self, at: Point, way: Way) -> bool:
        """True if the end port looks this way and lies straight ahead, far enough, and nothing is between."""
        if (-way[0], -way[1]) not in self.ends.arrives_from:
            return False
        dx, dy = self.ends.end[0] - at[0], self.ends.end[1] - at[1]
        ahead, aside = dx * way[0] + dy * way[1], abs(dx * way[1]) + abs(dy * way[0])
        return aside < SLACK and ahead >= self.stub - SLACK and self._free(at, way, "end") >= ahead - SLACK

    def _straight(self, way: Way) -> bool:
        """True if the way may lead straight from port to port."""
        start, end = self.ends.start, self.ends.end
        dx, dy = end[0] - start[0], end[1] - start[1]
        ahead, aside = dx * way[0] + dy * way[1], abs(dx * way[1]) + abs(dy * way[0])
        return aside < SLACK and ahead > 0 and self._free(start, way, "both") >= ahead - SLACK

    def _along(self, at: Point, way: Way, least: float, here: str) -> Iterator[tuple[float, Point]]:
        """Places straight ahead where the way may turn: at least so far, and nothing between."""
        axis = 0 if way[0] else 1
        step, lines = way[axis], self.lines[axis]
        free = self._free(at, way, here)
        low, high = sorted((at[axis] + step * (least - SLACK), at[axis] + step * (free + SLACK)))
        if free < least - SLACK:
            return
        for value in lines[bisect_left(lines, low) : bisect_right(lines, high)]:
            yield abs(value - at[axis]), (value, at[1]) if axis == 0 else (at[0], value)

    def _free(self, at: Point, way: Way, mask: str) -> float:
        """How far one can go from a point before an obstacle, 0 within one [mm]."""
        axis = 0 if way[0] else 1
        starts, ends = self._blocked(mask, axis, at[1 - axis])
        here = at[axis]
        if way[axis] > 0:
            number = bisect_right(ends, here + SLACK)
            return max(0.0, starts[number] - here) if number < len(starts) else math.inf
        number = bisect_left(starts, here - SLACK) - 1
        return max(0.0, here - ends[number]) if number >= 0 else math.inf

    def _blocked(self, mask: str, axis: int, line: float) -> tuple[list[float], list[float]]:
        """Where obstacles lie on a line along an axis: beginnings and ends, merged and in order."""
        found = self._spans.get((mask, axis, line))
        if found is None:
            rects, across = self.masks[mask], 1 - axis
            cut = rects[(rects[:, across] < line - SLACK) & (rects[:, across + 2] > line + SLACK)]
            found = self._spans[mask, axis, line] = _merged(cut[:, axis].tolist(), cut[:, axis + 2].tolist())
        return found

    def _bend_is_clear(self, at: Point, came: Way, way: Way, mask: str) -> bool:
        """True if no obstacle that the sharp corner passes is cut by the bend inside it."""
        radius, (x, y) = self.radius, at
        if not radius:
            return True
        middle = (x + radius * (way[0] - came[0]), y + radius * (way[1] - came[1]))
        low, high = (min(x, middle[0]), min(y, middle[1])), (max(x, middle[0]), max(y, middle[1]))
        for left, front, right, back in self.rows[mask]:  # plain numbers are faster here than arrays
            if left < high[0] - SLACK and right > low[0] + SLACK and front < high[1] - SLACK and back > low[1] + SLACK:
                dx = [abs(max(left, low[0]) - middle[0]), abs(min(right, high[0]) - middle[0])]
                dy = [abs(max(front, low[1]) - middle[1]), abs(min(back, high[1]) - middle[1])]
                if math.hypot(min(dx), min(dy)) < radius - SLACK and math.hypot(max(dx), max(dy)) > radius + SLACK:
                    return False
        return True

    def _rest(self, at: Point, came: Way) -> float:
        """The least that still has to be paid from a corner: the way along the axes, and its bends."""
        if came == _ARRIVED:
            return 0.0
        return min(self._rest_from(at, came, facing) for facing in self.ends.arrives_from)

    def _rest_from(self, at: Point, came: Way, facing: Way) -> float:
        """The same where the way comes in at one side: it first has to get in front of the port."""
        front = (self.ends.end[0] + facing[0] * self.stub, self.ends.end[1] + facing[1] * self.stub)
        dx, dy = front[0] - at[0], front[1] - at[1]
        bends = 3
        if facing[0] * came[0] + facing[1] * came[1]:
            bends = 2
        elif dx * facing[0] + dy * facing[1] < SLACK and abs(dx * facing[1]) + abs(dy * facing[0]) < SLACK:
            bends = 1
        return abs(dx) + abs(dy) + self.stub + BEND_MM * bends

    def least_mm(self) -> float:
        """What no way can be shorter than: out of one port, along the axes, into the other."""
        ends, stub = self.ends, self.stub
        fronts = [
            [(at[0] + way[0] * stub, at[1] + way[1] * stub) for way in ways]
            for at, ways in ((ends.start, ends.leaves), (ends.end, ends.arrives_from))
        ]
        return 2 * stub + min(_manhattan(a, b) for a in fronts[0] for b in fronts[1])

    def _lines(self, axis: int, lined: FloatArray, room: Sequence[Point] | None, clear: float) -> list[float]:
        """Where a way may turn along one axis: at ports, in front of them, along obstacles and a little off them."""
        off, back = _CUT * self.radius, 2 * self.radius
        values = [lined[:, axis], lined[:, axis + 2], lined[:, axis] - off, lined[:, axis + 2] + off]
        points = np.array([self.ends.start[axis], self.ends.end[axis]])
        values += [points, points.mean(keepdims=True)]
        values += [
            points + shift for shift in (self.stub, -self.stub, back, -back, self.stub + back, -self.stub - back)
        ]
        lines = np.unique(np.concatenate(values))
        if room is not None:
            sides = [corner[axis] for corner in room]
            lines = lines[(lines >= min(sides) + clear - SLACK) & (lines <= max(sides) - clear + SLACK)]
        made: list[float] = lines.tolist()
        return made


def way_mm(ends: Ends, corners: list[Point]) -> float:
    """Length of a way from port to port over its corners, taken as sharp."""
    points = [ends.start, *corners, ends.end]
    return sum(_manhattan(a, b) for a, b in pairwise(points))


def _manhattan(a: Point, b: Point) -> float:
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def holding(rects: FloatArray, point: Point) -> NDArray[np.bool_]:
    """Which rectangles (least x and y, largest x and y in a row) hold a point, their edges included."""
    x, y = point
    return np.asarray(
        (rects[:, 0] < x + SLACK) & (rects[:, 2] > x - SLACK) & (rects[:, 1] < y + SLACK) & (rects[:, 3] > y - SLACK)
    )


def _merged(starts: list[float], ends: list[float]) -> tuple[list[float], list[float]]:
    """Intervals in order, those that overlap made one."""
    low: list[float] = []
    high: list[float] = []
    for start, end in sorted(zip(starts, ends, strict=True)):
        if high and start < high[-1] - SLACK:
            high[-1] = max(high[-1], end)
        else:
            low.append(start)
            high.append(end)
    return low, high
