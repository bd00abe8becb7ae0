"""The first pour: which valves to shut for it, which caps to take off, and up to where."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout, edits
from loopsim.network import bottlenecks
from loopsim.parts import DrainPort, Valve
from loopsim.studies.fill.gravity_fill import gravity_fill, run_down
from loopsim.studies.fill.priming import Priming
from loopsim.studies.fill.results import GravityFill
from loopsim.studies.fill.simulate import Filling, Vessel

__all__ = ["FirstPour", "Stage", "first_pour"]

FloatArray = NDArray[np.float64]

WORTH_A_VALVE = 20e-6  # a valve that gets less liquid in by gravity is left alone [m3]
WORTH_A_STAGE = 1e-6  # nor is a cap taken off for less [m3]
MOST_VALVES = 6  # tried one by one
BELOW_PASS = 1e-3  # liquid is kept so far below a pass that it shall not run over [m]


@dataclass(frozen=True)
class Stage:
    """Pouring into one opening up to a level.

    Attributes
    ----------
    opening : str
        Where it is poured in.
    vents : tuple of str
        Other caps that are off meanwhile.
    fill : GravityFill
        To the level, with the valves as they are set for it.
    to_cap : str or None
        The opening at which liquid shows then, to be capped.
    shut : tuple of int
        Passages of a shut valve below the level, wet from both its sides.
    """

    opening: str
    vents: tuple[str, ...]
    fill: GravityFill
    to_cap: str | None
    shut: tuple[int, ...] = ()

    def liquid(self, filling: Filling) -> FloatArray:
        """At its end, shape (m,) [m3]."""
        share = self.fill.share_wet.copy()
        share[list(self.shut)] = 1.0
        return np.asarray(share * filling.graph.volume * filling.circuit)

    def liquid_at(self, share: float, filling: Filling) -> FloatArray:
        """Once this share of its volume is in, each low point filled over the lowest hump on its way, shape (m,) [m3].

        For the eye: air that is shut in early is taken as shut in from the start.
        """
        graph, heights = filling.graph, filling.heights
        wanted = share * float(np.interp(self.fill.level, self.fill.levels, self.fill.wet))
        level = float(np.interp(wanted, self.fill.wet, self.fill.levels))
        starts = run_down(graph, heights, graph.number[self.opening])
        reached = bottlenecks(graph.ends, heights, starts)[filling.low] <= level
        return np.asarray(np.minimum(self.liquid(filling), graph.volume * filling.share_below(level) * reached))


@dataclass(frozen=True)
class FirstPour:
    """All stages of the first pour.

    Attributes
    ----------
    shut : str or None
        Id of the valve that is shut for it.
    stages : tuple of Stage
    as_drawn : GravityFill
        What one pour into the same opening does with all valves as drawn, for comparison.
    flooded : frozenset of str
        Ids of the pumps that may run after it.
    in_loop : float
        Liquid outside the vessels after it [m3].
    """

    shut: str | None
    stages: tuple[Stage, ...]
    as_drawn: GravityFill
    flooded: frozenset[str]
    in_loop: float

    @property
    def worth(self) -> tuple[int, float]:
        """The more pumps it floods, then the more liquid it gets into the loop, the better."""
        return len(self.flooded), self.in_loop


def first_pour(build: Build, layout: Layout, opening: str, filling: Filling, priming: Priming) -> FirstPour:
    """The pour that floods most pumps, then the one that gets most liquid in by gravity.

    Every valve is tried shut, one at a time: one beside the vessel lets a port above the vessel fill the rest first.
    """
    as_drawn = gravity_fill(build, layout.name, opening)
    best = _tried(build, layout, opening, None, as_drawn, filling, priming)
    assert best is not None
    for valve in [each for each in layout.placements if _can_shut(build, layout, each, filling)][:MOST_VALVES]:
        shut = edits.change_placement(build, layout.name, valve, opening_percent=0.0).build
        other = _tried(shut, layout, opening, valve, as_drawn, filling, priming)
        count, volume = best.worth
        if other is not None and other.worth > (count, volume + WORTH_A_VALVE):
            best = other
    return best


def _can_shut(build: Build, layout: Layout, part_id: str, filling: Filling) -> bool:
    is_valve = isinstance(build.part(part_id), Valve) and layout.placement(part_id).opening_percent > 0
    return is_valve and bool(filling.circuit[filling.graph.passages_of[part_id]].all())


def _tried(
    build: Build,
    layout: Layout,
    opening: str,
    shut: str | None,
    as_drawn: GravityFill,
    filling: Filling,
    priming: Priming,
) -> FirstPour | None:
    """The stages with one valve shut, and how the loop stands once it is open again; None if a vessel runs over."""
    stages = _staged(build, layout, opening, filling)
    if shut is not None:
        stages = _with_vessels(build, layout, shut, stages, filling)
    trial = filling.twin()
    for stage in stages:
        trial.pour_up_to(stage.liquid(filling), 0.0, stage.fill.level)
    if shut is not None and trial.settle(()) > trial.headroom:
        return None
    return FirstPour(shut, stages, as_drawn, priming.flooded(trial), trial.in_loop)


def _with_vessels(
    build: Build, layout: Layout, shut: str, stages: tuple[Stage, ...], filling: Filling
) -> tuple[Stage, ...]:
    """Vessels that the stages leave dry come first; at the end the valve is wet from both sides."""
    graph, wet = filling.graph, np.max([stage.liquid(filling) for stage in stages], axis=0)
    lids = [graph.names[each.top] for each in filling.vessels if wet[each.column].sum() < WORTH_A_STAGE]
    vessels = (Stage(lid, (), gravity_fill(build, layout.name, lid), None) for lid in lids)
    passages = graph.passages_of[shut]
    is_below = float(filling.heights[graph.ends[passages]].max()) <= stages[-1].fill.level
    return (*vessels, *stages[:-1], replace(stages[-1], shut=tuple(passages) if is_below and lids else ()))


def _staged(build: Build, layout: Layout, opening: str, filling: Filling) -> tuple[Stage, ...]:
    """With caps off where air leaves, if that is worth it."""
    plain = Stage(opening, (), _below_passes(build, layout, opening, (), filling), None)
    staged = tuple(_stages(build, layout, opening, filling))
    gained = np.max([stage.liquid(filling) for stage in staged], axis=0).sum() - plain.liquid(filling).sum()
    return staged if gained > WORTH_A_STAGE else (plain,)


def _stages(build: Build, layout: Layout, opening: str, filling: Filling) -> Iterator[Stage]:
    """One for each cap that is better off until liquid shows there, the lowest first; then up to the final level."""
    graph = filling.graph
    lids = {graph.names[vessel.top] for vessel in filling.vessels}
    vents = [each for each in _vents(build, filling) if each != opening]
    target = gravity_fill(build, layout.name, opening).level
    while True:
        fill = _below_passes(build, layout, opening, vents, filling)
        at = None if fill.spills_at is None else fill.spills_at.place
        if at is None or at in lids or fill.rim >= target:
            yield Stage(opening, tuple(vents), fill, None)
            return
        yield Stage(opening, tuple(vents), fill, at)
        vents.remove(at)


def _below_passes(build: Build, layout: Layout, opening: str, vents: Sequence[str], filling: Filling) -> GravityFill:
    """To the usual level, but no higher than where liquid would run over a pass into a vessel and past its level."""
    fill = gravity_fill(build, layout.name, opening, vents)
    liquid = fill.share_wet * filling.graph.volume
    while any(_is_over(filling, vessel, liquid) for vessel in filling.vessels) and fill.level > fill.levels[0]:
        fill = gravity_fill(build, layout.name, opening, vents, fill.level - BELOW_PASS)
        liquid = fill.share_wet * filling.graph.volume
    return fill


def _is_over(filling: Filling, vessel: Vessel, liquid: FloatArray) -> bool:
    column = vessel.column
    return bool(liquid[column].sum() > filling.target[column].sum() + WORTH_A_STAGE)


def _vents(build: Build, filling: Filling) -> list[str]:
    """Capped openings that look up: air leaves there, and liquid shows last."""
    graph, heights = filling.graph, filling.heights
    found = []
    for place in graph.opened("capped"):
        (passage, neighbour), *_ = graph.passages_at[place]
        is_drain = isinstance(build.part(graph.item_at(place)), DrainPort)
        if filling.circuit[passage] and not is_drain and heights[place] > heights[neighbour]:
            found.append(graph.names[place])
    return found
