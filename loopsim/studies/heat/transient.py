"""How long does it stay cool: the course in time after switching on, or after pumps and fans have stopped."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build
from loopsim.errors import SketchError
from loopsim.network import ROOM
from loopsim.parts import AirComponent, Block
from loopsim.solve import AirWatch, Coupled, Course, Lumps, Rates, Streams, Watch, solve_transient
from loopsim.studies.heat.boiling import boiling_points_c
from loopsim.studies.heat.lumps import lumps_of
from loopsim.studies.heat.point import heat_sources, solved_heat
from loopsim.studies.heat.results import NEVER, HeatPoint
from loopsim.studies.heat.sources import HeatSources
from loopsim.studies.heat.transient_results import Boiling, ComponentCourse, Transient
from loopsim.units import ZERO_C

__all__ = ["transient"]

FloatArray = NDArray[np.float64]

_TOLD = 241  # times at which the course is told, closer at the start
_MINUTE = 60.0  # [s]
_NO_LIMIT = 1e6  # stands for a limit that is not known [K]
_EVEN = 1e-15  # flow that makes the mean of several ways even where all stand [m3/s]


def transient(
    build: Build,
    layout_name: str | None = None,
    case_name: str | None = None,
    stopped: Collection[str] = (),
    minutes: float = 60.0,
    from_cold: bool = False,
    healthy: HeatPoint | None = None,
    until_limit: bool = False,
) -> Transient:
    """Follow all temperatures of a layout in time.

    Parameters
    ----------
    build : Build
    layout_name, case_name : str, optional
        The first layout and the first load case if not given.
    stopped : collection of str
        Ids of pumps and fans that lose their power at the start.
    minutes : float
        How long to follow it, above 0; it ends sooner where coolant boils.
    from_cold : bool
        Start with everything at the room's temperature, as after switching on, instead of at rest with all parts
        running.
    healthy : HeatPoint, optional
        At rest before something failed: the same layout in the build as it was then. The course begins with its
        temperatures; if not given, with those of this build at rest with all parts running.
    until_limit : bool
        End the course where the first limit is reached.

    Raises
    ------
    SketchError
        If there is no such layout, load case, pump or fan, or nothing is placed in the layout; if the time is not
        above 0; if there is no rest to start from.
    NotSolved
        Never for a reason of the sketch; a defect of ours.
    """
    if not 0 < minutes < np.inf:
        raise SketchError(f"time: must be above 0 minutes, got {minutes:g}; say how long to follow the course")
    layout, case = build.layout(layout_name), build.load_case(case_name)
    sources = heat_sources(build, layout, case, stopped)
    lumps, thermal = lumps_of(sources), sources.thermal
    start = np.zeros(lumps.count) if from_cold else _start(sources, lumps, healthy)
    places = tuple(_places(sources, lumps))
    course = solve_transient(
        Streams(thermal, sources.at),
        lumps,
        start,
        _MINUTE * minutes * np.linspace(0.0, 1.0, _TOLD) ** 2,
        [place.watch for place in places],
        lambda liquid: boiling_points_c(thermal.loop, liquid) - thermal.room_c,
        until_limit=until_limit,
    )
    return _told(sources, course, places, frozenset(stopped), from_cold)


@dataclass(frozen=True, slots=True)
class _Place:
    """A component whose temperature is told, and where it stands.

    `number` is that of its block among the blocks, or of its space among the nodes of the heat network.
    """

    part: str
    name: str
    heat: float
    limit: float | None
    cooled_by: Literal["coolant", "air"]
    number: int
    watch: Watch | AirWatch


def _places(sources: HeatSources, lumps: Lumps) -> Iterator[_Place]:
    """Every component, in the order of the layout; without those that stand in the air of the room."""
    thermal = sources.thermal
    blocks = [part for part in sources.parts if isinstance(part, Block)]
    for number, (block, rows) in enumerate(zip(blocks, lumps.components, strict=True)):
        for row, load in enumerate(block.loads, rows.start):
            name = block.name if len(block.loads) == 1 else f"{block.name}, {load.name}"
            watch = Watch(row, load.limit_c - thermal.room_c)
            yield _Place(block.id, name, sources.heat_of(block, load), load.limit_c, "coolant", number, watch)
    for part in sources.parts:
        if isinstance(part, AirComponent) and thermal.space_of(part.id) != ROOM:
            node, limit = thermal.space_node(thermal.space_of(part.id)), part.air_limit_c
            above = _NO_LIMIT if limit is None else limit - thermal.room_c
            air = AirWatch(node, part.stagnation_factor, above)
            yield _Place(part.id, part.name, sources.loads[part.id], limit, "air", node, air)


def _start(sources: HeatSources, lumps: Lumps, healthy: HeatPoint | None) -> FloatArray:
    """Every lump as it was before something failed [K above the room as it is now]."""
    thermal = sources.thermal
    if healthy is None:
        loop = thermal.loop
        return _at_rest(lumps, solved_heat(loop.build, loop.layout, sources.case)[1])
    before = lumps_of(HeatSources(healthy.coupled.thermal, healthy.case))
    return lumps.carried_over(before, _at_rest(before, healthy.coupled)) + healthy.room - thermal.room_c


def _at_rest(lumps: Lumps, coupled: Coupled) -> FloatArray:
    """Every lump where flow, heat and air are at rest with each other [K above the room]; SketchError if they never."""
    thermal = coupled.thermal
    at_rest = Rates(lumps, coupled.transport).rest(np.zeros(lumps.count))
    leaves = thermal.room_c + coupled.temperatures.outlet[: thermal.liquid_count]
    boils = (leaves >= boiling_points_c(thermal.loop, coupled.liquid)).any()
    if boils or float(at_rest.max(initial=0.0)) + thermal.room_c > NEVER:
        raise SketchError(
            f"layout {thermal.loop.layout.name!r} has no rest to start from: with all parts running its coolant boils "
            "or its heat has no way out; follow it from cold"
        )
    return at_rest


def _told(
    sources: HeatSources, course: Course, places: tuple[_Place, ...], stopped: frozenset[str], from_cold: bool
) -> Transient:
    """The answer read from a course."""
    thermal = sources.thermal
    loop, room = thermal.loop, thermal.room_c
    nodes = dict(zip(thermal.heat.nodes, room + course.nodes.T, strict=True))
    return Transient(
        build=loop.build,
        layout=loop.layout,
        case=sources.case,
        stopped=stopped,
        from_cold=from_cold,
        room=room,
        time=course.time,
        components=tuple(sorted(_components(course, places, room), key=_urgency)),
        streams=_streams(sources, course),
        vessels={name: nodes[name] for name in loop.layout.placements if name in nodes},
        spaces={name: room + course.nodes[:, thermal.space_node(name)] for name in thermal.air.spaces if name != ROOM},
        boils=_boiling(sources, course),
        settled=course.settled,
        course=course,
    )


def _components(course: Course, places: tuple[_Place, ...], room: float) -> Iterator[ComponentCourse]:
    for number, place in enumerate(places):
        temperature = room + place.watch.limit + course.watched[:, number]
        shortest, longest = _bounds(course, place, -float(course.watched[0, number]), room)
        yield ComponentCourse(
            part=place.part,
            name=place.name,
            heat=place.heat,
            limit=place.limit,
            cooled_by=place.cooled_by,
            temperature=temperature,
            crosses=course.crossed[number],
            shortest=shortest,
            longest=longest,
        )


def _urgency(component: ComponentCourse) -> tuple[float, float]:
    """Those that reach their limit first, then by the margin at the end; without a limit last."""
    margin = np.inf if component.limit is None else component.limit - float(component.temperature[-1])
    return np.inf if component.crosses is None else component.crosses, margin


def _bounds(course: Course, place: _Place, margin: float, room: float) -> tuple[float | None, float | None]:
    """Time to the limit if only the nearest took up heat, and if the whole loop did and gave off none [s]."""
    if place.limit is None:
        return None, None
    margin = max(margin, 0.0)
    if isinstance(place.watch, AirWatch):
        return _in_air_alone(course, place.watch, margin, room), None
    rates = course.first
    own = _on_block_alone(course, place.number, place.watch.row, margin)
    liquid = len(rates.lumps.cells)
    heat = float(rates.transport.heating.streams[:liquid].sum())
    return own, _quotient(float(rates.capacity[rates.lumps.in_loop].sum()) * margin, heat)


def _on_block_alone(course: Course, number: int, row: int, margin: float) -> float | None:
    """Own capacity and that of the block's metal; from cold, the metal lags behind by what heat needs to pass."""
    lumps = course.first.lumps
    block, metal = lumps.metals[number], lumps.first_metal + number
    own = block.components[row - lumps.components[number].start]
    heat = sum(each.heat for each in block.components)
    lag = block.cooling.base * heat + own.joint * own.heat - float(course.lumps[0, row] - course.lumps[0, metal])
    return _quotient(own.capacity * margin + block.capacity * max(margin - max(lag, 0.0), 0.0), heat)


def _in_air_alone(course: Course, air: AirWatch, margin: float, room: float) -> float | None:
    """Air of the space against the heat that enters there; it thins out as it warms."""
    rates = course.first
    heat, start = float(rates.transport.heating.nodes[air.node]), ZERO_C + room + course.nodes[0, air.node]
    kept = start * np.log1p(margin / air.factor / start)
    return _quotient(float(rates.capacity[rates.lumps.row_of(air.node)] * kept), heat)


def _quotient(energy: float, heat: float) -> float | None:
    return energy / heat if heat > 0 else None


def _streams(sources: HeatSources, course: Course) -> dict[str, FloatArray]:
    """Temperature at which liquid leaves each part and run; of several ways, the mean of what passes through them."""
    thermal = sources.thermal
    streams = {}
    for item, names in thermal.loop.elements_of.items():
        rows = [thermal.number[name] for name in names]
        if rows:
            weight = np.abs(course.flow[:, rows]) + _EVEN
            leaves = (course.outlet[:, rows] * weight).sum(axis=1) / weight.sum(axis=1)
            streams[item] = thermal.room_c + leaves
    return streams


def _boiling(sources: HeatSources, course: Course) -> Boiling | None:
    if course.boiled is None:
        return None
    thermal, (time, row) = sources.thermal, course.boiled
    loop, element = thermal.loop, thermal.heat.streams[row]
    item = next(item for item, names in loop.elements_of.items() if element in names)
    runs = loop.layout.runs_by_id
    name = loop.build.run_name(runs[item]) if item in runs else loop.build.part(item).name
    return Boiling(time, item, name, thermal.room_c + float(course.outlet[-1, row]))
