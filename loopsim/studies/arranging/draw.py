"""An arrangement drawn: tubes from port to port, and tees where branches leave and join."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import chain, pairwise
from typing import NamedTuple

from loopsim.build import Build, Layout, Placement, edits
from loopsim.build.edits import Edit
from loopsim.build.joining import new_tee, tee_into
from loopsim.build.run_edits import tidy
from loopsim.geometry import Path
from loopsim.geometry.reshape import Point
from loopsim.parts import Tee, TubeRun, part_of
from loopsim.studies.arranging.plans import Beside, InRow, Pass, Plan, Step
from loopsim.studies.arranging.ways import BareLayout
from loopsim.studies.fit import is_clear, led_run

__all__ = ["NoWay", "drawn"]

_SPARE_MM = 5.0  # of straight tube on either side of a tee, to push the tube on
_LEVEL_MM = 0.5  # a stretch that rises by more has no place for a tee
_PLACES = 6  # tried for one tee
_AWAY_MM = 10.0, 40.0, 70.0  # of a tee from the port that it stands in front of
_IN_PLAN = 0.9  # least length in plan of the step out of a port before which a tee can lie flat


class NoWay(Exception):  # noqa: N818 - nothing went wrong
    """An arrangement that cannot be drawn: a tube finds no way, or a tee no place."""


@dataclass
class _Branch:
    """What lies beside, and the tees' ports between which it lies."""

    step: Step
    start: str = ""
    end: str = ""


@dataclass
class _Gap:
    """The tube between two items: branches that join it, the inner ones first, then those that leave it."""

    merges: list[_Branch] = field(default_factory=list)
    splits: list[_Branch] = field(default_factory=list)
    run: str = ""  # id of what of its tube has no tees on it yet, drawn along the flow


class _Placed(NamedTuple):
    """A tee in front of a port, and its legs towards the port and away from it."""

    build: Build
    tee: str
    here: str
    there: str


def drawn(bare: BareLayout, plan: Plan) -> Build:
    """The bare layout's build with the plan drawn in it.

    Raises
    ------
    NoWay
        If a tube finds no way clear of what stands there, or a tee no place.
    """
    sketch = _Sketch(bare)
    sketch.lead(plan.steps, bare.loop.leaves, plan.returns)
    return sketch.build


class _Sketch:
    def __init__(self, bare: BareLayout) -> None:
        self.bare, self.build, self.name = bare, bare.build, bare.name
        parts = (bare.build.part(part) for part in sorted(bare.loop.joints))
        self.tees = [part.id for part in parts if isinstance(part, Tee)]  # taken before new ones are made

    @property
    def layout(self) -> Layout:
        return self.build.layout(self.name)

    def lead(self, steps: Sequence[Step], start: str, end: str) -> None:
        """Draw what lies straight on between two ports, short tubes first, then its tees and what is beside it."""
        passes, gaps = _straight_on(steps)
        ports = [start, *(port for each in passes for port in (each.into, each.out_of)), end]
        tubes = list(zip(gaps, ports[::2], ports[1::2], strict=True))
        for gap, a, b in sorted(tubes, key=lambda tube: self._distance(*tube[1:])):
            gap.run = self._join(a, b)
        for gap in gaps:
            self._put_tees(gap)
        for branch in (branch for gap in gaps for branch in gap.splits):
            self.lead((branch.step,), branch.start, branch.end)

    def _join(self, start: str, end: str) -> str:
        """A tube from port to port: on the way that is known, or on one that is clear by now; its id."""
        if self._stood_before(start) and self._stood_before(end):
            way = self.bare.way(start, end)
            run = self._along_the_flow(way.run, start, end)
            added = edits.add_run(self.build, self.name, run).build
            if way.is_found and is_clear(added, self.name, run.id):
                self.build = added
                return run.id
        return self._lead_anew(start, end)

    def _lead_anew(self, start: str, end: str) -> str:
        led = self._led(self.build, start, end)
        if led is None:
            raise NoWay
        self.build = led
        return self.layout.runs[-1].id

    def _stood_before(self, port: str) -> bool:
        return part_of(port) in self.bare.layout.placements

    def _along_the_flow(self, run: TubeRun, start: str, end: str) -> TubeRun:
        """A run drawn from where liquid enters it; one that stays as it is drawn keeps its id where that is free."""
        is_kept = run.id in self.bare.loop.redrawn and run.id not in self.layout.runs_by_id
        run_id = run.id if is_kept else self.bare.new_run(self.build, start, end).id
        corners = run.corners if run.start == start else run.corners[::-1]
        return run.with_values(id=run_id, start=start, end=end, corners=corners)

    def _put_tees(self, gap: _Gap) -> None:
        """Tees for what joins, from the upstream end on, then for what leaves, from the downstream end back."""
        more = len(gap.merges) + len(gap.splits)
        for branch in gap.merges:
            more -= 1
            branch.end = self._put_tee(gap, _last(branch.step).out_of, more, joins=True)
        for branch in reversed(gap.splits):
            more -= 1
            branch.start = self._put_tee(gap, _first(branch.step).into, more, joins=False)

    def _put_tee(self, gap: _Gap, near: str, more: int, joins: bool) -> str:
        """A tee on a gap's tube, with room left for some more; the port of its branch."""
        for edit, port in chain(self._in_run(gap.run, near, more, joins), self._at_end(gap.run, near, joins)):
            tee_id = part_of(port)
            layout = edit.build.layout(self.name)
            upstream = next(run for run in layout.runs if part_of(run.end) == tee_id)
            downstream = next(run for run in layout.runs if part_of(run.start) == tee_id)
            if all(is_clear(edit.build, self.name, item) for item in (tee_id, upstream.id, downstream.id)):
                self.build, self.tees = edit.build, self.tees[1:]
                gap.run = downstream.id if joins else upstream.id
                return port
        raise NoWay

    @property
    def _tee_mm(self) -> float:
        return self.build.part(self.tees[0]).length_mm if self.tees else Tee(id="tee", name="Tee").length_mm

    def _in_run(self, run_id: str, near: str, more: int, joins: bool) -> Iterator[tuple[Edit, str]]:
        """A tee on a straight stretch, the place nearest to its branch first."""
        towards = self._front_of(near)
        stretches = list(_free_stretches(self.build.run_path(self.layout, self.layout.run(run_id))))
        half, pitch = self._tee_mm / 2 + _SPARE_MM, self._tee_mm + 2 * _SPARE_MM
        found: list[Point] = []
        for number, ends in enumerate(stretches):
            others = stretches[number + 1 :] if joins else stretches[:number]
            rest = pitch * max(0, more - sum(int(math.dist(*each) // pitch) for each in others))
            first, last = (half, half + rest) if joins else (half + rest, half)
            found += _places(*ends, first, last, towards)
        for at in sorted(dict.fromkeys(found), key=lambda place: math.dist(place, towards))[:_PLACES]:
            yield tee_into(self.build, self.name, run_id, at, towards, self.tees[0] if self.tees else None)

    def _at_end(self, run_id: str, near: str, joins: bool) -> Iterator[tuple[Edit, str]]:
        """A tee in front of the port at one end of a run, to which the rest of the run is led anew."""
        run = self.layout.run(run_id)
        port, far = (run.start, run.end) if joins else (run.end, run.start)
        towards = self._front_of(near)
        without = edits.remove_run(self.build, self.name, run_id).build
        for away in _AWAY_MM:
            placed = (self._in_front(without, port, away, turned) for turned in (False, True))
            for build, tee_id, here, there in sorted(filter(None, placed), key=lambda each: self._off(each, towards)):
                near_run = self._led(build, *((port, here) if joins else (here, port)))
                both = near_run and self._led(near_run, *((there, far) if joins else (far, there)))
                if both is not None:
                    yield Edit(both, ""), f"{tee_id}.c"

    def _off(self, placed: _Placed, towards: Point) -> float:
        """How far a tee's branch is from where it is to lead."""
        return math.dist(placed.build.port_spot(placed.build.layout(self.name), f"{placed.tee}.c")[:2], towards)

    def _in_front(self, build: Build, port: str, away: float, turned: bool) -> _Placed | None:
        """A tee in line with a port that looks along the plan."""
        layout = build.layout(self.name)
        part, own = build.port(port)
        step = layout.placement(part.id).place_of(part).direction(own.facing_deg)
        tee = build.part(self.tees[0]) if self.tees else new_tee(build, self._bore_at(port))
        spot = build.port_spot(layout, port)
        height = spot.height_mm - tee.ports["a"].spot.height_mm
        if math.hypot(step.x_mm, step.y_mm) < _IN_PLAN or height < 0:
            return None
        reach = away + tee.length_mm / 2
        at = Placement(
            part=tee.id,
            x_mm=tidy(spot.x_mm + reach * step.x_mm),
            y_mm=tidy(spot.y_mm + reach * step.y_mm),
            height_mm=height,
            rotation_deg=tidy((math.degrees(math.atan2(step.y_mm, step.x_mm)) + 180.0 * turned) % 360.0),
        )
        made = edits.place(build, self.name, at) if self.tees else edits.add_part(build, self.name, tee, at)
        if not is_clear(made.build, self.name, tee.id):
            return None
        here, there = ("b", "a") if turned else ("a", "b")
        return _Placed(made.build, tee.id, f"{tee.id}.{here}", f"{tee.id}.{there}")

    def _led(self, build: Build, start: str, end: str) -> Build | None:
        led = led_run(build, build.layout(self.name), self.bare.new_run(build, start, end), self.bare.turn)
        return None if led is None else edits.add_run(build, self.name, led).build

    def _front_of(self, port: str) -> Point:
        """Where a tube into a port has its last bend."""
        part, own = self.build.port(port)
        step = self.layout.placement(part.id).place_of(part).direction(own.facing_deg)
        spot, radius = self.build.port_spot(self.layout, port), self.bare.new_run(self.build, port, port).radius_mm
        return spot.x_mm + radius * step.x_mm, spot.y_mm + radius * step.y_mm

    def _bore_at(self, port: str) -> float:
        return self.build.tube(self.bare.new_run(self.build, port, port).tube).bore_mm

    def _distance(self, a: str, b: str) -> float:
        return math.dist(*(self.build.port_spot(self.layout, port) for port in (a, b)))


def _places(begin: Point, end: Point, first: float, last: float, near: Point) -> Iterator[Point]:
    """Places on a stretch, so far from its beginning and its end: the nearest to a point, and the outermost two."""
    length = math.dist(begin, end)
    if length >= first + last:
        step = (end[0] - begin[0]) / length, (end[1] - begin[1]) / length
        along = (near[0] - begin[0]) * step[0] + (near[1] - begin[1]) * step[1]
        for place in (min(max(along, first), length - last), first, length - last):
            yield begin[0] + place * step[0], begin[1] + place * step[1]


def _straight_on(steps: Sequence[Step]) -> tuple[list[Pass], list[_Gap]]:
    """The items on the way straight on, and the gaps before, between and behind them with what lies beside."""
    passes: list[Pass] = []
    gaps = [_Gap()]

    def walk(step: Step) -> None:
        if isinstance(step, Pass):
            passes.append(step)
            gaps.append(_Gap())
        elif isinstance(step, InRow):
            for each in step.steps:
                walk(each)
        else:
            branches = [_Branch(each) for each in step.branches[1:]]
            gaps[-1].splits += branches
            walk(step.branches[0])
            gaps[-1].merges += reversed(branches)

    for step in steps:
        walk(step)
    return passes, gaps


def _first(step: Step) -> Pass:
    """The item by which a step is entered straight on."""
    while not isinstance(step, Pass):
        step = step.branches[0] if isinstance(step, Beside) else step.steps[0]
    return step


def _last(step: Step) -> Pass:
    """The item by which it is left straight on."""
    while not isinstance(step, Pass):
        step = step.branches[0] if isinstance(step, Beside) else step.steps[-1]
    return step


def _free_stretches(path: Path) -> Iterator[tuple[Point, Point]]:
    """The straight, level stretches of a path between its bends, in plan."""
    cut = {bend.corner + 1: bend.tangent_mm for bend in path.bends}
    for number, (a, b) in enumerate(pairwise(path.spots)):
        length, before, after = math.dist(a[:2], b[:2]), cut.get(number, 0.0), cut.get(number + 1, 0.0)
        if abs(a.height_mm - b.height_mm) < _LEVEL_MM and length > before + after:
            x, y = (b.x_mm - a.x_mm) / length, (b.y_mm - a.y_mm) / length
            yield (
                (a.x_mm + before * x, a.y_mm + before * y),
                (b.x_mm - after * x, b.y_mm - after * y),
            )
