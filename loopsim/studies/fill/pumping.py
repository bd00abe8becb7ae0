"""Rounds of pumping: a pump empties the vessel into the loop, as far as it may."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.studies.fill.carry import Carriage
from loopsim.studies.fill.priming import Priming
from loopsim.studies.fill.simulate import Filling, Vessel
from loopsim.studies.operating import operating_point

__all__ = ["Pumping", "Round"]

FloatArray = NDArray[np.float64]

COVER_BORES = 2.0  # least liquid over the middle of a vessel's outlet, in its bores; common practice
STALLED = 0.02  # share of the full flow below which the front stands
MOMENTS = 8  # snapshots of one round, about
IDLE = 0.01  # share of a push below which it has moved nothing on
_LEAST_PUSH = 0.5e-6  # [m3]

Ending = Literal["least level", "full", "flooded", "stalled"]


@dataclass(frozen=True, slots=True)
class Round:
    """One run.

    Attributes
    ----------
    seconds : float
        [s].
    taken : float
        Out of the vessels into the loop [m3].
    poured : float
        Into the vessels meanwhile [m3].
    ended : str
        ``"least level"``: of a vessel; ``"full"``: the loop takes no more; ``"flooded"``: another pump is ready too;
        ``"stalled"``: the pumps do not lift the front any higher.
    """

    seconds: float
    taken: float
    poured: float
    ended: Ending


class Pumping:
    """What running pumps do to a filling.

    Parameters
    ----------
    build, layout
    filling : Filling
    priming : Priming
        Of the same filling.
    keeps : ndarray, shape (m,)
        Air that stays in each passage while the pumps run [m3].
    """

    def __init__(self, build: Build, layout: Layout, filling: Filling, priming: Priming, keeps: FloatArray) -> None:
        self.build, self.layout, self.filling, self.priming, self.keeps = build, layout, filling, priming, keeps
        self._carriages: dict[frozenset[str], Carriage] = {}
        self.least_levels = {vessel.id: self._least(vessel) for vessel in filling.vessels}

    @property
    def least_level(self) -> float:
        """Of the first vessel; nan without one [m]."""
        return next(iter(self.least_levels.values()), float("nan"))

    @property
    def drawn_level(self) -> float:
        """Of the first vessel as drawn; inf without one, for then the loop is full to its top [m]."""
        vessels = self.filling.vessels
        return vessels[0].level_of(float(self.filling.target[vessels[0].column].sum())) if vessels else float("inf")

    @property
    def usable(self) -> float:
        """What the vessels give between their levels as drawn and the least ones [m3]."""
        return sum(
            max(float(self.filling.target[vessel.column].sum()) - vessel.volume_at(self.least_levels[vessel.id]), 0.0)
            for vessel in self.filling.vessels
        )

    def carriage(self, pumps: frozenset[str]) -> Carriage:
        """What these pumps move when they run."""
        if pumps not in self._carriages:
            stopped = [pump for pump in self.priming.pumps if pump not in pumps]
            point = operating_point(self.build, self.layout.name, stopped)
            self._carriages[pumps] = Carriage(self.filling, point, self.keeps)
        return self._carriages[pumps]

    def run(self, pumps: frozenset[str], step: int, poured_at: float | None = None) -> Round:
        """Push until something ends it.

        Parameters
        ----------
        pumps : frozenset of str
        step : int
            Number for the snapshots.
        poured_at : float, optional
            How fast liquid gets into the vessels meanwhile, to keep them at their levels; the pumps are slowed down to
            that [m3/s].
        """
        filling, carriage = self.filling, self.carriage(pumps)
        start, poured, taken, noted, idle = filling.time, filling.poured, 0.0, 0.0, 0.0
        while True:
            ended, volume = self._next_push(carriage, pumps, poured_at is not None)
            if ended is None and idle > carriage.room:
                ended = "full"  # what still lacks lies off the way
            if ended is not None:
                return Round(filling.time - start, taken, filling.poured - poured, ended)
            flow = carriage.drawn * carriage.slowness
            filling.time += volume / min(flow, flow if poured_at is None else poured_at)
            gone = carriage.push(volume)
            taken, idle = taken + gone, idle + volume if gone < IDLE * volume else 0.0
            if poured_at is not None:
                for vessel in filling.vessels:
                    filling.pour_into(vessel, max(filling.lack_of(vessel), 0.0))
            if taken - noted > min(self.usable, carriage.room + taken) / MOMENTS:
                filling.note(step)
                noted = taken

    def _next_push(self, carriage: Carriage, pumps: frozenset[str], topped_up: bool) -> tuple[Ending | None, float]:
        """Why no more is pushed, or how much next [m3]."""
        room = carriage.room
        if room < _LEAST_PUSH or carriage.drawn <= 0:
            return "full", 0.0
        if carriage.slowness < STALLED:
            return "stalled", 0.0
        if self.priming.flooded() - pumps:
            return "flooded", 0.0
        left = self.usable if topped_up else self._left(pumps)
        if left < _LEAST_PUSH:
            return "least level", 0.0
        return None, min(max(self.usable / MOMENTS / 4, _LEAST_PUSH), left)

    def _left(self, pumps: frozenset[str]) -> float:
        """What may still leave the vessel that is nearest to its least level [m3]."""
        filling = self.filling
        return min(
            filling.volume_of(vessel) - vessel.volume_at(self.least_level_with(pumps, vessel))
            for vessel in filling.vessels
        )

    def least_level_with(self, pumps: frozenset[str], vessel: Vessel) -> float:
        """Lowest level with these pumps running: those that the vessel floods stay below it [m]."""
        drawn = vessel.level_of(float(self.filling.target[vessel.column].sum()))
        tops = [self.priming.top_of(pump) for pump in pumps if not self.priming.is_fed(pump)]
        return max((self.least_levels[vessel.id], *(top for top in tops if top < drawn)))

    def _least(self, vessel: Vessel) -> float:
        """Level that keeps cover over the lowest port, or just its bore under where there is no more liquid [m]."""
        heights = self.filling.heights
        lowest = min(vessel.ports, key=lambda port: float(heights[port]))
        height, bore = float(heights[lowest]), self._bore(lowest)
        drawn = vessel.level_of(float(self.filling.target[vessel.column].sum()))
        cover = height + COVER_BORES * bore
        return cover if cover < drawn else min(height + bore / 2, drawn)

    def _bore(self, port: int) -> float:
        return max(float(self.filling.graph.bore[passage]) for passage, _ in self.filling.graph.passages_at[port])
