"""Liquid and air in a loop while it is filled: what is where, and how it moves by gravity."""

from collections.abc import Collection
from copy import copy

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.network import HeightGraph, bottlenecks_one_way
from loopsim.studies.fill.plan_results import FillSnapshot

__all__ = ["Filling", "Vessel"]

FloatArray = NDArray[np.float64]

_FULL = 1e-6  # share that a passage may lack and still pass no air
_SAME = 1e-9  # heights closer than this are the same [m]
_ROUNDS = 6  # of level and what runs back to it; each round's error is a tenth of the one before


class Vessel:
    """A vessel with a free surface: a column of passages from its floor to its lid.

    Parameters
    ----------
    graph : HeightGraph
    heights : ndarray, shape (n,)
        [m].
    vessel_id : str
    """

    def __init__(self, graph: HeightGraph, heights: FloatArray, vessel_id: str) -> None:
        inside = [all("/" in graph.names[end] for end in graph.ends[each]) for each in graph.passages_of[vessel_id]]
        column = [each for each, is_inside in zip(graph.passages_of[vessel_id], inside, strict=True) if is_inside]
        column.sort(key=lambda each: float(heights[graph.ends[each]].sum()))
        self.id, self.column = vessel_id, np.array(column, dtype=np.intp)
        self.bottoms = np.array([heights[graph.ends[each]].min() for each in column])
        tops = np.array([heights[graph.ends[each]].max() for each in column])
        self.volumes = graph.volume[self.column]
        self.edges = np.concatenate((self.bottoms[:1], tops))
        self.below = np.concatenate(([0.0], np.cumsum(self.volumes)))
        self.floor = int(min(graph.ends[column[0]], key=lambda place: float(heights[place])))
        self.top = int(max(graph.ends[column[-1]], key=lambda place: float(heights[place])))
        self.ports = frozenset(
            int(end) for each in graph.passages_of[vessel_id] for end in graph.ends[each] if "/" not in graph.names[end]
        )

    def volume_at(self, level: float) -> float:
        """What it holds up to a level [m3]."""
        return float(np.interp(level, self.edges, self.below))

    def level_of(self, volume: float) -> float:
        """Level of a volume [m]."""
        return float(np.interp(volume, self.below, self.edges))

    def filled(self, volume: float) -> FloatArray:
        """Liquid in each passage of its column [m3]."""
        return np.clip(volume - self.below[:-1], 0.0, self.volumes)


class Filling:
    """A loop between dry and full. Volume is kept: what is not liquid is air.

    Pockets of air are taken at ambient pressure; a column of one metre would squeeze them by a tenth.

    Parameters
    ----------
    build, layout, graph, heights
        The valves as drawn.
    circuit : ndarray of bool, shape (m,)
        Passages of the circuit that is filled.
    """

    def __init__(
        self, build: Build, layout: Layout, graph: HeightGraph, heights: FloatArray, circuit: NDArray[np.bool_]
    ) -> None:
        self.graph, self.heights, self.circuit = graph, heights, circuit
        self.liquid = np.zeros(len(graph.items))
        self.poured, self.time = 0.0, 0.0
        self.target = np.where(circuit, graph.liquid, 0.0)
        with_surface = [part_id for part_id in layout.placements if build.part(part_id).surface_mm is not None]
        vessels = (Vessel(graph, heights, part_id) for part_id in with_surface)
        self.vessels = [vessel for vessel in vessels if circuit[vessel.column].all()]
        self.in_column = np.zeros(len(graph.items), dtype=bool)
        for vessel in self.vessels:
            self.in_column[vessel.column] = True
        self.flooded_to = np.full(len(heights), -np.inf)  # highest level at which each place lay under liquid [m]
        self.snapshots: list[FillSnapshot] = []
        low, high = graph.ends.T
        swap = heights[low] > heights[high]
        self.low, self.high = np.where(swap, high, low), np.where(swap, low, high)
        floors = [vessel.floor for vessel in self.vessels]
        shut = dict.fromkeys(graph.cracking, np.inf)  # what has been lifted over a check valve stays there
        self.need = bottlenecks_one_way(graph.ends, heights, floors, shut)[0]

    def twin(self) -> "Filling":
        """A copy to try something on; the snapshots stay with the first."""
        other = copy(self)
        other.liquid, other.flooded_to, other.snapshots = self.liquid.copy(), self.flooded_to.copy(), []
        return other

    @property
    def headroom(self) -> float:
        """Room in the vessels above their levels as drawn, up to the lids [m3]."""
        columns = [vessel.column for vessel in self.vessels]
        return float(sum((self.graph.volume[column] - self.target[column]).sum() for column in columns))

    @property
    def air(self) -> float:
        """In what shall be full at the end [m3]."""
        return float(np.maximum(self.target - self.liquid, 0.0).sum())

    @property
    def in_loop(self) -> float:
        """Liquid outside the vessels [m3]."""
        return float(self.liquid[~self.in_column].sum())

    def volume_of(self, vessel: Vessel) -> float:
        """Liquid in a vessel [m3]."""
        return float(self.liquid[vessel.column].sum())

    def level_of(self, vessel: Vessel) -> float:
        """Its level [m]."""
        return vessel.level_of(self.volume_of(vessel))

    def lack_of(self, vessel: Vessel) -> float:
        """What it lacks up to its level as drawn, below 0 where it stands higher [m3]."""
        return float(self.target[vessel.column].sum()) - self.volume_of(vessel)

    def put(self, vessel: Vessel, volume: float) -> None:
        """Let a vessel hold so much, no more than it can [m3]."""
        self.liquid[vessel.column] = vessel.filled(volume)

    def note(self, step: int) -> None:
        """Keep this moment for the slider."""
        whole = np.where(self.graph.volume > 0, self.graph.volume, 1.0)
        share = np.where(self.graph.volume > 0, self.liquid / whole, self._share_of_nothing())
        levels = {vessel.id: self.level_of(vessel) for vessel in self.vessels}
        snapshot = FillSnapshot(step, self.time, np.clip(share, 0.0, 1.0), levels, self.poured, self.air)
        self.snapshots.append(snapshot)

    def _share_of_nothing(self) -> FloatArray:
        """For edges of headers, which hold nothing by themselves: wet once what meets there is, shape (m,)."""
        wet = np.zeros(len(self.heights), dtype=bool)
        wet[self.graph.ends[self.liquid > _FULL * self.graph.volume]] = True
        return np.asarray(wet[self.graph.ends].all(axis=1), dtype=float)

    def pour_up_to(self, liquid: FloatArray, seconds: float, level: float = -np.inf) -> float:
        """Add what lacks of a state of rest, shape (m,) [m3]; what is wet already stays. Gives the volume poured.

        `level` is that of the opening into which it is poured, where the state is reached [m].
        """
        mine = np.where(self.circuit, liquid, 0.0)
        wet = (mine > 0) & ~self.in_column
        self.flooded_to[self.graph.ends[wet]] = np.maximum(self.flooded_to[self.graph.ends[wet]], level)
        after = np.maximum(self.liquid, mine)
        volume = float(after.sum() - self.liquid.sum())
        self.liquid = after
        self.poured += volume
        self.time += seconds
        return volume

    def share_below(self, level: float) -> FloatArray:
        """Share of each passage that lies below a level, shape (m,)."""
        bottom, rise = self.heights[self.low], self.heights[self.high] - self.heights[self.low]
        sloped = np.clip((level - bottom) / np.where(rise > _SAME, rise, 1.0), 0.0, 1.0)
        return np.asarray(np.where(rise > _SAME, sloped, bottom <= level + _SAME))

    def pour_into(self, vessel: Vessel, volume: float, seconds: float = 0.0) -> None:
        """Top a vessel up by so much [m3]."""
        self.put(vessel, self.volume_of(vessel) + volume)
        self.poured += volume
        self.time += seconds

    def settle(self, openings: Collection[int]) -> float:
        """Let what stands above the vessels' level run back where air gets in; gives the volume [m3].

        Liquid behind a hump stays in the low point there. Several vessels take back what they gave last in proportion
        to their size.
        """
        if not self.vessels:
            return 0.0
        before, start = self.liquid.copy(), self.in_loop
        total = sum(self.volume_of(vessel) for vessel in self.vessels)
        level = self.level_of(self.vessels[0])
        loop = before
        for _ in range(_ROUNDS):
            loop = self._run_back(before, level, openings)
            returned = start - float(loop[~self.in_column].sum())
            level = self._common_level(total + returned)
        returned = start - float(loop[~self.in_column].sum())
        self.liquid = loop
        self._share_out(total + returned)
        return returned

    def _common_level(self, volume: float) -> float:
        first = self.vessels[0]
        return first.level_of(volume * self._size(first) / sum(self._size(each) for each in self.vessels))

    def _share_out(self, volume: float) -> None:
        sizes = [self._size(each) for each in self.vessels]
        for vessel, size in zip(self.vessels, sizes, strict=True):
            self.put(vessel, volume * size / sum(sizes))

    def _size(self, vessel: Vessel) -> float:
        return float(self.target[vessel.column].sum())

    def _run_back(self, before: FloatArray, level: float, openings: Collection[int]) -> FloatArray:
        """Liquid once all that air reaches has sunk to a level, shape (m,) [m3]."""
        liquid = before.copy()
        heights, below = self.heights, self.share_below(level)
        can_sink = ~self.in_column & (self.need[self.low] <= np.maximum(heights[self.low], level) + _SAME)
        sunk = np.minimum(liquid, self.graph.volume * below)
        movable = can_sink & (sunk < liquid - _SAME * self.graph.volume)
        while movable.any():
            airy = self._airy(liquid, openings)
            touched = movable & airy[self.graph.ends].any(axis=1)
            if not touched.any():
                break
            liquid[touched] = sunk[touched]
            movable &= ~touched
        return liquid

    def _airy(self, liquid: FloatArray, openings: Collection[int]) -> NDArray[np.bool_]:
        """Places that air from an opening reaches through passages not full of liquid, shape (n,)."""
        dry = liquid < self.graph.volume * (1 - _FULL)
        beside_dry = np.zeros(len(self.heights), dtype=bool)
        beside_dry[self.graph.ends[dry]] = True
        passes = dry | ((self.graph.volume == 0) & beside_dry[self.graph.ends].all(axis=1))
        seen = np.zeros(len(self.heights), dtype=bool)
        front = [*(vessel.top for vessel in self.vessels), *openings]
        seen[front] = True
        while front:
            for passage, other in self.graph.free_at[front.pop()]:
                if passes[passage] and not seen[other]:
                    seen[other] = True
                    front.append(other)
        return seen
