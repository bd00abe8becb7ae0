"""Heights along the loop: one walk from any part on, stretched out on a line."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from loopsim.build import Build, Layout, Placement
from loopsim.geometry import Path, Spot
from loopsim.parts import Part, TubeRun, part_of
from loopsim.studies.fit.direction import drawn_directions

__all__ = ["Elevation", "Level", "Stage", "elevation"]

_SHORTEST_MM = 20.0  # a part is given at least this much of the way


@dataclass(frozen=True, slots=True)
class Stage:
    """A part or a run on the way.

    Attributes
    ----------
    id, name : str
    is_part : bool
    along_mm : tuple of float
        Ways from the beginning of the walk, rising.
    heights_mm : tuple of float
        Of the centre line there, above the floor.
    low_mm, high_mm : float
        What the part takes up; of a run its outside, lowest and highest.
    corners : tuple of int or None
        Number of the run's corner at each of the points, None at ports and in parts: the heights that can be changed.
    backwards : bool
        True for a run that the walk follows from its end to its start.
    """

    id: str
    name: str
    is_part: bool
    along_mm: tuple[float, ...]
    heights_mm: tuple[float, ...]
    low_mm: float
    high_mm: float
    corners: tuple[int | None, ...]
    backwards: bool = False


@dataclass(frozen=True, slots=True)
class Level:
    """A free surface on the way, as drawn."""

    part: str
    height_mm: float


@dataclass(frozen=True, slots=True)
class Elevation:
    """A walk round the loop.

    Attributes
    ----------
    stages : tuple of Stage
        In the order of the walk; empty where nothing is placed.
    closes : bool
        True if the walk comes back to a part that it has passed; that part stands at its end once more.
    levels : tuple of Level
    lid_mm : float
        Height under the lid; the floor is at 0.
    """

    stages: tuple[Stage, ...]
    closes: bool
    levels: tuple[Level, ...]
    lid_mm: float

    @property
    def length_mm(self) -> float:
        """Of the whole walk."""
        return self.stages[-1].along_mm[-1] if self.stages else 0.0


def elevation(
    build: Build, layout: Layout, start: str | None = None, flows: Mapping[str, float] | None = None
) -> Elevation:
    """The walk from a part on, until it closes or ends.

    Parameters
    ----------
    build, layout : Build, Layout
    start : str, optional
        Id of the part to begin with; the first with a free surface if not given, else the first.
    flows : mapping of str to float, optional
        Solved flows of the runs, positive from start to end. Where several runs lead on, the one with the largest flow
        is taken. Without them the runs are followed as the pumps drive them, and else as they were drawn.

    Raises
    ------
    SketchError
        If the layout does not place the part.
    """
    walk = _Walk(build, layout, flows if flows is not None else drawn_directions(build, layout))
    stages, at = [], 0.0
    for stage in walk.stages(_first(build, layout, start)):
        stages.append(_further(stage, at))
        at = stages[-1].along_mm[-1]
    passed = dict.fromkeys(stage.id for stage in stages if stage.is_part)
    levels = [
        Level(part_id, layout.placement(part_id).height_mm + surface)
        for part_id in passed
        if (surface := build.part(part_id).surface_mm) is not None
    ]
    return Elevation(tuple(stages), walk.has_closed, tuple(levels), build.enclosure.clear_height_mm)


class _Walk:
    """One walk; every part is passed once."""

    def __init__(self, build: Build, layout: Layout, flows: Mapping[str, float]) -> None:
        self.build, self.layout, self.flows = build, layout, flows
        self.leading: dict[str, list[tuple[TubeRun, str, int]]] = {}  # by port: its other end, the way
        for run in layout.runs:
            self.leading.setdefault(run.start, []).append((run, run.end, 1))
            self.leading.setdefault(run.end, []).append((run, run.start, -1))
        self.seen: set[str] = set()
        self.has_closed = False

    def stages(self, part: Part | None) -> Iterator[Stage]:
        """The stages, each measured from its own beginning."""
        entered = ""
        while part is not None:
            self.seen.add(part.id)
            run, left = self._way_on(part, entered)
            yield self._through(part, entered, left)
            if run is None:
                return
            backwards = run.start != left
            yield self._along(run, backwards)
            entered = run.start if backwards else run.end
            part, _ = self.build.port(entered)
            if part.id in self.seen:
                self.has_closed = True
                yield self._through(part, entered, "")
                return

    def _way_on(self, part: Part, entered: str) -> tuple[TubeRun | None, str]:
        """The run that carries most away from a part, by a port of the same body of liquid, and that port."""
        ways = []
        for here in self._open_from(part, entered):
            for run, there, sign in self.leading.get(here, ()):
                is_new = part_of(there) not in self.seen
                ways.append(((self.flows.get(run.id, 0.0) * sign, is_new, sign), run, here))
        best = max(ways, key=lambda way: way[0], default=None)
        if best is None or best[0] <= (0.0, False, -1):
            return None, ""  # nothing leads on, or only back along what flows or was drawn in here
        return best[1], best[2]

    def _open_from(self, part: Part, entered: str) -> list[str]:
        """Other ports that liquid can reach which enters by one; all where the walk begins here."""
        name = entered.partition(".")[2]
        groups = [group for group in part.chambers if not name or name in group]
        return [f"{part.id}.{port}" for group in groups for port in group if port != name]

    def _through(self, part: Part, entered: str, left: str) -> Stage:
        placement, ports = self.layout.placement(part.id), (entered.partition(".")[2], left.partition(".")[2])
        stage: Stage = placement.keep(f"stage {ports}", lambda part: _stage_in(placement, part, *ports), part)
        return stage

    def _along(self, run: TubeRun, backwards: bool) -> Stage:
        path, outer_mm = self.build.run_path(self.layout, run), self.build.tube(run.tube).outer_mm
        of = path, outer_mm, self.build.run_name(run), backwards
        stage: Stage = run.keep("stage", lambda *of: _stage_along(run, *of), *of)
        return stage


def _stage_in(placement: Placement, part: Part, entered: str, left: str) -> Stage:
    """From port to port on the way inside the part; half a part where the walk begins or ends in it."""
    low, high, spots = placement.height_mm, placement.top_mm(part), placement.port_spots(part)
    ports = [spots[port] for port in (entered, left) if port]
    if len(ports) == 2:
        way = [ports[0], *_inside(placement, part, entered, left), ports[1]]
        along, heights = _ways(way), [spot.height_mm for spot in way]
    else:
        along = [0.0, part.length_mm / 2]
        heights = [ports[0].height_mm if ports else (low + high) / 2] * 2
    if along[-1] < _SHORTEST_MM:
        along = [_SHORTEST_MM * number / (len(along) - 1) for number in range(len(along))]
    return Stage(part.id, part.name, True, tuple(along), tuple(heights), low, high, (None,) * len(along))


def _inside(placement: Placement, part: Part, entered: str, left: str) -> list[Spot]:
    """Places inside a part on the shortest way from one port to another."""
    place = placement.place_of(part)
    joined: dict[str, list[str]] = {}
    for path in part.inside.paths:
        joined.setdefault(path.start, []).append(path.end)
        joined.setdefault(path.end, []).append(path.start)
    ways, reached = [[entered]], {entered}
    for way in ways:  # grows while it is gone through: the shortest ways first
        if way[-1] == left:
            return [place.spot(part.inside.places[name]) for name in way[1:-1]]
        for name in joined.get(way[-1], ()):
            if name not in reached:
                reached.add(name)
                ways.append([*way, name])
    return []


def _stage_along(run: TubeRun, path: Path, outer_mm: float, name: str, backwards: bool) -> Stage:
    """From corner to corner of a run."""
    spots = [*path.spots]
    corners: list[int | None] = [None, *range(len(run.corners)), None]
    if backwards:
        spots.reverse()
        corners.reverse()
    heights = tuple(spot.height_mm for spot in spots)
    low, high = min(heights) - outer_mm / 2, max(heights) + outer_mm / 2
    return Stage(run.id, name, False, tuple(_ways(spots)), heights, low, high, tuple(corners), backwards)


def _first(build: Build, layout: Layout, start: str | None) -> Part | None:
    if start is not None:
        return build.part(layout.placement(start).part)
    parts = [build.part(part_id) for part_id in layout.placements]
    wet = [part for part in parts if part.ports]
    return next((part for part in wet if part.surface_mm is not None), wet[0] if wet else None)


def _ways(spots: list[Spot]) -> list[float]:
    """Ways from the first of some places to each of them, straight from one to the next [mm]."""
    along = [0.0]
    for a, b in pairwise(spots):
        along.append(along[-1] + math.dist(a, b))
    return along


def _further(stage: Stage, by_mm: float) -> Stage:
    along = tuple(by_mm + each for each in stage.along_mm)
    return Stage(
        stage.id, stage.name, stage.is_part, along, stage.heights_mm, stage.low_mm, stage.high_mm, stage.corners,
        stage.backwards,
    )  # fmt: skip
