"""What the fill bench asks plan and strip to show: high or low points, or the loop at one moment of its plan."""

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

from app import figures
from loopsim.geometry import Spot
from loopsim.network import HeightGraph
from loopsim.units import from_si

if TYPE_CHECKING:  # plan and strip know marks from the start, filling is loaded with its bench
    from loopsim.studies.fill import AirMap, Drain, FillSnapshot, HighPoint, Where

__all__ = ["ROLES", "SIGNS", "Kind", "Marks", "Moment", "Piece", "Pocket", "tip_lines"]

Kind = Literal["stays", "may clear", "clears", "low"]

ROLES: dict[Kind, str] = {"stays": "rust", "may clear": "amber", "clears": "good", "low": "liquid"}
SIGNS: dict[Kind, str] = {"stays": "×", "may clear": "?", "clears": "✓", "low": ""}
_WORDS: dict[Kind, str] = {"stays": "of air stay", "may clear": "of air may clear", "clears": "clear", "low": "stay"}
_LEAST = 1e-4  # share of a passage that is not worth a stroke
_WORTH_A_MARK = 0.05  # share of all liquid that stays; what holds less is told in the table and at the pointer
_LITTLE = 1e-6  # a volume that is not worth a word [m3]


class Pocket(NamedTuple):
    """Where air stays or clears, or where liquid stays on draining: from its end to the sill, in heights [mm]."""

    at: "Where"
    kind: Kind
    end_mm: float
    sill_mm: float
    volume: float

    @property
    def words(self) -> str:
        """``"70 mL of air stay"``; empty where there is nothing to heed."""
        if self.kind == "clears" or self.volume < _LITTLE:
            return ""
        return f"{figures.amount(self.volume, 'ml')} {_WORDS[self.kind]}"


class Piece(NamedTuple):
    """A stretch of a tube run full of liquid: shares of its way from start to end, and the places there."""

    begin: float
    end: float
    first: Spot
    last: Spot


class Moment(NamedTuple):
    """The loop at one moment of the fill plan."""

    graph: HeightGraph
    snapshot: "FillSnapshot"
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

    air: "AirMap | None" = None
    drain: "Drain | None" = None
    moment: Moment | None = None
    is_old: bool = False

    @property
    def pockets(self) -> Iterator[Pocket]:
        """High points, or low points."""
        for high in self.air.points if self.air is not None else ():
            yield Pocket(high.at, high.verdict, from_si(high.height, "mm"), from_si(high.sill, "mm"), high.gas)
        if self.drain is None:
            return
        for low in self.drain.low_points:
            for held in low.held:
                if held.volume >= _WORTH_A_MARK * self.drain.left:
                    yield Pocket(held.at, "low", from_si(held.at.height, "mm"), from_si(low.level, "mm"), held.volume)


def tip_lines(marks: Marks | None, item: str) -> list[str]:
    """What a tool tip says of the high and low points in a part or run."""
    if marks is None:
        return []
    high = [_of_high(each) for each in (marks.air.points if marks.air is not None else ()) if each.at.item == item]
    low = [
        f"low point: {figures.amount(each.volume, 'ml')} stay on draining, up to {figures.amount(low.level, 'mm')}"
        for low in (marks.drain.low_points if marks.drain is not None else ())
        for each in low.held
        if each.at.item == item
    ]
    return high + low


def _of_high(point: "HighPoint") -> str:
    what = f"high point, {figures.amount(point.height, 'mm')} up: at most {figures.amount(point.gas, 'ml')} of air"
    if point.speed <= 0:
        return f"{what}, nothing flows there: {point.verdict}"
    spread = f"{point.stays_below:.2f} to {point.clears_above:.2f} m/s"
    return f"{what}, {point.speed:.2f} m/s against {spread}: {point.verdict}"


def _wet(piece: Piece, share: float) -> Piece:
    """The share of a passage that is wet, from its lower end on."""
    begin, end, first, last = piece
    if first.height_mm <= last.height_mm:
        return Piece(begin, begin + share * (end - begin), first, _between(first, last, share))
    return Piece(end - share * (end - begin), end, _between(last, first, share), last)


def _between(a: Spot, b: Spot, share: float) -> Spot:
    return Spot(*(one + share * (other - one) for one, other in zip(a, b, strict=True)))
