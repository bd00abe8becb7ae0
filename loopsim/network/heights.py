"""The heights along every way of a layout, through parts as well as tubes."""

import math
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.build.free_ports import free_ports
from loopsim.elements import CheckValve
from loopsim.geometry import Spot
from loopsim.parts import Part, TubeRun, part_of
from loopsim.parts.inner import bore_mm2
from loopsim.units import to_si

__all__ = ["LEVEL", "HeightGraph", "Opening", "Tilt", "height_graph"]

FloatArray = NDArray[np.float64]
Opening = Literal["vented", "capped", "open"]

ARC_STEP_DEG = 22.5  # a bend as straight pieces: a summit lies within 2 % of its radius


class Tilt(NamedTuple):
    """How the whole machine is held: its right side and its back lifted [°]; negative lifts left and front."""

    right_up_deg: float = 0.0
    back_up_deg: float = 0.0

    @property
    def up(self) -> FloatArray:
        """What is up, as a step in the enclosure's axes, shape (3,)."""
        right, back = math.radians(self.right_up_deg), math.radians(self.back_up_deg)
        return np.array([math.sin(right), math.cos(right) * math.sin(back), math.cos(right) * math.cos(back)])


LEVEL = Tilt()


@dataclass(frozen=True, eq=False)
class HeightGraph:
    """Places with heights, and the passages between them, of all liquids of a layout.

    A bore is taken at its centre line: liquid runs over a hump, and air under a sill, up to half a bore earlier.

    Attributes
    ----------
    names : tuple of str, n
        Of the places: ports ``"part.port"``, places inside ``"part/place"``, points of runs ``"run/3"``.
    spots : ndarray, shape (n, 3)
        In the enclosure's axes, level [m].
    ends : ndarray of int, shape (m, 2)
        First and last place of each passage; a run's from its start to its end.
    volume, bore, area, length : ndarray, shape (m,)
        What it holds when full [m3], hydraulic diameter [m], free area of all that runs side by side [m2], and length
        of the centre line [m].
    items : tuple of str, m
        Id of the part or tube run to which each passage belongs.
    holds_air : ndarray of bool, shape (m,)
        True above a free surface.
    openings : dict of str to str
        Places where air and liquid can come and go: ``"vented"`` always, ``"capped"`` while the cap is off, ``"open"``
        for ports that no tube joins.
    cracking : dict of int to float
        By passage of a check valve, from its inlet to its outlet: the pressure at which it opens [Pa].
    """

    names: tuple[str, ...]
    spots: FloatArray
    ends: NDArray[np.intp]
    volume: FloatArray
    bore: FloatArray
    area: FloatArray
    length: FloatArray
    items: tuple[str, ...]
    holds_air: NDArray[np.bool_]
    openings: Mapping[str, Opening]
    cracking: Mapping[int, float] = field(default_factory=dict)

    @cached_property
    def number(self) -> dict[str, int]:
        """Number of each place by its name."""
        return {name: number for number, name in enumerate(self.names)}

    @cached_property
    def liquid(self) -> FloatArray:
        """What each passage holds of liquid as drawn, shape (m,) [m3]."""
        return np.where(self.holds_air, 0.0, self.volume)

    @cached_property
    def passages_of(self) -> dict[str, list[int]]:
        """Numbers of the passages of each part and run by its id."""
        found: dict[str, list[int]] = {}
        for number, item in enumerate(self.items):
            found.setdefault(item, []).append(number)
        return found

    @cached_property
    def passages_at(self) -> list[list[tuple[int, int]]]:
        """Passages at each place, each with the place at its other end."""
        found: list[list[tuple[int, int]]] = [[] for _ in self.names]
        for number, (start, end) in enumerate(self.ends.tolist()):
            found[start].append((number, end))
            found[end].append((number, start))
        return found

    @cached_property
    def free_at(self) -> list[list[tuple[int, int]]]:
        """As `passages_at`, without check valves: what neither a bubble nor a film of liquid opens."""
        return [[each for each in at if each[0] not in self.cracking] for at in self.passages_at]

    @cached_property
    def at_rest(self) -> "HeightGraph":
        """With every check valve on its seat, as nothing runs."""
        return self.held(self.cracking)

    def held(self, passages: Collection[int]) -> "HeightGraph":
        """With some check valves on their seats: their passages are blind ends on the inlet's side."""
        if not passages:
            return self
        ends, names, spots = self.ends.copy(), list(self.names), [*self.spots]
        for passage in passages:
            names.append(f"{self.items[passage]}/seat_{passage}")
            spots.append(self.spots[ends[passage, 0]])
            ends[passage, 1] = len(names) - 1
        cracking = {passage: each for passage, each in self.cracking.items() if passage not in passages}
        return replace(self, names=tuple(names), spots=np.array(spots), ends=ends, cracking=cracking)

    def heights(self, tilt: Tilt = LEVEL) -> FloatArray:
        """Height of each place with the machine held so, shape (n,) [m]; level, above the enclosure's floor."""
        heights: FloatArray = self.spots @ tilt.up
        return heights

    def item_at(self, place: int) -> str:
        """Id of the part or tube run to which a place belongs."""
        return part_of(self.names[place])

    def opened(self, *kinds: Opening) -> list[int]:
        """Numbers of the places that are openings of these kinds."""
        return [self.number[name] for name, kind in self.openings.items() if kind in kinds]


class _Drawing:
    """The graph while it is put together."""

    def __init__(self) -> None:
        self.spots: dict[str, Spot] = {}
        self.ends: list[tuple[str, str]] = []
        self.sizes: list[tuple[float, float, float, float]] = []
        self.items: list[str] = []
        self.holds_air: list[bool] = []
        self.openings: dict[str, Opening] = {}
        self.cracking: dict[int, float] = {}

    def add(
        self, item: str, start: str, end: str, sizes: tuple[float, float, float, float], holds_air: bool = False
    ) -> None:
        """A passage with its volume [mL], bore [mm], area [mm2] and length [mm]."""
        self.ends.append((start, end))
        self.sizes.append(sizes)
        self.items.append(item)
        self.holds_air.append(holds_air)

    def finished(self) -> HeightGraph:
        number = {name: index for index, name in enumerate(self.spots)}
        sizes = np.array(self.sizes, dtype=float).reshape(-1, 4)
        units = [to_si(1.0, unit) for unit in ("ml", "mm", "mm2", "mm")]
        volume, bore, area, length = (sizes * units).T
        return HeightGraph(
            names=tuple(self.spots),
            spots=np.array(list(self.spots.values()), dtype=float).reshape(-1, 3) * to_si(1.0, "mm"),
            ends=np.array([(number[a], number[b]) for a, b in self.ends], dtype=np.intp).reshape(-1, 2),
            volume=volume,
            bore=bore,
            area=area,
            length=length,
            items=tuple(self.items),
            holds_air=np.array(self.holds_air, dtype=bool),
            openings=self.openings,
            cracking=self.cracking,
        )


def height_graph(build: Build, layout: Layout) -> HeightGraph:
    """The heights of a layout, with its valves as they are set; a way that is shut is a blind end.

    Check valves are passages that know at which pressure they open forward; see `HeightGraph.at_rest` for them shut.
    """
    for of_build, of_layout, graph in _last:
        if of_build is build and of_layout is layout:
            return graph
    graph = _make_graph(build, layout)
    _last[:] = [(build, layout, graph)]
    return graph


_last: list[tuple[Build, Layout, HeightGraph]] = []  # several questions are asked of one layout, one after the other


def _make_graph(build: Build, layout: Layout) -> HeightGraph:
    drawing = _Drawing()
    free = free_ports(build, layout)
    for part_id in layout.placements:
        part = build.part(part_id)
        if part.ports:
            _add_part(drawing, part, layout, free[part_id].waiting if part_id in free else ())
    for run in layout.runs:
        _add_run(drawing, build, layout, run)
    return drawing.finished()


def _add_part(drawing: _Drawing, part: Part, layout: Layout, waiting: Collection[str]) -> None:
    placement = layout.placement(part.id)
    place = placement.place_of(part)
    behind = {name: f"{part.id}.{name}" for name in part.ports}
    behind |= {name: f"{part.id}/{name}" for name in part.inside.places}
    drawing.spots.update({behind[name]: spot for name, spot in placement.port_spots(part).items()})
    drawing.spots.update({behind[name]: place.spot(spot) for name, spot in part.inside.places.items()})
    drawing.openings.update({behind[name]: kind for name, kind in part.inside.openings.items()})
    drawing.openings.update({behind[name]: "open" for name in waiting})
    ways = {path.name: path.element for path in part.paths_as_set(placement.setting())}
    for index, path in enumerate(part.inside.paths):
        start, end = behind[path.start], behind[path.end]
        straight = math.dist(drawing.spots[start], drawing.spots[end])
        sizes = (path.volume_ml, path.bore_mm, path.area_mm2, straight if path.length_mm is None else path.length_mm)
        if path.way is not None and isinstance(valve := ways.get(path.way), CheckValve):
            drawing.cracking[len(drawing.items)] = valve.cracking
        if path.way is not None and path.way not in ways:
            drawing.spots[blind := f"{part.id}/shut_{index}"] = drawing.spots[start]
            end = blind
        drawing.add(part.id, start, end, sizes, path.holds_air)


def _add_run(drawing: _Drawing, build: Build, layout: Layout, run: TubeRun) -> None:
    tube, path = build.tube(run.tube), build.run_path(layout, run)
    line = list(_without_stops(path.centre_line(ARC_STEP_DEG)))
    inner = [f"{run.id}/{number}" for number in range(1, len(line) - 1)]
    drawing.spots.update(dict(zip(inner, line[1:-1], strict=True)))
    chords = [math.dist(a, b) for a, b in pairwise(line)]
    stretch = path.length_mm / sum(chords) if sum(chords) > 0 else 1.0
    area = bore_mm2(tube.bore_mm)
    for (start, end), chord in zip(pairwise([run.start, *inner, run.end]), chords, strict=True):
        length = chord * stretch
        drawing.add(run.id, start, end, (area * length / 1000.0, tube.bore_mm, area, length))


def _without_stops(line: list[Spot]) -> Iterator[Spot]:
    """The line without points that repeat the one before; both its ends stay."""
    yield line[0]
    for before, spot in pairwise(line[:-1]):
        if spot != before:
            yield spot
    yield line[-1]
