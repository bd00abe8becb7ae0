"""Draining: what leaves by gravity, in which order to open, what stays behind."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.errors import SketchError
from loopsim.network import LEVEL, HeightGraph, Pocket, Tilt, height_graph
from loopsim.parts import DrainPort, QuickDisconnect
from loopsim.studies.fill.circuit_coolant import coolant_at
from loopsim.studies.fill.low_points import Standing, standing
from loopsim.studies.fill.places import millilitres, millimetres, opening_places, where
from loopsim.studies.fill.results import Drain, DrainStep, Held, LowPoint
from loopsim.studies.fill.settling import Settling
from loopsim.studies.fill.tilt import tilts_within
from loopsim.studies.sentence import quantity
from loopsim.units import to_si

__all__ = ["USUAL_TILT", "drain", "tilt_words"]

FloatArray = NDArray[np.float64]

USUAL_TILT = Tilt(15.0, 15.0)  # two people hold a machine so for a few minutes; a guess [°]
BLOWN_FREE = 0.8  # of what stands in a way that air can be blown through; a film and drops stay, an estimate
SPARE = 1.1  # for what is spilt: the vessels to collect all that leaves hold a tenth more
LEAST_LEFT = 1e-8  # less is a drop [m3]
WORTH_OPENING = 0.5e-6  # less than this is not worth another opening [m3]


def drain(
    build: Build,
    layout_name: str | None = None,
    at: Sequence[str] = (),
    most_tilt: Tilt = LEVEL,
    step_deg: float = 5.0,
    air: FloatArray | None = None,
) -> Drain:
    """Open drains one after the other, caps and lids above open so that air gets in, nothing running.

    Liquid runs off over the lowest passes towards the opening; what lies below them stays. No siphon is counted on:
    a line that stays full may pull over a little more.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    at : sequence of str
        Openings to be used, in any order, see `opening_places`; all drain ports if empty, else every opening.
    most_tilt : Tilt
        How far the machine may be held to each side; the tilt that lets out most is chosen for each opening [°].
    step_deg : float
        Of the search [°].
    air : ndarray, shape (m,), optional
        In each passage of the layout's height graph, where there is no liquid to run off, see `air_left`; without it
        the loop is full [m3].

    Raises
    ------
    SketchError
        If there is no such layout or opening, or none at all.
    """
    layout = build.layout(layout_name)
    graph = height_graph(build, layout).at_rest
    inside = graph.liquid if air is None else np.maximum(graph.liquid - air, 0.0)
    return _Draining(build, layout, graph, inside, tilts_within(most_tilt, step_deg)).through(
        opening_places(graph, layout, at or _usual(build, layout, graph))
    )


def _usual(build: Build, layout: Layout, graph: HeightGraph) -> list[str]:
    drains = [part_id for part_id in layout.placements if isinstance(build.part(part_id), DrainPort)]
    if drains:
        return drains
    others = [name for name, kind in graph.openings.items() if kind != "vented"]
    if not others:
        raise SketchError(f"layout {layout.name!r} has no opening to drain from: add a drain port at its lowest place")
    return others


class _Draining:
    def __init__(
        self, build: Build, layout: Layout, graph: HeightGraph, inside: FloatArray, tilts: Sequence[Tilt]
    ) -> None:
        self.build, self.layout, self.graph, self.inside, self.tilts = build, layout, graph, inside, tilts

    def through(self, openings: list[int]) -> Drain:
        """The best opening and tilt first, then the best of the rest for what is left."""
        level = Settling(self.graph, -self.graph.heights(), openings)
        left = level.at_upper_ends(self.inside)
        steps, used = list[DrainStep](), list[int]()
        while len(used) < len(openings):
            kept, opening, tilt = self._best([each for each in openings if each not in used], left)
            gone = sum(left.values()) - sum(kept.values())
            if gone < WORTH_OPENING:
                break
            steps.append(DrainStep(where(self.graph, self.build, self.layout, opening), tilt, gone))
            left, used = kept, [*used, opening]
        level = Settling(self.graph, -self.graph.heights(), used)
        kept = level.after(left)
        if steps:  # what runs off while it is set level again
            more = sum(left.values()) - sum(kept.values())
            steps[-1] = replace(steps[-1], volume=steps[-1].volume + more)
        low_points = self._low_points(level, kept)
        freezes = self._freezes_below(low_points)
        return Drain(
            steps=tuple(steps),
            collect=SPARE * sum([*(step.volume for step in steps), *(point.blown_free for point in low_points)]),
            held=float(self.inside.sum()),
            low_points=low_points,
            freezes_below_c=freezes,
            spill=self._spill(),
            sentences=tuple(self._sentences(steps, low_points, freezes)),
        )

    def _best(self, openings: list[int], left: dict[int, float]) -> tuple[dict[int, float], int, Tilt]:
        choices = [
            (Settling(self.graph, -self.graph.heights(tilt), [opening]).after(left), opening, tilt)
            for tilt in self.tilts
            for opening in openings
        ]
        return min(choices, key=lambda choice: round(sum(choice[0].values()), 9))

    def _low_points(self, level: Settling, kept: dict[int, float]) -> tuple[LowPoint, ...]:
        """Where what is left stands once the machine is level again, the openings used still open."""
        bodies = standing(level, kept)
        points = [self._low_point(each) for each in bodies if float(each.liquid.sum()) > LEAST_LEFT]
        return tuple(sorted(points, key=lambda each: -each.volume))

    def _low_point(self, body: Standing) -> LowPoint:
        sill_at = body.pockets[-1].sill_at
        held = (self._held(item, passages, body) for item, passages in self.graph.passages_of.items())
        return LowPoint(
            body.level,
            None if sill_at is None else where(self.graph, self.build, self.layout, sill_at),
            tuple(sorted((each for each in held if each is not None), key=lambda each: -each.volume)),
        )

    def _held(self, item: str, passages: list[int], body: Standing) -> Held | None:
        """What of a body of liquid stands in one part or run."""
        wet = [passage for passage in passages if body.liquid[passage] > 0]
        if not wet:
            return None
        heights = self.graph.heights()
        lowest = int(min(self.graph.ends[wet].ravel(), key=lambda place: float(heights[place])))
        blown = 0.0
        if not self._is_vessel(item):
            ways = (part for pocket, part in zip(body.pockets, body.parts, strict=True) if self._is_on_a_way(pocket))
            blown = BLOWN_FREE * sum(float(part[wet].sum()) for part in ways)
        return Held(where(self.graph, self.build, self.layout, lowest, item), float(body.liquid[wet].sum()), blown)

    def _is_vessel(self, item: str) -> bool:
        """True where air bubbles through what stands in it and drives none of it out."""
        part = self.build.parts_by_id.get(item)
        return part is not None and part.surface_mm is not None

    def _is_on_a_way(self, pocket: Pocket) -> bool:
        """True if air can be blown in on one side and out on another: it leads on to two places at least."""
        inside = set(pocket.places)
        ways_out = {other for place in inside for _, other in self.graph.passages_at[place] if other not in inside}
        return len(ways_out) > 1

    def _freezes_below(self, low_points: Sequence[LowPoint]) -> float:
        """At which the first of what stays begins to freeze; of what was inside where nothing stays [°C]."""
        graph, places = self.graph, [self.graph.number[each.at.place] for each in low_points]
        found = {coolant_at(self.build, self.layout, graph, each).id for each in places or range(len(graph.names))[:1]}
        return max(self.build.coolants_by_id[each].medium.freezing_point_c for each in found)

    def _spill(self) -> dict[str, float]:
        parts = (self.build.part(part_id) for part_id in self.layout.placements)
        return {part.id: to_si(part.spill_ml, "ml") for part in parts if isinstance(part, QuickDisconnect)}

    def _sentences(self, steps: list[DrainStep], low_points: tuple[LowPoint, ...], freezes: float) -> Iterable[str]:
        if steps:
            yield "first open every cap and lid that lies above, so that air gets in"
        for number, step in enumerate(steps, start=1):
            held = "" if step.tilt == LEVEL else f", held {tilt_words(step.tilt)}"
            yield f"{number}. open {step.at.name}{held}: {millilitres(step.volume)} run off"
        if not steps:
            yield "nothing runs off by gravity: every opening lies above the liquid around it"
        for point in low_points:
            blown = f", of which blowing through may free {millilitres(point.blown_free)}" if point.blown_free else ""
            yield f"{point.name}: {millilitres(point.volume)} stay, up to {millimetres(point.level)}{blown}"
        if low_points:
            frost = f"what stays begins to freeze at {quantity(freezes, 'c')}, and bursts parts"
            yield f"{frost}: never store it wet in frost"


def tilt_words(tilt: Tilt) -> str:
    words = []
    for angle, sides in ((tilt.right_up_deg, ("right", "left")), (tilt.back_up_deg, ("back", "front"))):
        if angle:
            words.append(f"{sides[angle < 0]} side up {abs(angle):g}°")
    return " and ".join(words)
