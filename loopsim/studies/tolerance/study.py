"""How sure is it: all inputs drawn within their bands, and what that does to flow and temperatures."""

from collections.abc import Callable, Collection, Mapping, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build
from loopsim.errors import SketchError
from loopsim.studies.chunks import HERE, Columns, Kept, Workers, each_kept, fingerprint
from loopsim.studies.heat.point import heat_point
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.sentence import figure, quantity
from loopsim.studies.tolerance.draws import Draws
from loopsim.studies.tolerance.model import Model
from loopsim.studies.tolerance.results import Band, Share, Tolerance
from loopsim.studies.tolerance.sensitivity import first_order
from loopsim.studies.tolerance.tally import Tally
from loopsim.studies.uncertain import LOAD_TOLERANCE, Uncertain, uncertainties
from loopsim.studies.words import l_h

__all__ = ["tolerance"]

FloatArray = NDArray[np.float64]
OnChunk = Callable[[Columns], object]

MOST_DRAWS = 10_000_000
_EXPLAINED = ("flow_l_h", "margin_k", "coolant_rise_k")  # figures whose inputs are ranked
_RANKED = 10  # chunks from which they are ranked: more tells no more


def tolerance(
    build: Build,
    layout_name: str | None = None,
    case_name: str | None = None,
    stopped: Collection[str] = (),
    draws: int = 10_000,
    seed: int = 0,
    load_tolerance: float = LOAD_TOLERANCE,
    on_chunk: OnChunk | None = None,
    workers: Workers = HERE,
    keep_in: Path | None = None,
) -> Tolerance:
    """Draw every curve, bore and load within its tolerance and solve flow, air and heat for each draw.

    Without components, and where heat has no way out, the flow alone is told. Memory does not grow with the draws.

    Parameters
    ----------
    build : Build
    layout_name, case_name : str, optional
        The first layout and the first load case if not given.
    stopped : collection of str
        Ids of pumps and fans without power.
    draws : int
        1 to 10 million.
    seed : int
        The same seed gives the same draws; at least 0.
    load_tolerance : float
        Half width of the band of the heat of components on blocks, as a share.
    on_chunk : callable, optional
        Called in their order with the figures of each thousand draws, by key: to show progress, to write them down;
        what it raises ends the study.
    workers : Workers
        They change nothing but the time.
    keep_in : Path, optional
        Folder for finished chunks; the same study takes up there what was cut short. Removed at the end.

    Raises
    ------
    SketchError
        As `heat_point`; for draws, seed or tolerance out of range; where the middle comes to no steady state.
    FileError, WorkerError
        As `Kept` and `each_done`.
    NotSolved
        Never for a reason of the sketch; a defect of ours.
    """
    _check(draws, seed, load_tolerance)
    heat = heat_point(build, layout_name, case_name, stopped)
    if heat.components and not heat.is_steady:
        raise SketchError(f"layout {heat.point.layout.name!r}: heat has no way out, so there is nothing to spread")
    inputs = uncertainties(heat.coupled.thermal, load_tolerance)
    drawn = Draws(Model(heat, inputs), inputs, draws, seed)
    kept = None if keep_in is None else Kept(keep_in, _made_from(heat, drawn, load_tolerance))
    counted = _Counted()
    for figures in each_kept(drawn, drawn.chunks, workers, kept):
        counted.add(figures)
        if on_chunk is not None:
            on_chunk(figures)
    if kept is not None:
        kept.remove()
    return _told(heat, drawn, counted)


class _Counted:
    """What is left of the chunks: the spread of every figure, and the first of some in full."""

    def __init__(self) -> None:
        self.chunks = self.within = 0
        self.tallies: dict[str, Tally] = {}
        self._first: dict[str, list[FloatArray]] = {}

    def add(self, figures: Columns) -> None:
        for key, values in figures.items():
            self.tallies.setdefault(key, Tally()).add(values)
            if key in _EXPLAINED and self.chunks < _RANKED:
                self._first.setdefault(key, []).append(values)
        if "margin_k" in figures:
            self.within += int((figures["margin_k"] >= 0).sum())
        self.chunks += 1

    @property
    def first(self) -> dict[str, FloatArray]:
        """Of the figures whose inputs are ranked, as many draws as are looked at."""
        return {key: np.concatenate(values) for key, values in self._first.items()}


def _told(heat: HeatPoint, drawn: Draws, counted: _Counted) -> Tolerance:
    inputs = drawn.inputs
    middle = drawn.model.figures(np.ones((len(inputs), 1)))
    bands = tuple(tally.band(key, float(middle[key][0])) for key, tally in counted.tallies.items())
    within = counted.within / drawn.count if "margin_k" in middle else None
    factors = np.concatenate([drawn.factors(number) for number in range(min(drawn.chunks, _RANKED))], axis=1)
    shares = _shares(inputs, factors, counted.first)
    sentence = _sentence(bands, within, shares)
    return Tolerance(heat, tuple(inputs), drawn.count, drawn.seed, bands, within, shares, sentence)


def _made_from(heat: HeatPoint, drawn: Draws, load_tolerance: float) -> str:
    layout, thermal = heat.point.layout, heat.coupled.thermal
    stopped = sorted({*thermal.loop.stopped, *thermal.air.stopped})
    options = [layout.name, heat.case.name, stopped, drawn.count, drawn.seed, load_tolerance]
    return fingerprint(heat.point.build, study="tolerance", options=options)


def _check(draws: int, seed: int, load_tolerance: float) -> None:
    if not 1 <= draws <= MOST_DRAWS:
        raise SketchError(f"tolerance: draws must be 1 to {MOST_DRAWS:,}, got {draws:,}")
    if seed < 0:
        raise SketchError(f"tolerance: the seed must be at least 0, got {seed}")
    if not 0 <= load_tolerance <= 1:
        raise SketchError(f"tolerance: that of loads must be 0 to 1, got {load_tolerance:g}; 0.1 is ±10 %")


def _shares(
    inputs: Sequence[Uncertain], factors: FloatArray, figures: Mapping[str, FloatArray]
) -> dict[str, tuple[Share, ...]]:
    found = {}
    for key, values in figures.items():
        shares = first_order(factors, values)
        both = (Share(each, float(share)) for each, share in zip(inputs, shares, strict=True))
        found[key] = tuple(sorted(both, key=lambda each: -each.share))
    return found


def _sentence(bands: Sequence[Band], within: float | None, shares: Mapping[str, tuple[Share, ...]]) -> str:
    by_key = {band.key: band for band in bands}
    flow, margin = by_key["flow_l_h"], by_key.get("margin_k")
    words = f"In 95 of 100 machines {l_h(flow.low)} to {l_h(flow.high)} flow"
    if margin is None or within is None:
        return f"{words}."
    left = f"{figure(margin.low, 'k', 1)} to {quantity(margin.high, 'k', 1)} left to its limit"
    words += f" and the warmest component has {left}"
    first = shares["margin_k"][0] if shares["margin_k"] else None
    matters = f"; most of the spread of temperatures comes from {first.input.name}" if first and first.share else ""
    return f"{words}; all limits hold in {within * 100:.0f} of 100{matters}."
