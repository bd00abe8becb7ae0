"""Filling by gravity: what a funnel reaches, what it cannot, which air it shuts in, which pumps it floods."""

from collections.abc import Callable, Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.media import State
from loopsim.network import LEVEL, HeightGraph, Opening, Tilt, bottlenecks, height_graph
from loopsim.studies.fill.circuit_coolant import coolant_at
from loopsim.studies.fill.flooding import pump_floodings
from loopsim.studies.fill.places import millilitres, millimetres, opening_places, opening_words, where
from loopsim.studies.fill.results import GravityFill, TrappedPocket, Unreached, Where
from loopsim.studies.fill.wetting import SAME, Wetting, run_down
from loopsim.units import GRAVITY

__all__ = ["gravity_fill", "run_down"]

FloatArray = NDArray[np.float64]

_HALVINGS = 24  # of the height within which a surface is sought
_LEAST = 1e-7  # volumes below 0.1 mL are not worth a word [m3]


def gravity_fill(
    build: Build,
    layout_name: str | None = None,
    opening: str | None = None,
    vents: Iterable[str] = (),
    level: float | None = None,
    tilt: Tilt = LEVEL,
) -> GravityFill:
    """Pour into one opening, all pumps standing, until the level is reached.

    A place wets at the lowest level at which liquid gets over every hump on the way, and then only if the air there
    has a way left, still dry, to an open port; else it is shut in and squeezed by the column. Air leaves by the
    opening too, for liquid is poured slowly. A check valve lets liquid through forward, once it stands higher before it
    than behind it by the head at which it opens, and no air at all.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    opening : str, optional
        Where liquid is poured in, see `opening_places`; a fill port, else a vessel, if not given.
    vents : iterable of str
        Openings without their caps; the lids of vessels are open anyhow.
    level : float, optional
        Up to which to pour [m]; if not given, to where the first vessel stands as drawn, or to the rim.
    tilt : Tilt
        How the machine is held.

    Raises
    ------
    SketchError
        If there is no such layout or opening, or none at all.
    """
    layout = build.layout(layout_name)
    graph = height_graph(build, layout)
    (source,) = opening_places(graph, layout, [opening or _usual_opening(graph)])
    open_places = {source, *graph.opened("vented"), *opening_places(graph, layout, vents)}
    return _Fill(build, layout, graph, graph.heights(tilt), source, open_places).to(level)


def _usual_opening(graph: HeightGraph) -> str:
    """The highest capped opening, else the first vessel's lid, else whatever there is."""
    kinds: tuple[Opening, ...] = ("capped", "vented", "open")
    for kind in kinds:
        if places := graph.opened(kind):
            return graph.names[max(places, key=lambda place: float(graph.spots[place, 2]))]
    return "an opening"


class _Fill:
    """What comes of a wetting."""

    def __init__(
        self, build: Build, layout: Layout, graph: HeightGraph, heights: FloatArray, source: int, opened: set[int]
    ) -> None:
        self.build, self.layout, self.graph = build, layout, graph
        self.source, self.opened = source, opened
        self.coolant = coolant_at(build, layout, graph, source)
        weight = self._state().density * GRAVITY
        heads = {passage: cracking / weight for passage, cracking in graph.cracking.items()}
        self.wetting = wetting = Wetting(graph, heights, source, opened, heads)
        plain = bottlenecks(graph.ends, heights, wetting.starts) if heads else wetting.levels
        self.plain, self.joined = plain, np.isfinite(plain)  # as if every check valve were open
        self.heights, self.levels, self.sealed = wetting.heights, wetting.levels, wetting.sealed
        self.low, self.high = wetting.low, wetting.high

    def to(self, level: float | None) -> GravityFill:
        rim, spills_at = self._rim()
        level = min(rim, self._usual_level() if level is None else level)
        between = {*self.levels[np.isfinite(self.levels)].tolist(), *self.sealed[np.isfinite(self.sealed)].tolist()}
        steps = np.array(sorted({each for each in (*between, level, rim) if each <= rim}))
        wet = np.array([float((self.graph.volume * self.wetting.share_wet(each)).sum()) for each in steps])
        share = self.wetting.share_wet(level)
        pockets = self._pockets(level)
        poured = float((self.graph.volume * share).sum()) + sum(each.volume - each.squeezed for each in pockets)
        unreached = self._unreached(level, share)
        pumps = pump_floodings(self.build, self.layout, self.graph, self.heights, self.levels, self.sealed, level)
        circuit = self.joined[self.graph.ends[:, 0]] if len(self.graph.ends) else np.zeros(0, dtype=bool)
        held = tuple(self._held(level))
        return GravityFill(
            opening=self._where(self.source),
            vents=tuple(self.graph.names[place] for place in sorted(self.opened)),
            rim=rim,
            spills_at=spills_at,
            level=level,
            levels=steps,
            wet=wet,
            poured=poured,
            capacity=float(self.graph.liquid[circuit].sum()),
            unreached=unreached,
            pockets=pockets,
            pumps=pumps,
            share_wet=share,
            held=held,
            sentences=(
                *self._rim_sentence(rim, spills_at),
                *(_unreached_sentence(each, rim) for each in unreached),
                *(_pocket_sentence(each) for each in pockets),
                *(_held_sentence(each) for each in held),
                *(pump.sentence for pump in pumps),
            ),
        )

    def _rim(self) -> tuple[float, Where | None]:
        """Highest level before the opening or another open one runs over."""
        others = [place for place in self.opened if place != self.source]
        first = min(others, key=lambda place: float(self.levels[place]), default=self.source)
        top = float(self.heights[self.source])
        if self.levels[first] < top:
            return float(self.levels[first]), self._where(first)
        return top, None

    def _usual_level(self) -> float:
        """Where the first vessel that is reached stands as drawn."""
        vessels = [part_id for part_id in self.layout.placements if self.build.part(part_id).surface_mm is not None]
        drawn = [self.graph.number[f"{part_id}/level"] for part_id in vessels]
        return min((float(self.levels[place]) for place in drawn), default=np.inf)

    def _pockets(self, level: float) -> tuple[TrappedPocket, ...]:
        groups: dict[int, list[int]] = {}
        for place, by in enumerate(self.wetting.sealed_by.tolist()):
            if by >= 0 and self.sealed[place] <= level:
                groups.setdefault(by, []).append(place)
        bodies = [(by, body) for by, places in groups.items() for body in self.wetting.joined(places)]
        found = [pocket for by, body in bodies if (pocket := self._pocket(by, body, level)).volume > _LEAST]
        return tuple(sorted(found, key=lambda pocket: -pocket.volume))

    def _pocket(self, by: int, places: list[int], level: float) -> TrappedPocket:
        inside = np.zeros(len(self.heights), dtype=bool)
        inside[places] = True
        sealed_at = float(self.sealed[places[0]])
        mine = inside[self.high]  # whatever shuts in a lower end shuts in the upper one too
        whole = self.graph.volume[mine]
        low, high = self.low[mine], self.high[mine]
        border = np.maximum(self.heights[low], self.wetting.wet_up_to[mine])
        already, top_of = np.where(inside[low], self.heights[low], border), self.heights[high]
        rise = top_of - self.heights[low]
        flat, per_metre = rise <= SAME, whole / np.where(rise > SAME, rise, 1.0)

        def above(surface: float) -> float:
            """Volume above a surface inside; of what lies level, all that lies no lower [m3]."""
            left = np.clip(top_of - np.maximum(already, surface), 0.0, rise)
            return float(np.where(flat, whole * (top_of >= surface), per_metre * left).sum())

        lowest = float(already.min(initial=np.inf))
        volume = above(lowest)
        state, air = self._state(), self.build.ambient.pressure
        top = max(places, key=lambda place: float(self.heights[place]))
        between = lowest, float(self.heights[top])
        entry = float(self.heights[by]) if self.wetting.is_fed_from_outside(by, places) else sealed_at
        squeezed, pressure = _squeezed(above, between, entry, level, state, air)
        return TrappedPocket(self._where(top), sealed_at, self._where(by), volume, squeezed, pressure)

    def _held(self, level: float) -> Iterator[Where]:
        """Check valves but for which liquid would stand on both sides."""
        for passage in self.graph.cracking:
            sides = self.graph.ends[passage]
            if self.plain[sides].max() <= level < self.levels[sides].max():
                yield self._where(int(sides[0]), self.graph.items[passage])

    def _state(self) -> State:
        return self.coolant.medium.at(self.build.ambient.temperature_c)

    def _unreached(self, level: float, share: FloatArray) -> tuple[Unreached, ...]:
        """Of each part and run, what no liquid reaches though its air would get out; not of the opening's own neck."""
        sealed = np.minimum(self.sealed[self.low], self.sealed[self.high]) <= level
        dry = np.where(sealed | self.graph.holds_air, 0.0, self.graph.volume * (1 - share))
        found = []
        for item, passages in self.graph.passages_of.items():
            volume = float(dry[passages].sum())
            if volume > _LEAST and item != self.graph.item_at(self.source):
                places = [int(self.high[each]) for each in passages if dry[each] > 0]
                place = max(places, key=lambda each: float(self.levels[each]))
                needed = float(self.levels[place])
                is_hump = needed > self.heights[place] + SAME
                is_held = bool(self.joined[place]) and not np.isfinite(needed)
                found.append(Unreached(self._where(place, item), volume, needed, is_hump, is_held))
        return tuple(sorted(found, key=lambda each: -each.volume))

    def _where(self, place: int, item: str = "") -> Where:
        return where(self.graph, self.build, self.layout, place, item)

    def _rim_sentence(self, rim: float, spills_at: Where | None) -> Iterable[str]:
        if spills_at is not None:
            runs_out = opening_words(self.build, spills_at.place)
            yield f"liquid runs out at {runs_out} from a level of {millimetres(rim)}"


def _squeezed(
    above: Callable[[float], float],
    between: tuple[float, float],
    entry: float,
    level: float,
    state: State,
    ambient: float,
) -> tuple[float, float]:
    """Volume of shut-in air under a column, and its gauge pressure: Boyle's law, liquid rising inside by bisection.

    The column reaches from the level down to the surface inside, or to the hump over which liquid runs in.
    """
    whole = above(between[0])
    weight = state.density * GRAVITY
    low, high = between
    for _ in range(_HALVINGS):
        surface = (low + high) / 2
        pressure = ambient + weight * max(level - max(surface, entry), 0.0)
        if above(surface) * pressure > whole * ambient:
            low = surface
        else:
            high = surface
    pressure = weight * max(level - max(high, entry), 0.0)
    return whole * ambient / (ambient + pressure), pressure


def _unreached_sentence(dry: Unreached, rim: float) -> str:
    what = f"{dry.at.name}: {millilitres(dry.volume)} stay dry"
    if dry.is_held:
        return f"{what}: a check valve holds the liquid back"
    if not np.isfinite(dry.level):
        return f"{what}: no way leads there from this opening"
    why = "a hump before it" if dry.is_behind_hump else "it"
    if dry.level > rim:
        return f"{what}: {why} reaches {millimetres(dry.level)}, the rim is at {millimetres(rim)}"
    return f"{what} until the level reaches {millimetres(dry.level)}"


def _pocket_sentence(pocket: TrappedPocket) -> str:
    return (
        f"{pocket.at.name}: {millilitres(pocket.volume)} of air are shut in when {pocket.shut_in_by} at "
        f"{millimetres(pocket.sealed_at)}; open a port above, or let the pumps carry it off"
    )


def _held_sentence(valve: Where) -> str:
    return f"{valve.name}: it holds liquid back, for it opens forward only, and above its cracking head"
