"""In which order a flow reaches the passages of a loop."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from loopsim.network import HeightGraph

__all__ = ["Course", "blind_ends", "flow_order", "strongest_way"]

Course = tuple[int, int, int, float]  # passage, place where its flow comes from, place where it goes, flow [m3/s]


def flow_order(moving: Sequence[Course], sources: Collection[int]) -> list[Course]:
    """Passages along the flow from its sources, each after all that feed it.

    A ring that no source interrupts is cut where it is first met; what no source feeds is left out.
    """
    waiting: dict[int, list[Course]] = {}
    for course in moving:
        waiting.setdefault(course[1], []).append(course)
    feeding = Counter(end for _, _, end, _ in moving)
    ready = [place for place in waiting if place in sources]
    order: list[Course] = []
    while ready := ready or _first_of_ring(order, waiting):
        for course in waiting.pop(ready.pop(), []):
            order.append(course)
            end = course[2]
            feeding[end] -= 1
            if feeding[end] == 0 and end in waiting:
                ready.append(end)
    return order


def _first_of_ring(order: Sequence[Course], waiting: Collection[int]) -> list[int]:
    """A place that the flow has reached and that waits for what only it can feed; empty if there is none."""
    return next(([end] for _, _, end, _ in order if end in waiting), [])


def blind_ends(graph: HeightGraph, order: Sequence[Course], barred: Collection[int]) -> dict[int, list[int]]:
    """Passages without flow, by the place on the flow from which each fills, the nearest first.

    Parameters
    ----------
    graph : HeightGraph
    order : sequence of Course
    barred : collection of int
        Places beyond which nothing is looked for.
    """
    seen = {passage for passage, *_ in order}
    moving = {place for _, start, end, _ in order for place in (start, end)}.difference(barred)
    visited = moving.union(barred)
    front = [(place, place) for place in sorted(moving)]
    found: dict[int, list[int]] = {}
    for place, root in front:  # grows on the way
        for passage, other in graph.passages_at[place]:
            if passage not in seen:
                seen.add(passage)
                found.setdefault(root, []).append(passage)
            if other not in visited:
                visited.add(other)
                front.append((other, root))
    return found


def strongest_way(order: Sequence[Course], sources: Collection[int]) -> list[Course]:
    """From the source that gives most along the strongest flow until it comes back to a source."""
    leaving: dict[int, list[Course]] = {}
    for course in order:
        leaving.setdefault(course[1], []).append(course)
    return _followed(leaving, sources)


def _followed(leaving: Mapping[int, Sequence[Course]], sources: Collection[int]) -> list[Course]:
    starts = [course for place in sources for course in leaving.get(place, ())]
    way = [max(starts, key=lambda each: each[3])] if starts else []
    met: set[int] = set()
    while way and (place := way[-1][2]) not in sources and place in leaving and place not in met:
        met.add(place)
        way.append(max(leaving[place], key=lambda each: each[3]))
    return way
