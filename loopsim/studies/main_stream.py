"""The way of a circuit's main stream: from what fixes its pressure along the flow and back to it."""

from collections import defaultdict
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple, TypeVar

from loopsim.parts import part_of
from loopsim.studies.results import OperatingPoint
from loopsim.studies.words import NO_FLOW

__all__ = ["CircuitWays", "Way", "circuit_ways"]

Node = TypeVar("Node")
Place = tuple[str, str]  # part, and the first of those of its ports that are joined inside
_SAME_HEAD = 1e-7  # heads nearer than this are the same [m]


class Way(NamedTuple):
    """A tube run as the liquid passes it, from port to port; `flow` is above 0 [m3/s]."""

    run: str
    upstream: str
    downstream: str
    flow: float


@dataclass(frozen=True)
class CircuitWays:
    """The ways through one connected body of liquid.

    Attributes
    ----------
    point : OperatingPoint
    place_of : dict
        Place behind each port of the circuit that a run joins; ports that are joined inside a part share one.
    runs : tuple of str
        Ids, in the order of the layout.
    total_head : dict
        At each such port [m].
    """

    point: OperatingPoint
    place_of: dict[str, Place]
    runs: tuple[str, ...]
    total_head: dict[str, float]

    @cached_property
    def ways(self) -> dict[Place, list[Way]]:
        """Ways that lead on from each place, the largest flow first."""
        flows = {part.id: part.flow for part in self.point.parts}
        found: dict[Place, list[Way]] = defaultdict(list)
        for run_id in self.runs:
            run, flow = self.point.layout.run(run_id), flows[run_id]
            if abs(flow) > NO_FLOW:
                ends = (run.start, run.end) if flow > 0 else (run.end, run.start)
                found[self.place_of[ends[0]]].append(Way(run_id, *ends, abs(flow)))
        return {place: sorted(ways, key=lambda way: -way.flow) for place, ways in found.items()}

    @cached_property
    def holders(self) -> list[str]:
        """Ids of the parts that fix the circuit's pressure: vented vessels, else a gas cushion, else none."""
        parts = [
            self.point.build.part(part_id) for part_id in dict.fromkeys(part for part, _ in self.place_of.values())
        ]
        vented = [part.id for part in parts if part.is_vented]
        return vented or [part.id for part in parts if part.cushion is not None][:1]

    def stream(self, through: str | None = None) -> list[Way]:
        """The main stream, or the largest through a part or tube run; empty where nothing flows.

        At every branching the larger flow is followed that still leads back. A part that is still, or lies elsewhere,
        changes nothing. What lies only in a ring aside from the main stream, as a stopped pump through which liquid
        runs back, gives that ring.
        """
        origin = self._origin()
        if origin is None:
            return []
        aside = self._stream_through(origin, through) if through is not None else None
        return aside or self._path(origin, origin) or []

    def _origin(self) -> Place | None:
        """The first place that lets liquid out, on the way from what fixes the pressure."""
        anchors = [place for place in self.place_of.values() if place[0] in self.holders] or self._datum()
        seen = list(dict.fromkeys(anchors or self.place_of.values()))
        for place in seen:  # grows while it is walked
            if self.ways.get(place):
                return place
            seen += [next_ for next_ in self._neighbours[place] if next_ not in seen]
        return next(iter(self.ways), None)

    def _datum(self) -> list[Place]:
        """Places at which the solver set the pressure to zero, if they are ports."""
        return [self.place_of[name] for name in self.point.datum if name in self.place_of]

    @cached_property
    def _neighbours(self) -> dict[Place, list[Place]]:
        found: dict[Place, list[Place]] = defaultdict(list)
        for run_id in self.runs:
            run = self.point.layout.run(run_id)
            start, end = self.place_of[run.start], self.place_of[run.end]
            found[start].append(end)
            found[end].append(start)
        return found

    def _stream_through(self, origin: Place, item: str) -> list[Way] | None:
        """A ring through an item and the origin; else one through the item alone; None where it has no flow."""
        rings = [(way, self._ring(origin, way)) for way in self._ways_of(item)]
        return next((ring for _, ring in rings if ring), None) or next(
            ([way, *back] for way, _ in rings if (back := self._path(self._end(way), self._start(way)))), None
        )

    def _ways_of(self, item: str) -> list[Way]:
        """Ways that are a run, or that lead away from a part, the largest flow first."""
        ways = [way for leading in self.ways.values() for way in leading]
        own = [way for way in ways if item in (way.run, part_of(way.upstream))]
        return sorted(own, key=lambda way: -way.flow)

    def _ring(self, origin: Place, way: Way) -> list[Way] | None:
        """From the origin to a way, along it, and back by other places; None where that cannot be."""
        start, end = self._start(way), self._end(way)
        there = [] if start == origin else self._path(origin, start, barred={end} - {origin})
        if there is None:
            return None
        passed = {self._start(each) for each in there} | {start}
        back = [] if end == origin else self._path(end, origin, barred=passed - {origin})
        return None if back is None else [*there, way, *back]

    def _path(self, start: Place, end: Place, barred: Collection[Place] = ()) -> list[Way] | None:
        """Ways from place to place, never twice through one, by the larger flow wherever that leads there."""
        seen, path = {start, *barred}, list[Way]()
        choices: list[Iterator[Way]] = [iter(self._onward(start, None))]
        while choices:
            way = next(choices[-1], None)
            if way is None:
                choices.pop()
                del path[-1:]
                continue
            place = self._end(way)
            if place == end:
                return [*path, way]
            if place not in seen:
                seen.add(place)
                path.append(way)
                choices.append(iter(self._onward(place, way)))
        return None

    def _onward(self, place: Place, entered: Way | None) -> list[Way]:
        """Ways that lead on, the larger flow first; last what lies higher than where the liquid came in.

        Where several streams pass one part, its inside may not lead from every inlet to every outlet; what lies
        higher was fed from elsewhere.
        """
        ways = self.ways.get(place, [])
        if entered is None or place[0] in self._running:
            return ways
        level = self.total_head[entered.downstream] + _SAME_HEAD
        return sorted(ways, key=lambda way: self.total_head[way.upstream] > level)

    @cached_property
    def _running(self) -> frozenset[str]:
        return frozenset(pump.id for pump in self.point.pumps if pump.state == "running")

    def _start(self, way: Way) -> Place:
        return self.place_of[way.upstream]

    def _end(self, way: Way) -> Place:
        return self.place_of[way.downstream]


def circuit_ways(point: OperatingPoint, total_head: dict[str, float]) -> list[CircuitWays]:
    """Every connected body of liquid, in the order in which the layout's runs begin.

    Parameters
    ----------
    point : OperatingPoint
    total_head : dict
        At each port that a run joins [m].
    """
    places = _places(point)
    bodies = _joined([(places[run.start], places[run.end]) for run in point.layout.runs])
    runs: dict[Place, list[str]] = defaultdict(list)
    for run in point.layout.runs:
        runs[bodies[places[run.start]]].append(run.id)
    found = []
    for body, run_ids in runs.items():
        ports = {port: place for port, place in places.items() if port in total_head and bodies[place] == body}
        found.append(CircuitWays(point, ports, tuple(run_ids), total_head))
    return found


def _places(point: OperatingPoint) -> dict[str, Place]:
    """The place behind every port of every placed part."""
    found = {}
    for part_id, placement in point.layout.placements.items():
        part = point.build.part(part_id)
        inner = part.paths_as_set(placement.setting(stopped=part_id in point.stopped))
        links = [(path.start, path.end) for path in inner] + [(main, twin) for twin, main in part.twins.items()]
        if part.merges_ports:
            links += [(next(iter(part.ports)), port) for port in part.ports]
        bodies = _joined(links)
        for port in part.ports:
            found[f"{part_id}.{port}"] = (part_id, bodies.get(port, port))
    return found


def _joined(links: list[tuple[Node, Node]]) -> dict[Node, Node]:
    """For every end of a link one that stands for all to which it is joined."""
    parent: dict[Node, Node] = {}

    def root(node: Node) -> Node:
        while parent.setdefault(node, node) != node:
            node = parent[node]
        return node

    for start, end in links:
        parent[root(end)] = root(start)
    return {node: root(node) for node in list(parent)}
