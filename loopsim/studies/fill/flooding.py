"""Which pumps gravity floods."""

import heapq
from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.network import HeightGraph
from loopsim.parts import Pump
from loopsim.studies.fill.places import millimetres, where
from loopsim.studies.fill.results import PumpFlooding, Where

__all__ = ["hump_between", "pump_floodings", "suction_way", "vessel_ports"]

FloatArray = NDArray[np.float64]

HUMP = 1e-3  # a rise and fall of less than 1 mm holds no air that matters [m]


def pump_floodings(
    build: Build,
    layout: Layout,
    graph: HeightGraph,
    heights: FloatArray,
    levels: FloatArray,
    sealed: FloatArray,
    level: float,
) -> tuple[PumpFlooding, ...]:
    """Every pump of a layout, at a level of the liquid.

    Parameters
    ----------
    build, layout, graph
    heights, levels, sealed : ndarray, shape (n,)
        Height of each place, level at which it wets, and level at which its air is shut in; inf where never [m].
    level : float
        [m].
    """
    found = []
    for part_id in layout.placements:
        pump = build.part(part_id)
        if isinstance(pump, Pump):
            found.append(_flooding(build, layout, graph, heights, levels, sealed, level, pump))
    return tuple(found)


def _flooding(
    build: Build,
    layout: Layout,
    graph: HeightGraph,
    heights: FloatArray,
    levels: FloatArray,
    sealed: FloatArray,
    level: float,
    pump: Pump,
) -> PumpFlooding:
    body = sorted({int(end) for passage in graph.passages_of[pump.id] for end in graph.ends[passage]})
    through = [graph.number[f"{pump.id}.inlet"], graph.number[f"{pump.id}/middle"], graph.number[f"{pump.id}.outlet"]]
    wets = not np.isfinite(sealed[through]).any()
    needed = max(float(heights[body].max()), float(levels[through].max())) if wets else np.inf
    hump_at, hump = _suction_hump(build, layout, graph, heights, pump.id)
    is_flooded = needed <= level and hump_at is None
    above = level - float(heights[through[0]])
    sentence = _sentence(pump.name, needed, level, hump_at, hump)
    return PumpFlooding(pump.id, pump.name, needed, is_flooded, hump_at, hump, above, sentence)


def _suction_hump(
    build: Build, layout: Layout, graph: HeightGraph, heights: FloatArray, pump: str
) -> tuple[Where | None, float]:
    way = suction_way(graph, pump, vessel_ports(build, layout, graph))
    if not way:
        return None, 0.0
    at, rise = hump_between(heights[way])
    return (where(graph, build, layout, way[at]), rise) if rise > HUMP else (None, 0.0)


def vessel_ports(build: Build, layout: Layout, graph: HeightGraph) -> list[int]:
    """Ports of all vessels with a surface open to the air."""
    with_surface = [part_id for part_id in layout.placements if build.part(part_id).surface_mm is not None]
    return [graph.number[f"{part_id}.{port}"] for part_id in with_surface for port in build.part(part_id).ports]


def suction_way(graph: HeightGraph, pump: str, vessels: list[int]) -> list[int]:
    """Places from the nearest vessel's port to a pump's inlet, not through the pump; empty if none leads there.

    Dijkstra's search; a graph of a general library would take longer to fill than to search.
    """
    own, inlet = set(graph.passages_of[pump]), graph.number[f"{pump}.inlet"]
    length = graph.length.tolist()
    queue = [(0.0, port, -1) for port in vessels]
    came_from: dict[int, int] = {}
    while queue:
        gone, place, before = heapq.heappop(queue)
        if place in came_from:
            continue
        came_from[place] = before
        if place == inlet:
            return _back_from(inlet, came_from)
        for passage, other in graph.passages_at[place]:
            if passage not in own and other not in came_from:
                heapq.heappush(queue, (gone + length[passage], other, place))
    return []


def _back_from(place: int, came_from: Mapping[int, int]) -> list[int]:
    """The way to a place, from where it begins."""
    way = [place]
    while (place := came_from[place]) >= 0:
        way.append(place)
    return way[::-1]


def hump_between(heights: FloatArray) -> tuple[int, float]:
    """Place on a way that rises and falls again by most, and by how much [m]; 0 where nothing does."""
    before = heights - np.minimum.accumulate(heights)
    after = heights - np.minimum.accumulate(heights[::-1])[::-1]
    rise = np.minimum(before, after)
    at = int(rise.argmax())
    return at, float(rise[at])


def _sentence(name: str, needed: float, level: float, hump_at: Where | None, hump: float) -> str:
    return f"{name}: " + "; ".join(_remarks(needed, level, hump_at, hump))


def _remarks(needed: float, level: float, hump_at: Where | None, hump: float) -> Iterator[str]:
    if not np.isfinite(needed):
        yield "gravity does not flood it from here: air is shut in, or no way leads there; never run it dry"
    elif needed > level:
        yield f"not flooded below a level of {millimetres(needed)}; never run it dry"
    elif hump_at is None:
        yield f"flooded from a level of {millimetres(needed)}"
    if hump_at is not None:
        yield (
            f"its suction line rises and falls by {millimetres(hump)} at {hump_at.name}: air stays there, and the pump "
            "draws it in; lead it without a hump"
        )
