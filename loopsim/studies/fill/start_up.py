"""Whether the pumps get liquid round after a fill: the lift of the front, and the lock of several humps."""

from collections.abc import Collection, Iterator
from itertools import islice, pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.elements import Pump as PumpElement
from loopsim.network import LEVEL, HeightGraph, Tilt, height_graph
from loopsim.parts import Pump
from loopsim.studies.fill.circuit_coolant import weight_at
from loopsim.studies.fill.flooding import suction_way, vessel_ports
from loopsim.studies.fill.places import millimetres
from loopsim.studies.fill.results import GravityFill, StartUp

if TYPE_CHECKING:
    import networkx as nx

__all__ = ["GAS_DERATING", "easiest_starts", "lock_head", "shut_off_head", "start_ups"]

FloatArray = NDArray[np.float64]
Verdict = Literal["starts", "may start", "does not start"]

GAS_DERATING = 0.7  # of its head, a small pump that swallows some gas still gives; an estimate, 0.4 to 0.9 are likely
MOST_WAYS = 64  # through branchings; more are not looked at
_CLIMB = 1e-6  # of two ways with the same lock, the one that climbs less
_FLAT = 1e-9  # a rise of less is none [m]
_AIR_WORTH_A_HUMP = 1e-3  # height of air in a falling leg [m]


def lock_head(heights: FloatArray, dry: FloatArray) -> tuple[float, int]:
    """Head that opposes a pump on a way whose rising legs hold liquid while its falling legs hold air.

    A falling leg full of liquid gives back what the rise before it cost; one that holds air does not. So the columns
    that oppose add up to the height of all air in legs that fall.

    Parameters
    ----------
    heights : ndarray, shape (k,)
        Of the places along the way, as the pump pushes [m].
    dry : ndarray, shape (k - 1,)
        Share of each stretch that holds air, 0 to 1.

    Returns
    -------
    head : float
        [m].
    humps : int
        Falling legs that hold air.

    References
    ----------
    Air lock by hydrostatics, as in handbooks of gravity water supply. Checked by hand calculation in
    tests/studies/fill/test_start_up.py.
    """
    fall = np.maximum(heights[:-1] - heights[1:], 0.0) * dry
    humps, in_leg = 0, 0.0
    for air, rises in zip(fall.tolist(), (heights[1:] > heights[:-1]).tolist(), strict=True):
        if rises:
            in_leg = 0.0
            continue
        humps += in_leg <= _AIR_WORTH_A_HUMP < in_leg + air
        in_leg += air
    return float(fall.sum()), humps


def start_ups(
    build: Build, fill: GravityFill, layout_name: str | None = None, tilt: Tilt = LEVEL
) -> tuple[StartUp, ...]:
    """Every way from a pump round to a vessel, the easiest of each pump first.

    All pumps run; those in series on a way push together. A branch beside an easier way may keep its air even where
    its own verdict is that it starts: the flow takes the easier way.

    Parameters
    ----------
    build : Build
    fill : GravityFill
        Of the same layout, held the same way.
    layout_name : str, optional
    tilt : Tilt
    """
    layout = build.layout(layout_name)
    graph = height_graph(build, layout)
    heights = graph.heights(tilt)
    found = []
    for pump in _first_pumps(build, layout, graph):
        ways = [
            _start_up(build, layout, graph, heights, fill, way)
            for way in _ways(build, layout, graph, heights, fill, pump)
        ]
        found += sorted(ways, key=lambda each: (each.lock, each.lift))
    return tuple(found)


def easiest_starts(
    build: Build, fill: GravityFill, layout_name: str | None = None, pumps: Collection[str] = ()
) -> tuple[StartUp, ...]:
    """Of each set of pumps that push together, the easiest way round; of these pumps only, if any are named."""
    found: dict[tuple[str, ...], StartUp] = {}
    for each in start_ups(build, fill, layout_name):
        if not pumps or set(each.pumps) <= set(pumps):
            found.setdefault(each.pumps, each)
    return tuple(found.values())


def _first_pumps(build: Build, layout: Layout, graph: HeightGraph) -> list[str]:
    """Pumps with no other pump between them and the vessel."""
    pumps = [part_id for part_id in layout.placements if isinstance(build.part(part_id), Pump)]
    ports = vessel_ports(build, layout, graph)
    found = []
    for pump in pumps:
        way = suction_way(graph, pump, ports)
        if way and not any(graph.item_at(place) in pumps for place in way[:-1]):
            found.append(pump)
    return found


def _ways(
    build: Build, layout: Layout, graph: HeightGraph, heights: FloatArray, fill: GravityFill, pump: str
) -> Iterator[list[int]]:
    """Places from a pump's outlet to the first port of a vessel: of each order of parts the easiest way."""
    import networkx as nx  # on first use, it loads slowly

    vessels = {part_id for part_id in layout.placements if build.part(part_id).surface_mm is not None}
    ports = set(vessel_ports(build, layout, graph))
    outlet = graph.number[f"{pump}.outlet"]
    weight = weight_at(build, layout, graph, outlet)
    crossings = _crossings(graph, _opposing(graph, heights, fill, weight), {pump, *vessels})
    between: nx.DiGraph[int] = nx.DiGraph(list(crossings))
    back = set(suction_way(graph, pump, list(ports)))
    ends = [port for port in sorted(ports) if port in between and port not in back]
    if outlet not in between or not ends:
        return
    told: set[tuple[str, ...]] = set()
    for way in islice(nx.all_simple_paths(between, outlet, ends), MOST_WAYS):
        legs = [crossings[pair] for pair in pairwise(way)]
        items = tuple(graph.items[_passage(graph, *leg[:2])] for leg in legs)
        if len(set(items)) == len(items) and items not in told:  # through each part once
            told.add(items)
            yield [way[0], *(place for leg in legs for place in leg[1:])]


def _opposing(graph: HeightGraph, heights: FloatArray, fill: GravityFill, weight: float) -> "nx.DiGraph[int]":
    """Every passage both ways, a check valve forward only, with the head that it costs who pushes that way [m]."""
    import networkx as nx

    opposing: nx.DiGraph[int] = nx.DiGraph()
    for passage, (start, end) in enumerate(graph.ends.tolist()):
        dry = 1.0 - float(fill.share_wet[passage])
        spring = graph.cracking.get(passage, 0.0) / weight
        for a, b in ((start, end),) if spring else ((start, end), (end, start)):
            fall = float(heights[a] - heights[b])
            cost = max(fall, 0.0) * dry + _CLIMB * max(-fall, 0.0) + spring
            if not opposing.has_edge(a, b) or opposing[a][b]["cost"] > cost:
                opposing.add_edge(a, b, cost=cost, item=graph.items[passage])
    return opposing


def _crossings(graph: HeightGraph, opposing: "nx.DiGraph[int]", without: set[str]) -> dict[tuple[int, int], list[int]]:
    """The easiest way through each part and run, from port to port."""
    import networkx as nx

    found = {}
    for item, passages in graph.passages_of.items():
        if item in without:
            continue
        places = {int(end) for passage in passages for end in graph.ends[passage]}
        ports = [place for place in places if "." in graph.names[place]]
        inner = nx.DiGraph((a, b, data) for a, b, data in opposing.edges(places, data=True) if data["item"] == item)
        for port in ports:
            ways = nx.single_source_dijkstra_path(inner, port, weight="cost") if port in inner else {}
            found.update({(port, other): ways[other] for other in ports if other != port and other in ways})
    return found


def _start_up(
    build: Build, layout: Layout, graph: HeightGraph, heights: FloatArray, fill: GravityFill, way: list[int]
) -> StartUp:
    passages = [_passage(graph, start, end) for start, end in pairwise(way)]
    lock, humps = lock_head(heights[way], 1.0 - fill.share_wet[passages])
    cracking = sum(graph.cracking.get(passage, 0.0) for passage in passages)
    springs = cracking / weight_at(build, layout, graph, way[0])
    lock += springs
    crests = _crests(graph, heights, way, fill.level)
    lift = max((crest for _, crest in crests), default=0.0)
    items = tuple(dict.fromkeys(graph.items[passage] for passage in passages))
    first = graph.item_at(way[0])
    pumps = (first, *(item for item in items if isinstance(build.parts_by_id.get(item), Pump)))
    shut_off = sum(shut_off_head(build, layout, pump) for pump in pumps)
    derated = GAS_DERATING * shut_off
    verdict: Verdict = "starts" if lock < derated else "may start" if lift + springs < shut_off else "does not start"
    names = " and ".join(build.part(pump).name for pump in pumps)
    held = f", {millimetres(springs)} of it by check valves" if springs > 0 else ""
    sentence = (
        f"{names}: the front rises {millimetres(lift)} above the level, {humps} leg{'s' * (humps != 1)} of air oppose "
        f"with up to {millimetres(lock)}{held} against {millimetres(derated)} (shut-off head less an estimate for "
        f"gas): {verdict}"
    )
    return StartUp(pumps, items, lift, crests, lock, humps, shut_off, derated, verdict, sentence)


def _crests(graph: HeightGraph, heights: FloatArray, way: list[int], level: float) -> tuple[tuple[str, float], ...]:
    """Places at which a way stops to rise above the level, and by how much they lie above it [m]."""
    along = heights[way]
    rises = np.append(np.diff(along) > _FLAT, False)
    came_up = np.append(True, np.diff(along) > _FLAT)
    tops = [number for number in range(len(way)) if not rises[number] and came_up[number] and along[number] > level]
    return tuple((graph.names[way[number]], float(along[number] - level)) for number in tops)


def _passage(graph: HeightGraph, start: int, end: int) -> int:
    return next(passage for passage, other in graph.passages_at[start] if other == end)


def shut_off_head(build: Build, layout: Layout, pump: str) -> float:
    """Head without flow at the speed at which it is set [m]."""
    part = build.part(pump)
    (path,) = part.paths_as_set(layout.placement(pump).setting())
    assert isinstance(path.element, PumpElement)
    return float(path.element.curve(0.0)[0])
