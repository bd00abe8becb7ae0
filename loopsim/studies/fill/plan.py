"""The fill plan: what to open, where to pour, which pump to run how long, step by step."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, BuildCoolant, Layout
from loopsim.network import HeightGraph, bottlenecks, height_graph
from loopsim.parts import FillPort, Pump
from loopsim.studies.fill.after_fill import level_fall
from loopsim.studies.fill.air_map import air_map
from loopsim.studies.fill.circuit_coolant import coolant_at
from loopsim.studies.fill.first_pour import first_pour
from loopsim.studies.fill.lasting_air import UNSURELY, air_left
from loopsim.studies.fill.mix import mix
from loopsim.studies.fill.places import opening_places, where
from loopsim.studies.fill.plan_results import FillPlan, LevelFall
from loopsim.studies.fill.plan_warnings import fill_warnings
from loopsim.studies.fill.pour_steps import pour_first
from loopsim.studies.fill.priming import Priming
from loopsim.studies.fill.pump_steps import bleed, pump_round, tilt_out
from loopsim.studies.fill.pumping import Pumping
from loopsim.studies.fill.results import AirMap, TiltPlan
from loopsim.studies.fill.simulate import Filling
from loopsim.studies.fill.start_up import easiest_starts
from loopsim.studies.fill.step_list import StepList
from loopsim.studies.operating import operating_point
from loopsim.studies.results import OperatingPoint
from loopsim.units import to_si

__all__ = ["fill_plan"]

FloatArray = NDArray[np.float64]

SIMPLE_BLEEDING = (900.0, 3600.0)  # a loop with one hump at most; common practice [s]
LONG_BLEEDING = (3600.0, 24 * 3600.0)  # several humps, or a slim vessel: an hour to a day; common practice [s]
SLIM = 0.15  # a vessel that gives less than this share of the loop at a time is slim


def fill_plan(
    build: Build,
    layout_name: str | None = None,
    opening: str | None = None,
    tilts: TiltPlan | None = None,
) -> FillPlan:
    """How to fill a layout step by step, with what happens meanwhile.

    No pump runs before it is flooded: liquid stands in its body and all along a suction line without a hump. No port
    is left open below the level. Pouring and pumping times are worked out; how long air takes to come out is not, see
    `FillPlan.bleeding`.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    opening : str, optional
        Where liquid is poured in, see `opening_places`; a fill port, else a vessel, if not given.
    tilts : TiltPlan, optional
        Tilts to let air out at the end; found by `tilt_plan`, which takes its time.

    Raises
    ------
    SketchError
        If there is no such layout or opening, or none at all.
    """
    loop = _dry_loop(build, layout_name, opening)
    steps = StepList(build, loop.layout, loop.filling, loop.source, loop.coolant)
    return _written(loop, steps, tilts)


@dataclass(frozen=True)
class _Loop:
    """What is to be filled."""

    build: Build
    layout: Layout
    graph: HeightGraph
    source: int  # the opening
    filling: Filling
    coolant: BuildCoolant
    point: OperatingPoint  # all pumps running
    found: AirMap  # at that point
    stays: FloatArray  # air in each passage that the flow surely leaves there [m3]
    may_stay: FloatArray  # air that it does not surely clear [m3]


def _dry_loop(build: Build, layout_name: str | None, opening: str | None) -> _Loop:
    layout = build.layout(layout_name)
    graph = height_graph(build, layout)
    heights = graph.heights()
    (source,) = opening_places(graph, layout, [opening or _usual_opening(build, graph)])
    circuit = np.isfinite(bottlenecks(graph.ends, heights, [source])[graph.ends[:, 0]])
    point = operating_point(build, layout.name)
    found = air_map(point)
    stays = circuit * air_left(point, found)
    may_stay = circuit * air_left(point, found, UNSURELY)
    coolant = coolant_at(build, layout, graph, source)
    filling = Filling(build, layout, graph, heights, circuit)
    return _Loop(build, layout, graph, source, filling, coolant, point, found, stays, may_stay)


def _written(loop: _Loop, steps: StepList, tilts: TiltPlan | None) -> FillPlan:
    """The steps in their order, and what they come to."""
    filling, layout, opening = loop.filling, loop.layout, loop.graph.names[loop.source]
    capacity = float(filling.target.sum())
    measured = mix(loop.coolant, capacity)
    priming = Priming(loop.graph, _pumps(loop.build, layout, filling), filling)
    pumping = Pumping(loop.build, layout, filling, priming, loop.may_stay)
    own = None if layout.bleed_minutes is None else to_si(layout.bleed_minutes, "minutes")
    practice = _bleeding_practice(loop.found, pumping, capacity)

    steps.add("make ready", steps.words.make_ready(measured))
    pour = first_pour(loop.build, layout, opening, filling, priming)
    pour_first(steps, pour)
    again = _top_up_at(steps, opening)
    is_complete = pump_round(steps, pumping, again)
    if is_complete and priming.pumps:
        bleed(steps, pumping, loop.stays, again, own, practice)
        tilt_out(steps, tilts, loop.stays, again)
    fall = level_fall(loop.point, loop.found, filling.air) if is_complete else None
    starts = easiest_starts(loop.build, pour.as_drawn, layout.name, priming.pumps) if priming.pumps else ()
    _end(steps, priming, capacity, fall, is_complete)
    return FillPlan(
        opening=where(loop.graph, loop.build, layout, loop.source),
        steps=tuple(steps.steps),
        snapshots=tuple(filling.snapshots),
        capacity=capacity,
        poured=filling.poured,
        air=np.maximum(filling.target - filling.liquid, 0.0),
        air_left=filling.air,
        air_left_at_most=max(float(loop.may_stay.sum()), filling.air),
        top_ups=steps.top_ups,
        pouring=steps.pouring,
        pumping=steps.pumping,
        bleeding=own,
        bleeding_practice=practice,
        least_level=pumping.least_level,
        is_complete=is_complete,
        mix=measured,
        level_fall=fall,
        pumps=tuple(each for each in pour.as_drawn.pumps if each.pump in priming.pumps),
        starts=starts,
        warnings=fill_warnings(loop.point, loop.found, pour, pumping, starts),
    )


def _end(steps: StepList, priming: Priming, capacity: float, fall: LevelFall | None, is_complete: bool) -> None:
    filling = steps.filling
    if is_complete:
        steps.add("check", steps.words.check(filling.poured, capacity, filling.air, fall))
        for vessel in filling.vessels:
            if steps.build.part(vessel.id).cushion is not None:
                steps.add("cap", steps.words.seal(vessel.id))
        return
    dry = [pump for pump in priming.pumps if pump not in priming.flooded()]
    steps.add("check", steps.words.stop_here(dry, filling.air))


def _usual_opening(build: Build, graph: HeightGraph) -> str:
    """The highest fill port, else the highest lid, else the highest cap."""
    ports = [place for place in graph.opened("capped") if isinstance(build.part(graph.item_at(place)), FillPort)]
    places = ports or graph.opened("vented") or graph.opened("capped") or graph.opened("open")
    return graph.names[max(places, key=lambda place: float(graph.spots[place, 2]))] if places else "an opening"


def _pumps(build: Build, layout: Layout, filling: Filling) -> list[str]:
    """Ids of the pumps in the circuit."""
    pumps = [each for each in layout.placements if isinstance(build.part(each), Pump)]
    return [each for each in pumps if filling.circuit[filling.graph.passages_of[each]].all()]


def _top_up_at(steps: StepList, source: str) -> str:
    """The same opening where the level stands in its neck; below it liquid would run out, above it air would get in."""
    filling = steps.filling
    if not filling.vessels or source in steps.lids:
        return source
    level = max(vessel.level_of(float(filling.target[vessel.column].sum())) for vessel in filling.vessels)
    place = filling.graph.number[source]
    (_, below), *_ = filling.graph.passages_at[place]
    is_in_neck = float(filling.heights[below]) < level < float(filling.heights[place])
    return source if is_in_neck else filling.graph.names[filling.vessels[0].top]


def _bleeding_practice(found: AirMap, pumping: Pumping, capacity: float) -> tuple[float, float]:
    humps = [point for point in found.points if point.verdict != "clears" and point.blind < point.gas / 2]
    return LONG_BLEEDING if len(humps) > 1 or pumping.usable < SLIM * capacity else SIMPLE_BLEEDING
