"""Where in the tubes beside a place a port may sit, and whether one gets at the air of a pocket."""

from collections.abc import Iterator
from contextlib import suppress

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.build.service_ports import service_spot
from loopsim.errors import SketchError
from loopsim.geometry import Spot
from loopsim.geometry.reshape import Point
from loopsim.network import HeightGraph, Pocket, volume_above
from loopsim.parts import BleedPort, part_of
from loopsim.studies.fill.places import where
from loopsim.studies.fill.results import Where
from loopsim.units import from_si, to_si

__all__ = ["MILLILITRE", "beside", "ends_of_height", "tube_reaches"]

FloatArray = NDArray[np.float64]

MILLILITRE = 1e-6  # what a port lets out and is less than this is nothing [m3]


def tube_reaches(build: Build, layout: Layout, graph: HeightGraph, heights: FloatArray, pocket: Pocket) -> bool:
    """True if a bleed port in a tube at a pocket of air would let some of it out: quick, for every redraw of the map.

    It tells whether `loopsim.studies.fill.bleed_proposal` finds a port that helps, without trying one.

    Parameters
    ----------
    build, layout
    graph : HeightGraph
        Of the layout.
    heights : ndarray, shape (n,)
        Of its places, as the machine is held [m].
    pocket : Pocket
    """
    inside = set(pocket.above_sill(heights))
    rising = {graph.items[passage] for place in inside for passage, _ in graph.passages_at[place]}
    if not rising & layout.runs_by_id.keys():
        return False  # all of it sits inside a part
    near = (each for each in beside(build, layout, where(graph, build, layout, pocket.top)) if each[0] in rising)
    spots = [spot for run_id, at in near for spot in _spots(build, layout, run_id, at)]
    highest = max((to_si(height, "mm") for _, _, height in spots), default=pocket.sill)
    mine = np.isin(graph.ends, list(pocket.places)).any(axis=1)
    above = volume_above(graph.ends[mine], heights, graph.liquid[mine], max(highest, pocket.sill))
    return pocket.volume - float(above.sum()) >= MILLILITRE


def _spots(build: Build, layout: Layout, run_id: str, at: Point) -> Iterator[Spot]:
    with suppress(SketchError):  # no room here
        yield service_spot(build, layout, BleedPort, run_id, at)


def beside(build: Build, layout: Layout, at: Where, lowest: bool = False) -> Iterator[tuple[str, Point]]:
    """Runs, each with places in plan [mm], from which a port gets at a place."""
    place = from_si(at.x, "mm"), from_si(at.y, "mm")
    if at.item in layout.runs_by_id:
        yield at.item, place
        return
    near = [run for run in layout.runs if at.item in run.part_ids]
    for run in near:
        for end in (run.start, run.end):
            if part_of(end) == at.item:
                yield run.id, build.port_spot(layout, end)[:2]
    yield from (each for each in ends_of_height(build, layout, lowest) if each[0] in {run.id for run in near})


def ends_of_height(build: Build, layout: Layout, lowest: bool) -> list[tuple[str, Point]]:
    """The highest or lowest corner or port of every run."""
    found = []
    for run in layout.runs:
        spots = build.run_path(layout, run).spots
        spot = min(spots, key=lambda each: each.height_mm if lowest else -each.height_mm)
        found.append((run.id, (spot.x_mm, spot.y_mm)))
    return found
