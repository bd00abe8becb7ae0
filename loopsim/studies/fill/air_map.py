"""The air map: every high point, what it keeps, and whether the running flow clears it."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from loopsim.network import LEVEL, HeightGraph, Pocket, Tilt, pockets, volume_above
from loopsim.parts import Pump, part_of
from loopsim.studies.fill.bleeding import bled_while, bleed_remedy
from loopsim.studies.fill.clearing import CLEARING_SOURCES, Clears, clears, eotvos, surface_tension
from loopsim.studies.fill.flows import passage_flows, running_graph
from loopsim.studies.fill.places import item_name, millilitres, millimetres, opening_places, where
from loopsim.studies.fill.port_spots import tube_reaches
from loopsim.studies.fill.results import AirMap, HighPoint
from loopsim.studies.fill.ways import Carried, Currents
from loopsim.studies.results import OperatingPoint
from loopsim.studies.sentence import figure, quantity

__all__ = ["air_map"]

FloatArray = NDArray[np.float64]

LEAST_BLIND = 1e-7  # less in a blind end is not worth a word [m3]


def air_map(point: OperatingPoint, tilt: Tilt = LEVEL, opened: Iterable[str] = ()) -> AirMap:
    """Where air sits in a layout that is full of liquid, and what the flow does about it.

    Every high point is judged at the hardest stretch of its best way out along the flow, by the spread of published
    criteria. Give the operating point with a pump stopped to see the map of that state.

    Parameters
    ----------
    point : OperatingPoint
    tilt : Tilt
        How the machine is held.
    opened : iterable of str
        Openings without their caps, see `opening_places`; the lids of vessels are open anyhow.

    Raises
    ------
    SketchError
        If there is no such opening.
    """
    return _Map(point, tilt, opened).result()


class _Map:
    def __init__(self, point: OperatingPoint, tilt: Tilt, opened: Iterable[str]) -> None:
        self.point, self.tilt = point, tilt
        self.graph = graph = running_graph(point)
        self.heights = heights = graph.heights(tilt)
        openings = [*graph.opened("vented"), *opening_places(graph, point.layout, opened)]
        self.pockets = pockets(graph.ends, heights, graph.liquid, graph.passages_at, openings)
        density, viscosity, self.tension = _liquids(graph, point)
        self.density = density
        flow = passage_flows(graph, point)
        self.currents = Currents(graph, heights, flow, density, viscosity, self.tension)
        self.ways = [self.currents.out_of(pocket) for pocket in self.pockets]
        self.verdicts = [self._verdict(pocket, way) for pocket, way in zip(self.pockets, self.ways, strict=True)]

    def result(self) -> AirMap:
        points = [self._point(number) for number in range(len(self.pockets))]
        return AirMap(tuple(points), self.tilt, self.point.stopped, float(self.graph.liquid.sum()), CLEARING_SOURCES)

    def _verdict(self, pocket: Pocket, way: Carried | None) -> Clears:
        if way is None:
            return "may clear" if self._is_whirled(pocket) else "stays"
        return clears(*self._speeds(way))

    def _is_whirled(self, pocket: Pocket) -> bool:
        """True at the top of a running pump's volute: the impeller draws small pockets in; common practice."""
        top = self.graph.names[pocket.top]
        return self._runs(self.graph.item_at(pocket.top)) and self._lies_in(pocket, top)

    def _lies_in(self, pocket: Pocket, name: str) -> bool:
        """True if all of a pocket lies in the part, or run, of a place."""
        items, near = self.graph.items, self.graph.passages_at
        held = {items[passage] for place in pocket.above_sill(self.heights) for passage, _ in near[place]}
        return held == {self.graph.item_at(self.graph.number[name])}

    def _runs(self, item: str) -> bool:
        return item not in self.point.stopped and isinstance(self.point.build.parts_by_id.get(item), Pump)

    def _speeds(self, way: Carried) -> tuple[float, float, float]:
        currents, at = self.currents, way.passage
        return (
            float(currents.speed[at]),
            float(currents.limits.stays_below[at]),
            float(currents.limits.clears_above[at]),
        )

    def _point(self, number: int) -> HighPoint:
        pocket, way, verdict = self.pockets[number], self.ways[number], self.verdicts[number]
        speed, slow, fast = (0.0, 0.0, 0.0) if way is None else self._speeds(way)
        hardest = way.passage if way is not None else self.graph.passages_at[pocket.top][0][0]
        ends_in, caught_at = (None, None) if way is None else self._destination(number, way)
        cap, left = self._under_cap(pocket)
        at = where(self.graph, self.point.build, self.point.layout, pocket.top)
        found = HighPoint(
            at=at,
            height=float(self.heights[pocket.top]),
            sill=pocket.sill,
            gas=pocket.volume,
            liquid=self._below_sill(pocket),
            blind=self._blind(pocket),
            verdict=verdict,
            speed=speed,
            stays_below=slow,
            clears_above=fast,
            bore=float(self.graph.bore[hardest]),
            slope_deg=float(np.degrees(np.arcsin(np.clip(self.currents.sine[hardest], -1, 1)))),
            eotvos=float(eotvos(self.graph.bore[hardest], self.density[hardest], self.tension[hardest])),
            ends_in=ends_in,
            caught_at=caught_at,
            cap=cap,
            left_under_cap=left,
            into=None if pocket.into is None else self.graph.names[pocket.into],
            bled_while=bled_while(self.point, at),
            is_neck=cap is not None and self._lies_in(pocket, cap),
            tube_reaches=tube_reaches(self.point.build, self.point.layout, self.graph, self.heights, pocket),
            sentence="",
        )
        return replace(found, sentence=_sentence(found, self.point))

    def _destination(self, number: int, way: Carried) -> tuple[str | None, str | None]:
        """Vessel in which air ends once it is out of a pocket, and the first pocket on its way that may keep it."""
        keeps = {
            place: other
            for other, pocket in enumerate(self.pockets)
            if other != number and self.verdicts[other] != "clears" and self.ways[other] is not None
            for place in pocket.places
        }
        vessel, caught = self.currents.follow(way.end, self._is_in_vessel, keeps)
        return (
            None if vessel is None else self.graph.item_at(vessel),
            None if caught is None else self.graph.names[self.pockets[caught].top],
        )

    def _is_in_vessel(self, place: int) -> bool:
        part = self.point.build.parts_by_id.get(self.graph.item_at(place))
        return part is not None and part.surface_mm is not None

    def _under_cap(self, pocket: Pocket) -> tuple[str | None, float]:
        """The highest capped opening in a pocket, and what lies higher and stays when it is opened."""
        graph = self.graph
        caps = [
            place for place in graph.opened("capped") if place in pocket.places and self.heights[place] > pocket.sill
        ]
        if not caps:
            return None, pocket.volume
        cap = max(caps, key=lambda place: self.heights[place])
        openings = [*graph.opened("vented"), cap]
        again = pockets(graph.ends, self.heights, graph.liquid, graph.passages_at, openings)
        others = {each.top for each in self.pockets if each is not pocket}
        left = sum(each.volume for each in again if each.top in pocket.places and each.top not in others)
        return graph.names[cap], min(left, pocket.volume)

    def _blind(self, pocket: Pocket) -> float:
        """Air in passages of a pocket in which nothing flows [m3]; the volute of a running pump is stirred through."""
        graph, is_line = self.graph, not self._is_whirled(pocket)
        still = [each for each in self.currents.still(pocket) if not (is_line and self._runs(graph.items[each]))]
        above = volume_above(graph.ends[still], self.heights, graph.liquid[still], pocket.sill)
        return min(float(above.sum()), pocket.volume)

    def _below_sill(self, pocket: Pocket) -> float:
        """Volume below the sill of all ways that lead on down from a pocket [m3]."""
        heights, graph = self.heights, self.graph
        passages: set[int] = set()
        seen, front = set(pocket.places), list(pocket.places)
        while front:
            place = front.pop()
            for passage, other in graph.passages_at[place]:
                if heights[other] < heights[place]:
                    passages.add(passage)
                    if other not in seen:
                        seen.add(other)
                        front.append(other)
        ways = sorted(passages)
        above = volume_above(graph.ends[ways], heights, graph.liquid[ways], pocket.sill)
        return float((graph.liquid[ways] - above).sum())


def _liquids(graph: HeightGraph, point: OperatingPoint) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Density, viscosity and surface tension of what fills each passage, shape (m,) each."""
    sizes = np.empty((3, len(graph.items)))
    for item, passages in graph.passages_of.items():
        state = point.state_of(item)
        circuits = point.circuits_of(item)
        coolant = (circuits[0].coolant if circuits else point.build.coolant).medium
        tension = surface_tension(coolant, state.temperature_c)
        sizes[:, passages] = np.array([[state.density], [state.viscosity], [tension]])
    density, viscosity, tension_ = sizes
    return density, viscosity, tension_


def _sentence(point: HighPoint, running: OperatingPoint) -> str:
    what = f"{point.at.name}: up to {millilitres(point.gas)} of air, {millimetres(point.height - point.sill)} high"
    if point.verdict == "clears":
        blind = f", all but {millilitres(point.blind)} in a blind end" if point.blind > LEAST_BLIND else ""
        return f"{what}; the flow clears it{blind}, and {_where_to(point, running)}"
    if point.is_stirred:
        why = "beside the running impeller"
    elif point.speed <= 0:
        why = "nothing flows through it"
    else:
        spread = f"{figure(point.stays_below, 'm_s', 2)} to {quantity(point.clears_above, 'm_s', 2)}"
        why = f"{quantity(point.speed, 'm_s', 2)} against {spread} in {millimetres(point.bore)}"
    return f"{what}; it {point.verdict} ({why}): {bleed_remedy(running, point)}"


def _where_to(point: HighPoint, running: OperatingPoint) -> str:
    if point.caught_at is not None:
        item = part_of(point.caught_at)
        return f"the air may be caught again at {item_name(running.build, running.layout, item)}"
    if point.ends_in is None:
        return "the air comes round again: no vessel takes it in"
    return f"the air ends in {running.build.part(point.ends_in).name}"
