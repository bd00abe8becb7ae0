"""Heat from a component's contact face through a cold plate into the coolant."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.elements.exchange import Film
from loopsim.errors import PartDataError

__all__ = ["BlockCooling"]

FloatArray = NDArray[np.float64]

_USUAL_EXPONENT, _SPREAD, _TRUST = 0.5, 0.3, 0.01
_STEPS = 1001  # exponents tried


@dataclass(frozen=True, slots=True)
class BlockCooling:
    """Thermal resistance of a block, finite at rest and falling with the flow.

    ``R = base + 1 / (still + hA(flow))``, from the contact face to the mean of entering and leaving coolant. A
    component's own joint comes on top of it, once for each component.

    Parameters
    ----------
    base : float
        Conduction through the metal, whatever flows, at least 0 [K/W].
    still : float
        Conductance into standing coolant, above 0 [W/K]; an estimate, for no maker states it.
    film : Film
        What flow adds.
    misfit : float
        Root mean square of the relative misses of the points it was fitted to.
    relative_tolerance : float
        Half width of the band of the resistance, as a share.

    Raises
    ------
    PartDataError
        If a value is out of range.
    """

    base: float
    still: float
    film: Film
    misfit: float = 0.0
    relative_tolerance: float = 0.0

    def __post_init__(self) -> None:
        if not 0 <= self.base < np.inf:
            raise PartDataError(f"block: base must be at least 0 K/W, got {self.base:g} K/W", field="base")
        if not 0 < self.still < np.inf:
            raise PartDataError(f"block: still must be above 0 W/K, got {self.still:g} W/K", field="still")

    def film_conductance(self, flow: ArrayLike) -> FloatArray:
        """From metal to coolant at a flow in either direction [m3/s], shape of `flow` [W/K]."""
        return self.still + self.film.at(flow)

    def resistance(self, flow: ArrayLike) -> FloatArray:
        """From contact face to mean coolant at a flow in either direction [m3/s], shape of `flow` [K/W]."""
        return self.base + 1 / self.film_conductance(flow)

    def inlet_share(self, flow: ArrayLike, rate: ArrayLike) -> FloatArray:
        """Weight of the entering against the leaving coolant in the temperature that the metal meets, 0 to 0.5.

        Half, so that it is their mean, as long as the stream's heat capacity rate [W/K] is above half of the film's
        conductance at this flow [m3/s]. In a trickle less, or the coolant would leave warmer than the metal.
        """
        share = np.abs(np.asarray(rate, dtype=float)) / self.film_conductance(flow)
        return np.asarray(np.minimum(0.5, share))

    @classmethod
    def from_one_point(
        cls, flow: float, resistance: float, exponent: float, still_share: float, relative_tolerance: float = 0.0
    ) -> Self:
        """From the resistance at one flow and how fast it falls there.

        Parameters
        ----------
        flow, resistance : float
            Above 0 [m3/s], [K/W].
        exponent : float
            Share of a rise of flow by which the resistance falls there, 0 to 1; above ``1 - still_share`` it is held,
            for no film rises faster than its flow.
        still_share : float
            Conductance into standing coolant over that at `flow`, above 0, below 1; a guess.
        relative_tolerance : float
            Band to be carried on.

        Raises
        ------
        PartDataError
            If a value is out of range.
        """
        _check(np.array([flow]), np.array([resistance]), still_share)
        steeper = min(exponent / (1 - still_share), 1.0)  # the standing part does not follow the flow
        film = Film((1 - still_share) / resistance, flow, steeper)
        return cls(0.0, still_share / resistance, film, 0.0, relative_tolerance)

    @classmethod
    def from_points(
        cls, flow: ArrayLike, resistance: ArrayLike, still_share: float, relative_tolerance: float = 0.0
    ) -> Self:
        """From the resistance at several flows, by least squares of the relative misses.

        Two points tell the exponent of the film, three or more the conduction through the metal too. Where points
        can hardly tell the two apart, an exponent near 0.5 is taken.

        Parameters
        ----------
        flow, resistance : array_like, shape (k,), k >= 2
            Flow above 0, rising; resistance to the mean coolant, above 0, not rising [m3/s], [K/W].
        still_share : float
            Conductance into standing coolant over that at the first flow, above 0, below 1; a guess.
        relative_tolerance : float
            Band to be carried on.

        Raises
        ------
        PartDataError
            If there are less than two points, or a value is out of range.
        """
        flow, resistance = np.asarray(flow, dtype=float), np.asarray(resistance, dtype=float)
        _check(flow, resistance, still_share)
        if len(flow) < 2:
            raise PartDataError(f"block: a fit needs at least 2 points, got {len(flow)}", field="points")
        exponents = np.linspace(0.0, 1.0, _STEPS)
        shape = 1 / (still_share + (1 - still_share) * (flow / flow[0]) ** exponents[:, None])
        base, top, misfit = _lines(shape / resistance, 1 / resistance, with_base=len(flow) > 2)
        best = int(np.argmin(misfit**2 + (_TRUST * (exponents - _USUAL_EXPONENT) / _SPREAD) ** 2 / len(flow)))
        film = Film(float((1 - still_share) / top[best]), float(flow[0]), float(exponents[best]))
        return cls(float(base[best]), float(still_share / top[best]), film, float(misfit[best]), relative_tolerance)


def _lines(x: FloatArray, w: FloatArray, with_base: bool) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Least squares of ``base * w + top * x = 1``, base at least 0, for many x, shape (m, k); each result (m,).

    The third is the root mean square of the misses.
    """
    top, base = np.sum(x, axis=1) / np.sum(x * x, axis=1), np.zeros(len(x))
    if with_base:
        xx, ww, xw, sx, sw = np.sum(x * x, axis=1), np.sum(w * w), x @ w, np.sum(x, axis=1), np.sum(w)
        determinant = xx * ww - xw**2
        usable = determinant > 1e-9 * xx * ww
        safe = np.where(usable, determinant, 1.0)
        free_base, free_top = (xx * sw - xw * sx) / safe, (ww * sx - xw * sw) / safe
        both = usable & (free_base > 0) & (free_top > 0)
        base, top = np.where(both, free_base, base), np.where(both, free_top, top)
    misses = base[:, None] * w + top[:, None] * x - 1
    return base, top, np.sqrt(np.mean(misses**2, axis=1))


def _check(flow: FloatArray, resistance: FloatArray, still_share: float) -> None:
    if not (np.all(flow > 0) and np.all(np.diff(flow) > 0)):
        raise PartDataError("block: flows must rise from above 0 m3/s", field="points")
    if not (np.all(resistance > 0) and np.all(np.diff(resistance) <= 0)):
        raise PartDataError("block: resistances must be above 0 K/W and must not rise with the flow", field="points")
    if not 0 < still_share < 1:
        raise PartDataError(
            f"block: the share into standing coolant must lie between 0 and 1, got {still_share:g}",
            field="still_percent",
        )
