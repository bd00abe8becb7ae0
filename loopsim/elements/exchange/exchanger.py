"""Heat between two streams that never meet."""

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.elements.exchange.effectiveness import Arrangement, law_of
from loopsim.elements.exchange.film import Film
from loopsim.errors import PartDataError

__all__ = ["PASSES", "Exchanger", "Passes"]

FloatArray = NDArray[np.float64]

Passes = Literal["one", "two side by side", "two one behind the other"]
PASSES: tuple[str, ...] = get_args(Passes)

_TINY = 1e-200  # instead of 0 below a fraction's line


@dataclass(frozen=True, slots=True)
class Exchanger:
    """A radiator, or a liquid-to-liquid exchanger: two films with a wall between them.

    ``UA = 1 / (1/hA_a + wall + 1/hA_b)``, each film at its own flow. Side a is the coolant of a radiator, side b its
    air. With two passes side a runs through two like halves one after the other: side by side, each half meets half
    of side b; one behind the other, all of side b passes the second half first (counter-cross, both streams mixed
    between the halves), so that the two run against each other as a whole.

    Parameters
    ----------
    film_a, film_b : Film
        Of the whole exchanger, against the whole flow of each side.
    wall : float
        Resistance between the films, at least 0 [K/W]; fits count it into the films.
    arrangement : str
        How the streams cross within a pass, one of `ARRANGEMENTS`.
    passes : str
        One of `PASSES`.
    misfit : float
        Root mean square of the relative misses of the points it was fitted to; 0 where it was not fitted.
    relative_tolerance : float
        Half width of the band of its conductance, as a share.

    Raises
    ------
    PartDataError
        If the wall's resistance is below 0, or the passes are unknown.
    """

    film_a: Film
    film_b: Film
    wall: float = 0.0
    arrangement: Arrangement = "cross flow"
    passes: Passes = "one"
    misfit: float = 0.0
    relative_tolerance: float = 0.0

    def __post_init__(self) -> None:
        if not self.wall >= 0:
            raise PartDataError(f"exchanger: wall must be at least 0 K/W, got {self.wall:g} K/W", field="wall")
        if self.passes not in PASSES:
            known = ", ".join(PASSES)
            raise PartDataError(f"exchanger: passes must be one of {known}, got {self.passes!r}", field="passes")

    def ua(self, flow_a: ArrayLike, flow_b: ArrayLike) -> FloatArray:
        """Conductance from stream to stream at two volume flows [m3/s], broadcast [W/K]; 0 where a film has none."""
        film_a, film_b = self.film_a.at(flow_a), self.film_b.at(flow_b)
        return _quotient(film_a * film_b, film_a + film_b + self.wall * film_a * film_b)

    def conductance(self, flow_a: ArrayLike, rate_a: ArrayLike, flow_b: ArrayLike, rate_b: ArrayLike) -> FloatArray:
        """Heat over the difference of the two inlet temperatures, effectiveness times smaller heat capacity rate.

        Parameters
        ----------
        flow_a, flow_b : array_like
            Volume flow of each side, in either direction [m3/s].
        rate_a, rate_b : array_like
            Heat capacity rate of each side, density times heat capacity times flow [W/K].

        Returns
        -------
        ndarray, the shape to which all four broadcast
            0 where either side stands still, never above either rate [W/K].
        """
        ua = self.ua(flow_a, flow_b)
        a, b = np.abs(np.asarray(rate_a, dtype=float)), np.abs(np.asarray(rate_b, dtype=float))
        if self.passes == "one":
            return self._one_pass(ua, a, b)
        if self.passes == "two side by side":
            half = self._one_pass(ua / 2, a, b / 2)
            return half * (2 - _quotient(half, a))
        half = self._one_pass(ua / 2, a, b)
        share_a, share_b = _quotient(half, a), _quotient(half, b)
        return half * _quotient(2 - share_a - share_b, 1 - share_a * share_b)

    def _one_pass(self, ua: FloatArray, rate_a: FloatArray, rate_b: FloatArray) -> FloatArray:
        smaller, larger = np.minimum(rate_a, rate_b), np.maximum(rate_a, rate_b)
        ratio, ntu = _quotient(smaller, larger), _quotient(ua, smaller)
        return law_of(self.arrangement)(ntu, ratio) * smaller


def _quotient(top: FloatArray, bottom: FloatArray) -> FloatArray:
    """Top over bottom; a top of 0 over a bottom of 0 is 0."""
    result: FloatArray = top / np.maximum(bottom, _TINY)
    return result
