"""How a tube can be led clear of everything: level, over or under what is in its way, or with elbows."""

import math
from collections.abc import Iterator, Sequence
from itertools import chain
from typing import Literal

import numpy as np

from loopsim.build import Build, Layout, edits
from loopsim.cancelling import check_cancelled
from loopsim.geometry import Box, Path, Spot, boxes_along, route
from loopsim.geometry.clearance import segment_distances
from loopsim.parts import Corner, TubeRun
from loopsim.studies.fit.bodies import body_findings
from loopsim.studies.fit.drawing import Drawing
from loopsim.studies.fit.joints import joint_findings
from loopsim.studies.fit.room import room_findings
from loopsim.studies.fit.turns import turn_findings

__all__ = ["is_clear", "led_run", "proposed_corners"]

Turn = Literal["bend", "elbow", "mitre"]

_PATIENCE = 800  # of each search where several ways are tried, see `route`
_GAP_MM = 1.0  # that a proposed route leaves beside a tube
_STUB_MM = 20.0  # straight out of a port, before a tube begins to rise
_RAMP = 3.0  # length of a rise over its height
_LEAST_RAMP_MM = 50.0


def proposed_corners(build: Build, layout: Layout, run_id: str) -> tuple[Corner, ...] | None:
    """Corners by which a run would pass clear of parts, reserved spaces and other tubes; None if there is no way."""
    run = layout.run(run_id)
    spots = _Leading(build, layout, run, patience=math.inf).level(run.radius_mm)
    return None if spots is None else tuple(Corner(x_mm=x, y_mm=y, height_mm=height) for x, y, height in spots)


def led_run(build: Build, layout: Layout, run: TubeRun, turn: Turn = "bend") -> TubeRun | None:
    """A run that is not drawn yet, led from its start to its end; None if no way is found.

    Ways are tried in this order: along the heights of its ports; over or under what is in the way, a tube's width
    higher or lower; along the heights of its ports with elbows in place of bends.

    Parameters
    ----------
    build : Build
    layout : Layout
        Without the run.
    run : TubeRun
        Its corners do not count; its radius holds for bends.
    turn : str
        What its corners are: ``"bend"``, ``"elbow"`` or ``"mitre"``.
    """
    leading = _Leading(build, layout, run)
    radius = run.radius_mm if turn == "bend" else 0.0
    for spots, kind in leading.tries(radius, turn):
        corners = tuple(Corner(x_mm=x, y_mm=y, height_mm=height, turn=kind) for x, y, height in spots)
        led = run.with_values(corners=corners)
        if _meets_itself(build.run_path(layout, led), build.tube(run.tube).outer_mm):
            continue
        if is_clear(edits.add_run(build, layout.name, led).build, layout.name, led.id):
            return led
    return None


def is_clear(build: Build, layout_name: str, item: str) -> bool:
    """True if a part or run of a layout stands where it can: in nobody's way, within the room, not bent too tightly."""
    drawing = Drawing(build, build.layout(layout_name))
    found = chain(joint_findings(drawing), turn_findings(drawing), body_findings(drawing), room_findings(drawing))
    return not any(item in (finding.part, *finding.others) for finding in found if not finding.quiet)


def _meets_itself(path: Path, outer_mm: float) -> bool:
    """True if two stretches of a tube that do not follow each other come nearer than it is wide."""
    spots = np.array(path.spots)
    first, second = np.triu_indices(len(spots) - 1, 2)
    if not len(first):
        return False
    distance, _, _ = segment_distances(spots[first], spots[first + 1], spots[second], spots[second + 1])
    return bool((distance < outer_mm).any())


class _Leading:
    def __init__(self, build: Build, layout: Layout, run: TubeRun, patience: float = _PATIENCE) -> None:
        drawing = Drawing(build, layout)
        self.room, self.lid = build.enclosure.corners, build.enclosure.clear_height_mm
        self.patience = patience
        self.reach = build.tube(run.tube).outer_mm / 2
        self.obstacles: list[Box] = [stands.box for stands in drawing.standing]
        self.obstacles += [drawing.space_box(space) for space in layout.reserved if space.rule == "keep clear"]
        for drawn in drawing.runs:
            if drawn.run.id != run.id:
                self.obstacles += boxes_along(drawn.path, drawn.body.radius_mm)
        self.ends = [build.port_spot(layout, reference) for reference in (run.start, run.end)]
        self.facings = []
        for reference in (run.start, run.end):
            part, port = build.port(reference)
            self.facings.append(layout.placement(part.id).place_of(part).direction(port.facing_deg))

    def tries(self, radius: float, turn: Turn) -> Iterator[tuple[Sequence[Spot], Turn]]:
        """Ways from the one that is liked best on, as corners with what they are."""
        for search in (self.level, self._from_end):
            spots = search(radius)
            if spots is not None:
                yield spots, turn
        yield from ((spots, turn) for spots in self._raised(radius))
        elbows = self.level(0.0) if turn == "bend" else None
        if elbows is not None:
            yield elbows, "elbow"

    def level(self, radius: float) -> Sequence[Spot] | None:
        """At the start's height up to the last corner."""
        return self._route(self.ends, self.facings, radius)

    def _from_end(self, radius: float) -> Sequence[Spot] | None:
        """At the end's height from the first corner on; only where that is another height."""
        if abs(self.ends[0].height_mm - self.ends[1].height_mm) < 2 * self.reach:
            return None
        spots = self._route(self.ends[::-1], self.facings[::-1], radius)
        return None if spots is None else spots[::-1]

    def _route(self, ends: Sequence[Spot], facings: Sequence[Spot], radius: float) -> tuple[Spot, ...] | None:
        check_cancelled()
        (start, end), (leaving, arriving) = ends, facings
        clear = self.reach + _GAP_MM
        return route(
            start, leaving, end, arriving, self.obstacles,
            radius_mm=radius, clear_mm=clear, room=self.room, patience=self.patience,
        )  # fmt: skip

    def _raised(self, radius: float) -> Iterator[list[Spot]]:
        """Ways that rise, or fall, to another level behind the first port and come back before the last."""
        start, end = self.ends
        for level in self._levels():
            spots = self._route([end._replace(height_mm=level) for end in self.ends], self.facings, radius)
            if spots is not None:
                yield from _ramped([start, *spots, end], level, radius)

    def _levels(self) -> list[float]:
        """Heights a tube's width above and below the ports."""
        heights = [end.height_mm for end in self.ends]
        step = 2 * self.reach + _GAP_MM
        levels = [max(heights) + step, min(heights) - step, max(heights) + 2 * step]
        return [level for level in levels if self.reach <= level <= self.lid - self.reach]


def _ramped(spots: Sequence[Spot], level: float, radius: float) -> Iterator[list[Spot]]:
    """Corners of a way whose middle lies on another level than its ends; none where it has no room for its ramps."""
    yield from _along_stretches(spots, level)
    yield from _within_longest(spots, level, radius)


def _along_stretches(spots: Sequence[Spot], level: float) -> Iterator[list[Spot]]:
    """The way rises along the first stretch between two corners that is long enough, and falls along the last one."""
    heights = spots[0].height_mm, spots[-1].height_mm
    inner = range(1, len(spots) - 2)
    rises = [number for number in inner if _length(spots, number) >= _ramp(heights[0], level)]
    falls = [number for number in inner if _length(spots, number) >= _ramp(heights[1], level)]
    if rises and falls and rises[0] < falls[-1]:
        at = [heights[0] if n <= rises[0] else heights[1] if n > falls[-1] else level for n in range(len(spots))]
        yield [spot._replace(height_mm=height) for spot, height in zip(spots, at, strict=True)][1:-1]


def _within_longest(spots: Sequence[Spot], level: float, radius: float) -> Iterator[list[Spot]]:
    """The way rises and falls again within its longest stretch, clear of the bends at its ends."""
    heights = spots[0].height_mm, spots[-1].height_mm
    longest = max(range(len(spots) - 1), key=lambda number: _length(spots, number))
    before = 2 * radius if longest > 0 else _STUB_MM
    after = 2 * radius if longest < len(spots) - 2 else _STUB_MM
    length, ramps = _length(spots, longest), [_ramp(height, level) for height in heights]
    if length >= before + sum(ramps) + after + _STUB_MM:
        along = [before, before + ramps[0], length - after - ramps[1], length - after]
        hump = [
            _at(spots, longest, place / length, height)
            for place, height in zip(along, (heights[0], level, level, heights[1]), strict=True)
        ]
        flat = [spot._replace(height_mm=heights[number > longest]) for number, spot in enumerate(spots)]
        yield [*flat[1 : longest + 1], *hump, *flat[longest + 1 : -1]]


def _length(spots: Sequence[Spot], number: int) -> float:
    return math.dist(spots[number][:2], spots[number + 1][:2])


def _ramp(height: float, level: float) -> float:
    return max(_LEAST_RAMP_MM, _RAMP * abs(level - height))


def _at(spots: Sequence[Spot], number: int, share: float, height: float) -> Spot:
    (x, y, _), (to_x, to_y, _) = spots[number : number + 2]
    return Spot(x + share * (to_x - x), y + share * (to_y - y), height)
