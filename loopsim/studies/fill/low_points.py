"""How liquid stands in low points: up to which level, and how much of it in each passage."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loopsim.network import Pocket, volume_above
from loopsim.studies.fill.settling import Settling

__all__ = ["Standing", "standing"]

FloatArray = NDArray[np.float64]

_HALVINGS = 40  # of the height within which a surface is sought


@dataclass
class Standing:
    """Liquid that is joined below one surface.

    Attributes
    ----------
    pockets : list of Pocket
        That it fills or covers; the one that reaches highest comes last.
    level : float
        Of its surface [m].
    parts : list of ndarray, shape (m,)
        What each of the pockets holds in each passage [m3].
    """

    pockets: list[Pocket]
    level: float
    parts: list[FloatArray]

    @property
    def liquid(self) -> FloatArray:
        """In each passage, shape (m,) [m3]."""
        return np.asarray(np.sum(self.parts, axis=0))


def standing(settled: Settling, volumes: Mapping[int, float]) -> list[Standing]:
    """Bodies of liquid in the low points of a machine that stands still.

    Inner low points first: one over whose pass the liquid of the next reaches is part of that one's body.

    Parameters
    ----------
    settled : Settling
        With heights turned over, for liquid.
    volumes : mapping of int to float
        What each pocket holds by its own, by its lowest place, see `Settling.after` [m3].
    """
    graph, heights = settled.graph, settled.heights
    full, bodies = np.zeros(len(graph.items)), list[Standing]()
    for pocket in sorted(settled.pockets, key=lambda each: len(each.places)):
        within = _Room(settled, pocket, full)
        full = np.maximum(full, within.below(pocket.sill) + full * within.mine)
        volume = volumes.get(pocket.top, 0.0)
        if volume <= 0:
            continue
        surface, liquid = within.filled(volume, float(heights[pocket.top]))
        body = Standing([pocket], -surface, [liquid])
        for other in [each for each in bodies if _covers(pocket, surface, each)]:
            bodies.remove(other)
            body.pockets[:0], body.parts[:0] = other.pockets, other.parts
        bodies.append(body)
    return bodies


def _covers(pocket: Pocket, surface: float, inner: Standing) -> bool:
    """True where liquid of a pocket reaches over the pass of one within it, heights turned over."""
    last = inner.pockets[-1]
    return surface <= last.sill and set(last.places) < set(pocket.places)


class _Room:
    """What a pocket holds without those within it, heights turned over.

    Parameters
    ----------
    settled : Settling
    pocket : Pocket
    full : ndarray, shape (m,)
        What those within it hold when they are full [m3].
    """

    def __init__(self, settled: Settling, pocket: Pocket, full: FloatArray) -> None:
        self.graph, self.heights, self.sill, self.full = settled.graph, settled.heights, pocket.sill, full
        self.mine = np.isin(settled.graph.ends, list(pocket.places)).any(axis=1)

    def below(self, surface: float) -> FloatArray:
        """In each passage, up to a surface, shape (m,) [m3]."""
        held = volume_above(self.graph.ends, self.heights, self.graph.liquid, surface)
        return np.where(self.mine, np.maximum(held - self.full, 0.0), 0.0)

    def filled(self, volume: float, bottom: float) -> tuple[float, FloatArray]:
        """The surface at which it holds a volume, and that in each passage; of what lies level at it, a share."""
        low, high = self.sill, bottom
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if float(self.below(middle).sum()) > volume else (low, middle)
        least, most = self.below(high), self.below(low)
        missing, room = volume - float(least.sum()), float((most - least).sum())
        share = min(max(missing / room, 0.0), 1.0) if room > 0 else 0.0
        return low, least + share * (most - least)
