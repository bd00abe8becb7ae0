"""What stands in the way of a clean fill, each with its remedy."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.network import HeightGraph
from loopsim.parts import BleedPort, DrainPort, FillPort
from loopsim.studies.fill.bleeding import bleed_remedy
from loopsim.studies.fill.first_pour import FirstPour
from loopsim.studies.fill.places import millilitres, millimetres, where
from loopsim.studies.fill.plan_results import FillCode, FillWarning
from loopsim.studies.fill.pumping import Pumping
from loopsim.studies.fill.results import AirMap, GravityFill, HighPoint, PumpFlooding, StartUp, TrappedPocket
from loopsim.studies.fill.suction_cover import suction_covers
from loopsim.studies.results import OperatingPoint
from loopsim.studies.sentence import figure, marked, quantity
from loopsim.studies.words import listed

__all__ = ["fill_warnings"]

WORTH_A_WARNING = 2e-6  # less air in one place is not spoken of [m3]
MOST_NAMES = 3  # of what stays dry
MANY_ROUNDS = 4.0  # times that the vessel would have to be emptied into the loop


def fill_warnings(
    point: OperatingPoint, found: AirMap, pour: FirstPour, pumping: Pumping, starts: Sequence[StartUp]
) -> tuple[FillWarning, ...]:
    """All warnings of a fill, what stops it first.

    Parameters
    ----------
    point : OperatingPoint
        With all pumps running.
    found : AirMap
        At that point.
    pour : FirstPour
    pumping : Pumping
    starts : sequence of StartUp
        Of each set of pumps the easiest way round.
    """
    build, layout, graph = point.build, point.layout, pumping.filling.graph
    lacking = float(np.maximum(pumping.filling.target - _first_liquid(pour, pumping), 0.0).sum())
    return (
        *_open_ends(build, layout, graph),
        *_vessel(pumping, lacking),
        *_pumps(pour, pumping),
        *_starts(build, layout, graph, starts),
        *_held_back(pour),
        *_reach(pour, graph),
        *_high_points(found, pumping, point),
        *_covers(build, layout, graph, point),
        *_ports(build, layout, graph, point, pumping.drawn_level),
    )


def _first_liquid(pour: FirstPour, pumping: Pumping) -> NDArray[np.float64]:
    return np.asarray(np.max([stage.liquid(pumping.filling) for stage in pour.stages], axis=0))


def _open_ends(build: Build, layout: Layout, graph: HeightGraph) -> Iterator[FillWarning]:
    for place in graph.opened("open"):
        at = where(graph, build, layout, place)
        text = f"{at.name}: nothing joins its port {at.place.partition('.')[2]}, and liquid runs out there"
        yield FillWarning("open end", text, "join a tube or plug it before you pour", at)


def _vessel(pumping: Pumping, lacking: float) -> Iterator[FillWarning]:
    filling = pumping.filling
    if not filling.vessels:
        yield FillWarning(
            "no vessel",
            "no vessel with a surface: air has nowhere to gather, and nothing shows what is missing",
            "add a reservoir at the highest place, or fill and bleed through a port at the highest place",
        )
    elif lacking > MANY_ROUNDS * pumping.usable:
        name = pumping.build.part(filling.vessels[0].id).name
        yield FillWarning(
            "slim vessel",
            f"{name}: it gives {millilitres(pumping.usable)} at a time, and {millilitres(lacking)} are missing after "
            "the first pour: it is emptied again and again, within seconds each time",
            "pour while the pump runs, with a second person at the switch, or take a vessel with a larger surface; a "
            "loop with several humps filled through a slim vessel takes an hour or more (common practice)",
            where(filling.graph, pumping.build, pumping.layout, filling.vessels[0].top),
        )


def _pumps(pour: FirstPour, pumping: Pumping) -> Iterator[FillWarning]:
    ready = pumping.priming.flooded()
    for pump in pour.as_drawn.pumps:
        if pump.pump not in pumping.priming.pumps:
            continue
        if pump.pump not in ready:
            remedy = _flooding_remedy(pump)
            yield FillWarning("pump not flooded", f"{pump.name} is not flooded and would run dry", remedy, None)
        if pump.hump_at is not None:
            yield FillWarning(
                "hump before a pump",
                f"{pump.name}: its suction line rises and falls by {millimetres(pump.hump)} at {pump.hump_at.name}; "
                "air stays there, and the pump draws it in",
                "lead the suction line level or falling towards the pump",
                pump.hump_at,
            )


def _flooding_remedy(pump: PumpFlooding) -> str:
    if pump.hump_at is not None:
        return "take the hump out of its suction line"
    if np.isfinite(pump.level):
        return (
            f"bring the level to {millimetres(pump.level)} above the floor: raise the vessel, lower or turn the pump, "
            "or fill through a port above it with a valve beside the vessel shut (common practice)"
        )
    return "open a port above it while you pour, or move it below the vessel's outlet"


def _starts(build: Build, layout: Layout, graph: HeightGraph, starts: Sequence[StartUp]) -> Iterator[FillWarning]:
    """For each set of pumps the easiest way; the verdict is that after the first pour into the same opening."""
    for each in starts:
        if each.verdict == "starts":
            continue
        at = max(each.crests, key=lambda crest: crest[1], default=None)
        place = None if at is None else where(graph, build, layout, graph.number[at[0]])
        yield FillWarning(
            "does not start" if each.verdict == "does not start" else "may not start",
            each.sentence,
            "put a bleed port on the highest hump and fill through it, lower the humps, or take a pump with more head",
            place,
        )


def _held_back(pour: FirstPour) -> Iterator[FillWarning]:
    for valve in pour.as_drawn.held:
        yield FillWarning(
            "held back",
            f"{valve.name}: it holds liquid and air back while you pour, for it opens forward only",
            "put a bleed port on each side of it, hold its disc off the seat, or let a flooded pump push through it "
            "(common practice)",
            valve,
        )


def _reach(pour: FirstPour, graph: HeightGraph) -> Iterator[FillWarning]:
    fill = pour.as_drawn
    if fill.spills_at is not None and fill.level >= fill.rim < fill.opening.height:
        yield FillWarning(
            "runs over",
            f"{fill.spills_at.name}: liquid poured in at {fill.opening.name} runs out there from "
            f"{millimetres(fill.rim)} above the floor",
            "close it before the level gets there, or stop below",
            fill.spills_at,
        )
    dry = [each for each in fill.unreached if each.volume > WORTH_A_WARNING]
    if dry:
        named = list(dict.fromkeys(each.at.name for each in dry))  # the largest first
        more = [f"{len(named) - MOST_NAMES} others"] if len(named) > MOST_NAMES + 1 else named[MOST_NAMES:]
        names = listed([*named[:MOST_NAMES], *more])
        highest = max(dry, key=lambda each: each.level)
        up_to = f"; the highest place needs {millimetres(highest.level)}" if np.isfinite(highest.level) else ""
        yield FillWarning(
            "not reached",
            f"{millilitres(sum(each.volume for each in dry))} stay dry when liquid is poured in, in {names}{up_to}",
            "let a flooded pump push the liquid there, or fill through a port above it",
            highest.at,
        )
    for pocket in fill.pockets:
        if pocket.volume > WORTH_A_WARNING:
            air = f"{pocket.at.name}: {millilitres(pocket.volume)} of air"
            text = f"{air} are shut in when {pocket.shut_in_by}"
            yield FillWarning("air shut in", text, _let_out(pocket, fill, graph), pocket.at)


def _let_out(pocket: TrappedPocket, fill: GravityFill, graph: HeightGraph) -> str:
    """A cap can only be opened where there is one."""
    heights = graph.heights()
    caps = [each for each in graph.opened("capped") if graph.names[each] != fill.opening.place]
    if any(float(heights[each]) > pocket.sealed_at for each in caps):
        return "open a cap above while you pour, or let the pumps carry it off"
    return "let the pumps carry it off once the first pour is in; what they leave is told by itself"


def _high_points(found: AirMap, pumping: Pumping, point: OperatingPoint) -> Iterator[FillWarning]:
    number = pumping.filling.graph.number
    for high in found.points:
        (passage, _), *_ = pumping.filling.graph.passages_at[number[high.at.place]]
        if high.gas < WORTH_A_WARNING or high.is_neck or not pumping.filling.circuit[passage]:
            continue
        if high.verdict != "clears":
            remedy = bleed_remedy(point, high)
            code: FillCode = "air stays" if high.verdict == "stays" else "air may stay"
            yield FillWarning(code, f"{high.at.name}: {_keeps(high)}", remedy, high.at)
        elif high.ends_in is None:
            yield FillWarning(
                "air wanders",
                f"{high.at.name}: the flow carries its air off, and no vessel takes it in",
                "lead the return through a vessel with a surface",
                high.at,
            )


def _keeps(high: HighPoint) -> str:
    keeps = "keeps" if high.verdict == "stays" else "may keep"
    what = f"{keeps} up to {millilitres(high.gas)} of air while the loop runs"
    if high.speed <= 0:
        return f"{what}: nothing flows there"
    spread = f"{figure(high.stays_below, 'm_s', 2)} to {quantity(high.clears_above, 'm_s', 2)}"
    return f"{what}: {quantity(high.speed, 'm_s', 2)} against {spread}"


def _covers(build: Build, layout: Layout, graph: HeightGraph, point: OperatingPoint) -> Iterator[FillWarning]:
    for cover in suction_covers(point):
        if cover.verdict != "enough":
            sentence, _, remedy = marked(cover.sentence).partition("; raise")
            at = where(graph, build, layout, graph.number[cover.port])
            remedy = f"raise{remedy}" if remedy else "raise the level"
            yield FillWarning("little cover", sentence, remedy, at)


def _ports(
    build: Build, layout: Layout, graph: HeightGraph, point: OperatingPoint, level: float
) -> Iterator[FillWarning]:
    """Bleed and fill ports that draw air in while the pumps run, and a loop without a drain."""
    if not any(isinstance(build.part(each), DrainPort) for each in layout.placements):
        yield FillWarning(
            "no drain",
            "there is no drain port: the loop can only be emptied by taking it apart",
            "put a drain port at the lowest place",
        )
    for part_id in layout.placements:
        part = build.part(part_id)
        if not isinstance(part, BleedPort | FillPort):
            continue
        read = [point.pressures[f"{part_id}.{port}"] for port in part.ports if f"{part_id}.{port}" in point.pressures]
        at = where(graph, build, layout, graph.number[f"{part_id}/opening"])
        (_, below), *_ = graph.passages_at[graph.number[at.place]]
        if float(graph.heights()[below]) > level:
            text = (
                f"{part.name}: above the vessel's level, opened on a full loop it lets air in even with the pumps off"
            )
            yield FillWarning("draws air", text, "open it only for the first pour, and cap it before anything runs", at)
        elif read and min(read) < 0:
            text = f"{part.name}: below ambient pressure while the pumps run, it draws air in when opened"
            yield FillWarning("draws air", text, "open it only with the pumps off", at)
