"""What the fill bench asks plan and strip to show: high points, or the loop at one moment of its plan."""

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from loopsim.geometry import Spot
from loopsim.network import HeightGraph
from loopsim.studies.fill import AirMap, FillSnapshot, HighPoint
from loopsim.studies.fill.places import millilitres
from loopsim.units import from_si

__all__ = ["ROLES", "SIGNS", "Marks", "Moment", "Piece", "air_words"]

ROLES = {"stays": "rust", "may clear": "amber", "clears": "good"}
SIGNS = {"stays": "×", "may clear": "?", "clears": "✓"}
_LEAST = 1e-4  # share of a passage that is not worth a stroke


class Piece(NamedTuple):
    """A stretch of a tube run full of liquid: shares of its way from start to end, and the places there."""

    begin: float
    end: float
    first: Spot
    last: Spot


class Moment(NamedTuple):
    """The loop at one moment of the fill plan."""

    graph: HeightGraph
    snapshot: FillSnapshot
    words: str

    def share_of(self, item: str) -> float | None:
        """Share of a part or run that is full of liquid; None where it holds none."""
        passages = self.graph.passages_of.get(item)
        if not passages:
            return None
        volume = self.graph.volume[passages]
        whole = float(volume.sum())
        return float((volume * self.snapshot.liquid[passages]).sum()) / whole if whole > 0 else None

    def pieces(self, run_id: str) -> Iterator[Piece]:
        """What is full of liquid along a run; a passage that is not full is so from its lower end on."""
        graph, passages = self.graph, self.graph.passages_of.get(run_id, [])
        along = np.concatenate(([0.0], np.cumsum(graph.length[passages])))
        along /= along[-1] or 1.0
        for passage, (begin, end) in zip(passages, pairwise(along.tolist()), strict=True):
            share = float(self.snapshot.liquid[passage])
            if share > _LEAST:
                first, last = (from_si(1.0, "mm") * graph.spots[graph.ends[passage]]).tolist()
                yield _wet(Piece(begin, end, Spot(*first), Spot(*last)), share)


class Marks(NamedTuple):
    """What is to be shown; `is_old` while it belongs to an earlier sketch."""

    air: AirMap | None = None
    moment: Moment | None = None
    is_old: bool = False


def air_words(point: HighPoint) -> str:
    """A high point in few words: ``"70 mL of air stay"``."""
    verb = {"stays": "stay", "may clear": "may clear", "clears": "clear"}[point.verdict]
    return f"{millilitres(point.gas)} of air {verb}"


def _wet(piece: Piece, share: float) -> Piece:
    """The share of a passage that is wet, from its lower end on."""
    begin, end, first, last = piece
    if first.height_mm <= last.height_mm:
        return Piece(begin, begin + share * (end - begin), first, _between(first, last, share))
    return Piece(end - share * (end - begin), end, _between(last, first, share), last)


def _between(a: Spot, b: Spot, share: float) -> Spot:
    return Spot(*(one + share * (other - one) for one, other in zip(a, b, strict=True)))
