"""An exchanger from what it passed in tests."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loopsim.curves import HeatPoints
from loopsim.elements.exchange.effectiveness import Arrangement
from loopsim.elements.exchange.exchanger import Exchanger, Passes
from loopsim.elements.exchange.film import Film
from loopsim.errors import PartDataError

__all__ = ["PLATES", "RADIATOR", "FilmGuess", "fit_exchanger"]

FloatArray = NDArray[np.float64]

_CLOSE = 1e-12  # of the fit: the same data must give the same law to the last digit that shows
_TRUST = 0.005  # relative miss of a point that weighs as much as a guess off by its own spread
_LOW, _HIGH = np.array([-np.inf, -np.inf, 0.0, 0.0]), np.array([np.inf, np.inf, 1.0, 1.0])
_MOST_UA = 1e3  # times the smaller rate; no real core comes near


@dataclass(frozen=True, slots=True)
class FilmGuess:
    """What is known of the films before any test, each number with its spread.

    Points decide wherever they can; the guess only fills what they leave open, such as the exponents behind a single
    rating.

    Attributes
    ----------
    ratio, ratio_spread : float
        ``hA_a / hA_b``, and the factor by which it may lie off.
    exponent_a, exponent_b, spread_a, spread_b : float
        Exponents of the two films.
    """

    ratio: float
    ratio_spread: float
    exponent_a: float
    spread_a: float
    exponent_b: float
    spread_b: float

    def misses(self, log_ratio: float, exponent_a: float, exponent_b: float) -> tuple[float, float, float]:
        """How far three values lie off, in spreads."""
        return (
            (log_ratio - np.log(self.ratio)) / np.log(self.ratio_spread),
            (exponent_a - self.exponent_a) / self.spread_a,
            (exponent_b - self.exponent_b) / self.spread_b,
        )


# Guesses. Most of a radiator's resistance lies on the air; its fins are short (flow that has not developed, 0.5), its
# flat tubes run between laminar and disturbed. Corrugated plates: exponents of 0.65 to 0.75 are common practice.
RADIATOR = FilmGuess(ratio=6.0, ratio_spread=2.0, exponent_a=0.4, spread_a=0.2, exponent_b=0.5, spread_b=0.15)
PLATES = FilmGuess(ratio=1.0, ratio_spread=1.3, exponent_a=0.7, spread_a=0.1, exponent_b=0.7, spread_b=0.1)


def fit_exchanger(
    points: HeatPoints,
    guess: FilmGuess = RADIATOR,
    arrangement: Arrangement = "cross flow",
    passes: Passes = "one",
    relative_tolerance: float = 0.0,
) -> Exchanger:
    """The exchanger that passes at each point what was measured there.

    Heat over the difference of the inlets is no UA: each point is read through the effectiveness at its two heat
    capacity rates. One point is met exactly; several in the least squares of the relative misses, which are kept.
    Exponents stay within 0 and 1. What the points do not tell (a single liquid flow says nothing of the liquid's
    film) stays at the guess.

    Parameters
    ----------
    points : HeatPoints
        At least one.
    guess : FilmGuess
        `RADIATOR` or `PLATES`, or another.
    arrangement, passes : str
        As of `Exchanger`.
    relative_tolerance : float
        Band to be carried on.

    Returns
    -------
    Exchanger
        With its `misfit`.

    Raises
    ------
    PartDataError
        If there is no point, or one passes more than a stream can carry or than two such streams can exchange; the
        message names the flow that would be needed.
    """
    _check(points, arrangement, passes)
    start = [np.log(3 * np.mean(points.conductance)), np.log(guess.ratio), guess.exponent_a, guess.exponent_b]

    def misses(values: FloatArray) -> FloatArray:
        made = _exchanger(values, points, arrangement, passes)
        return np.append(_relative_misses(made, points) / _TRUST, guess.misses(*values[1:]))

    from scipy.optimize import least_squares  # loads slowly

    found = least_squares(misses, np.array(start), bounds=(_LOW, _HIGH), xtol=_CLOSE, ftol=_CLOSE, gtol=_CLOSE)
    made = _exchanger(found.x, points, arrangement, passes)
    misfit = float(np.sqrt(np.mean(_relative_misses(made, points) ** 2)))
    return replace(made, misfit=misfit, relative_tolerance=relative_tolerance)


def _exchanger(values: FloatArray, points: HeatPoints, arrangement: Arrangement, passes: Passes) -> Exchanger:
    """From log UA at the mean flows, log of the films' ratio, and the two exponents."""
    log_ua, log_ratio, exponent_a, exponent_b = (float(value) for value in values)
    ua, ratio = float(np.exp(log_ua)), float(np.exp(log_ratio))
    return Exchanger(
        Film(ua * (1 + ratio), _middle(points.flow_a), exponent_a),
        Film(ua * (1 + 1 / ratio), _middle(points.flow_b), exponent_b),
        arrangement=arrangement,
        passes=passes,
    )


def _relative_misses(made: Exchanger, points: HeatPoints) -> FloatArray:
    ours = made.conductance(points.flow_a, points.rate_a, points.flow_b, points.rate_b)
    misses: FloatArray = np.log(ours / points.conductance)
    return misses


def _middle(flow: FloatArray) -> float:
    return float(np.exp(np.mean(np.log(flow))))


def _check(points: HeatPoints, arrangement: Arrangement, passes: Passes) -> None:
    if len(points.conductance) == 0:
        raise PartDataError("exchanger: needs at least 1 point, got 0", field="points")
    problem = points.impossible()
    if problem:
        raise PartDataError(f"exchanger: {problem}", field="points")
    smaller = np.minimum(points.rate_a, points.rate_b)
    for row, most in enumerate(_most(points, smaller, arrangement, passes)):
        if points.conductance[row] >= most:
            raise PartDataError(
                f"exchanger: row {row + 1}: {points.conductance[row]:.3g} W/K is more than any exchanger with "
                f"{arrangement}, passes: {passes}, exchanges between these flows, {most:.3g} W/K; check the flows",
                field="points",
            )


def _most(points: HeatPoints, smaller: FloatArray, arrangement: Arrangement, passes: Passes) -> FloatArray:
    """What an exchanger of endless area would pass at each point [W/K]."""
    rows = zip(points.flow_a, points.rate_a, points.flow_b, points.rate_b, smaller, strict=True)
    endless = (
        Exchanger(Film(_MOST_UA * s, a, 0.0), Film(_MOST_UA * s, b, 0.0), 0.0, arrangement, passes).conductance(
            a, rate_a, b, rate_b
        )
        for a, rate_a, b, rate_b, s in rows
    )
    return np.array([float(each) for each in endless])
