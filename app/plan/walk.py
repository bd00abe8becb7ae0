"""One walk round the loop, from the reservoir along the flow: the heights that a drop of coolant passes."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from loopsim.build import Build, Layout
from loopsim.geometry import Spot
from loopsim.parts import Part, TubeRun

__all__ = ["Stage", "walk"]

_SHORTEST_MM = 20.0  # a part is given at least this much of the way


@dataclass(frozen=True)
class Stage:
    """A part or a run on the way.

    Attributes
    ----------
    id, name : str
        A run has no name.
    is_part : bool
    along : tuple of float
        Ways from the beginning of the walk [mm].
    heights : tuple of float
        Of the centre line there, above the floor [mm].
    """

    id: str
    name: str
    is_part: bool
    along: tuple[float, ...]
    heights: tuple[float, ...]


def walk(build: Build, layout: Layout, flows: Mapping[str, float]) -> tuple[Stage, ...]:
    """Stages from the reservoir (or the first part) on, until the walk closes or ends.

    Parameters
    ----------
    build, layout : Build, Layout
    flows : mapping of str to float
        Solved flows of the runs, positive from start to end; empty if nothing is solved, and the runs are followed as
        they were drawn. Where several runs lead on, the one with the largest flow is taken.
    """
    stages: list[Stage] = []
    at = 0.0
    for stage in _steps(build, layout, flows):
        along = tuple(at + each for each in stage.along)
        stages.append(Stage(stage.id, stage.name, stage.is_part, along, stage.heights))
        at = along[-1]
    return tuple(stages)


def _steps(build: Build, layout: Layout, flows: Mapping[str, float]) -> Iterator[Stage]:
    """The stages, each measured from its own beginning."""
    first = _first(build, layout)
    part, entered, seen = first, "", set()
    while part is not None:
        seen.add(part.id)
        run, left = _way_on(layout, part, entered, flows, seen)
        yield _through(build, layout, part, entered, left)
        if run is None:
            return
        backwards = run.start != left
        yield _along(build, layout, run, backwards)
        entered = run.start if backwards else run.end
        part, _ = build.port(entered)
        if part.id in seen:
            yield _through(build, layout, part, entered, "")
            return


def _first(build: Build, layout: Layout) -> Part | None:
    parts = [build.part(part_id) for part_id in layout.placements]
    return next((part for part in parts if part.surface_mm is not None), parts[0] if parts else None)


def _way_on(
    layout: Layout, part: Part, entered: str, flows: Mapping[str, float], seen: set[str]
) -> tuple[TubeRun | None, str]:
    """The run that carries most away from a part, and the port it leaves by."""
    ways = []
    for run in layout.runs:
        for here, there, sign in ((run.start, run.end, 1), (run.end, run.start, -1)):
            if here.partition(".")[0] == part.id and here != entered:
                is_new = there.partition(".")[0] not in seen
                ways.append(((flows.get(run.id, 0.0) * sign, sign, is_new), run, here))
    best = max(ways, key=lambda way: way[0], default=None)
    if best is None or best[0][0] < 0 or (best[0][1] < 0 and not best[0][2]):
        return None, ""  # nothing leads on, or only back along what flows in here
    return best[1:]


def _through(build: Build, layout: Layout, part: Part, entered: str, left: str) -> Stage:
    """Straight from port to port; half a part where the walk begins or ends in it."""
    ports = [_spot(build, layout, reference) for reference in (entered, left) if reference]
    if len(ports) == 2:
        length = max(_SHORTEST_MM, math.dist(ports[0][:2], ports[1][:2]))
    else:
        length = max(_SHORTEST_MM, part.length_mm / 2)
    own = layout.placement(part.id).height_mm + part.height_mm / 2
    heights = [port.height_mm for port in ports] or [own]
    return Stage(part.id, part.name, True, (0.0, length), (heights[0], heights[-1]))


def _along(build: Build, layout: Layout, run: TubeRun, backwards: bool) -> Stage:
    path = build.run_path(layout, run)
    spots = path.spots[::-1] if backwards else path.spots
    along = [0.0]
    for a, b in pairwise(spots):
        along.append(along[-1] + math.dist(a, b))
    return Stage(run.id, "", False, tuple(along), tuple(spot.height_mm for spot in spots))


def _spot(build: Build, layout: Layout, reference: str) -> Spot:
    return build.port_spot(layout, reference)
