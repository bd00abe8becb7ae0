"""How sure is it: all inputs drawn within their bands, and what that does to flow and temperatures."""

from collections.abc import Callable, Collection, Sequence

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build
from loopsim.errors import SketchError
from loopsim.studies.heat.point import heat_point
from loopsim.studies.tolerance.draws import Chunk, each_chunk
from loopsim.studies.tolerance.model import Model
from loopsim.studies.tolerance.results import Band, Share, Tolerance
from loopsim.studies.tolerance.sensitivity import first_order
from loopsim.studies.tolerance.uncertain import LOAD_TOLERANCE, Uncertain, uncertainties
from loopsim.studies.words import l_h

__all__ = ["tolerance"]

FloatArray = NDArray[np.float64]

MOST_DRAWS = 10_000_000
MOST_JOBS = 256
_EXPLAINED = ("flow_l_h", "margin_k", "coolant_rise_k")  # figures whose inputs are ranked
_RANKED = 20  # chunks from which they are ranked: more tells no more


def tolerance(
    build: Build,
    layout_name: str | None = None,
    case_name: str | None = None,
    stopped: Collection[str] = (),
    draws: int = 10_000,
    seed: int = 0,
    load_tolerance: float = LOAD_TOLERANCE,
    on_chunk: Callable[[Chunk], object] | None = None,
    jobs: int = 1,
) -> Tolerance:
    """Draw every curve, bore and load within its tolerance and solve flow, air and heat for each draw.

    Without components, and where heat has no way out, the flow alone is told.

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
        Called with each thousand draws as they are solved: to show progress, to write them down; what it raises
        ends the study.
    jobs : int
        Processes that work at once, at least 1; they change nothing but the time, and pay from some 10,000 draws on.

    Raises
    ------
    SketchError
        As `heat_point`; for draws, seed, tolerance or jobs out of range; where the middle comes to no steady state.
    NotSolved
        Never for a reason of the sketch; a defect of ours.
    """
    _check(draws, seed, load_tolerance, jobs)
    heat = heat_point(build, layout_name, case_name, stopped)
    if heat.components and not heat.is_steady:
        raise SketchError(f"layout {heat.point.layout.name!r}: heat has no way out, so there is nothing to spread")
    inputs = uncertainties(heat.coupled.thermal, load_tolerance)
    model = Model(heat, inputs)
    ranked, pieces = [], []
    for chunk in each_chunk(model, inputs, draws, seed, jobs):
        if on_chunk is not None:
            on_chunk(chunk)
        pieces.append(chunk.figures)
        if chunk.number < _RANKED:
            ranked.append(chunk.factors)
    figures = {key: np.concatenate([piece[key] for piece in pieces]) for key in pieces[0]}
    middle = model.figures(np.ones((len(inputs), 1)))
    bands = tuple(_band(key, float(middle[key][0]), values) for key, values in figures.items())
    within = float((figures["margin_k"] >= 0).mean()) if "margin_k" in figures else None
    shares = _shares(inputs, np.concatenate(ranked, axis=1), figures)
    return Tolerance(heat, inputs, draws, seed, bands, within, shares, _sentence(bands, within, shares))


def _check(draws: int, seed: int, load_tolerance: float, jobs: int) -> None:
    if not 1 <= draws <= MOST_DRAWS:
        raise SketchError(f"tolerance: draws must be 1 to {MOST_DRAWS:,}, got {draws:,}")
    if not 1 <= jobs <= MOST_JOBS:
        raise SketchError(f"tolerance: jobs must be 1 to {MOST_JOBS}, got {jobs}")
    if seed < 0:
        raise SketchError(f"tolerance: the seed must be at least 0, got {seed}")
    if not 0 <= load_tolerance <= 1:
        raise SketchError(f"tolerance: that of loads must be 0 to 1, got {load_tolerance:g}; 0.1 is ±10 %")


def _band(key: str, middle: float, values: FloatArray) -> Band:
    low, median, high = np.quantile(values, [0.025, 0.5, 0.975]).tolist()
    deviation = float(values.std(ddof=1)) if len(values) > 1 else 0.0
    return Band(key, middle, float(values.mean()), deviation, low, median, high)


def _shares(
    inputs: Sequence[Uncertain], factors: FloatArray, figures: dict[str, FloatArray]
) -> dict[str, tuple[Share, ...]]:
    names, count = [each.key for each in inputs], factors.shape[1]
    found = {}
    for key in (each for each in _EXPLAINED if each in figures):
        shares = first_order(names, factors, figures[key][:count])
        both = (Share(each, float(share)) for each, share in zip(inputs, shares, strict=True))
        found[key] = tuple(sorted(both, key=lambda each: -each.share))
    return found


def _sentence(bands: Sequence[Band], within: float | None, shares: dict[str, tuple[Share, ...]]) -> str:
    by_key = {band.key: band for band in bands}
    flow, margin = by_key["flow_l_h"], by_key.get("margin_k")
    words = f"In 95 of 100 machines {l_h(flow.low)} to {l_h(flow.high)} flow"
    if margin is None or within is None:
        return f"{words}."
    words += f" and the warmest component has {margin.low:.1f} to {margin.high:.1f} K left to its limit"
    first = shares["margin_k"][0] if shares["margin_k"] else None
    matters = f"; most of the spread of temperatures comes from {first.input.name}" if first and first.share else ""
    return f"{words}; all limits hold in {within * 100:.0f} of 100{matters}."
