"""Which way to tilt the machine to let out air, and in which order."""

import math
from collections.abc import Callable, Iterable, Mapping
from itertools import product

from loopsim.build import Build, Layout
from loopsim.errors import SketchError
from loopsim.network import LEVEL, Tilt, height_graph
from loopsim.studies.fill.places import opening_places
from loopsim.studies.fill.results import TiltPlan, TiltStep
from loopsim.studies.fill.settling import Settling
from loopsim.units import to_si

__all__ = ["tilt_plan", "tilts_within"]

WORTH_A_TILT = 0.5e-6  # less air than this is not worth another step [m3]
_UPRIGHT_DEG = 90.0


def tilts_within(most: Tilt, step_deg: float = 5.0) -> list[Tilt]:
    """All tilts on a grid up to an angle each way, the smallest first: of equals the first is the easiest to hold."""
    angles = [_steps(angle, step_deg) for angle in most]
    return sorted((Tilt(*pair) for pair in product(*angles)), key=lambda tilt: (math.hypot(*tilt), tilt))


def _steps(most: float, step: float) -> list[float]:
    count = int(abs(most) / step + 1e-9)
    return sorted({number * step for number in range(-count, count + 1)} | {-abs(most), abs(most)})


def tilt_plan(
    build: Build,
    layout_name: str | None = None,
    most: Tilt = Tilt(20.0, 20.0),  # noqa: B008  immutable
    opened: Iterable[str] = (),
    step_deg: float = 5.0,
    most_steps: int = 4,
    progress: Callable[[float], None] | None = None,
) -> TiltPlan:
    """The tilts that let out most air one after the other, with nothing running.

    It begins with every high point full. Air in each passage rises along any way that leads up; what a high point
    cannot hold goes on to the next. Liquid is taken to fill every place that air leaves.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    most : Tilt
        How far the machine can be held to either side, and to front and back, 0 to less than 90 [°].
    opened : iterable of str
        Openings without their caps, see `opening_places`.
    step_deg : float
        Of the grid that is searched, above 0 [°].
    most_steps : int
    progress : callable, optional
        Told the share done, 0 to 1; what it raises ends the search.

    Raises
    ------
    SketchError
        If there is no such layout or opening, or the machine would be held upside down.
    """
    layout = build.layout(layout_name)
    for angle in most:
        if not 0 <= angle < _UPRIGHT_DEG:
            raise SketchError(f"the most to which the machine is tilted is {angle:g}°, must be 0 to less than 90°")
    graph = height_graph(build, layout).at_rest
    openings = [*graph.opened("vented"), *opening_places(graph, layout, opened)]
    tilts = tilts_within(most, step_deg)
    settled = {}
    for number, tilt in enumerate(tilts):
        settled[tilt] = Settling(graph, graph.heights(tilt), openings)
        if progress is not None:
            progress((number + 1) / len(tilts))
    air = settled[LEVEL].full()
    trapped, steps = sum(air.values()), []
    for _ in range(most_steps):
        step, left = _best(air, settled)
        if sum(air.values()) - sum(left.values()) < WORTH_A_TILT:
            break
        freed = sum(air.values()) - sum(left.values())
        steps.append(TiltStep(step, freed, sum(left.values()), _spills(build, layout, step)))
        air = left
    at = settled[LEVEL].after(air)
    return TiltPlan(trapped, tuple(steps), {graph.names[place]: volume for place, volume in at.items()})


def _best(air: Mapping[int, float], settled: Mapping[Tilt, Settling]) -> tuple[Tilt, dict[int, float]]:
    lefts = {tilt: each.after(air) for tilt, each in settled.items()}
    best = min(lefts, key=lambda tilt: round(sum(lefts[tilt].values()), 9))
    return best, lefts[best]


def _spills(build: Build, layout: Layout, tilt: Tilt) -> tuple[str, ...]:
    """Vessels of which the surface, turning about its middle, would reach the lid."""
    found = []
    for part_id in layout.placements:
        part = build.part(part_id)
        if part.surface_mm is None:
            continue
        corners = part.outline.corners(layout.placement(part_id).place_of(part))
        up = tilt.up
        x, y = (max(corner[axis] for corner in corners) - min(corner[axis] for corner in corners) for axis in (0, 1))
        reach = to_si(x, "mm") / 2 * abs(up[0] / up[2]) + to_si(y, "mm") / 2 * abs(up[1] / up[2])
        if reach > to_si(part.level_range_mm[1] - part.surface_mm, "mm"):
            found.append(part.name)
    return tuple(found)
