"""Spread of a figure from values that come in portions, in memory that does not grow with their number."""

import numpy as np
from numpy.typing import NDArray

from loopsim.studies.tolerance.results import Band

__all__ = ["Tally"]

FloatArray = NDArray[np.float64]

_BINS = 1 << 16
_REACH = 12.0  # half width of what the bins cover, in standard deviations of the first portion
_ONE_SIDED = 0.158655  # of a normal distribution lies more than one standard deviation below


class Tally:
    """Mean, deviation and quantiles of a figure.

    Values are counted in bins that the first portion lays out, each 1/2700 of its deviation wide; between the edges of
    a bin they count as evenly spread. So a quantile is off by no more than a bin, far less than any number of draws
    tells it to. What falls outside the bins is known by the least and the largest value.

    References
    ----------
    Means and variances of portions put together: Chan, Golub and LeVeque (1983).
    """

    def __init__(self) -> None:
        self.count, self.mean, self._squares = 0, 0.0, 0.0
        self.least, self.most = np.inf, -np.inf
        self._edges = np.empty(0)
        self._counts = np.zeros(_BINS + 2, dtype=np.int64)

    def add(self, values: FloatArray) -> None:
        """Count a portion, shape (v,), v at least 1; the first should be typical of all."""
        if not self.count:
            self._edges = _edges_for(values)
        self.least, self.most = min(self.least, float(values.min())), max(self.most, float(values.max()))
        np.add.at(self._counts, np.searchsorted(self._edges, values, side="right"), 1)
        count, mean = len(values), float(values.mean())
        both, apart = self.count + count, mean - self.mean
        self._squares += float(((values - mean) ** 2).sum()) + apart**2 * self.count * count / both
        self.mean += apart * count / both
        self.count = both

    @property
    def deviation(self) -> float:
        """Standard deviation; 0 of one value."""
        return float(np.sqrt(self._squares / (self.count - 1))) if self.count > 1 else 0.0

    def quantile(self, share: float) -> float:
        """The value below which this share of all lies."""
        edges = np.concatenate(([self.least], self._edges, [self.most])).clip(self.least, self.most)
        below = np.concatenate(([0], np.cumsum(self._counts)))
        return float(np.interp(share * self.count, below, edges))

    def band(self, key: str, middle: float) -> Band:
        """The spread as it is told."""
        low, median, high = (self.quantile(share) for share in (0.025, 0.5, 0.975))
        return Band(key, middle, self.mean, self.deviation, low, median, high)


def _edges_for(values: FloatArray) -> FloatArray:
    """Edges of the bins around the middle of some values."""
    low, middle, high = np.quantile(values, [_ONE_SIDED, 0.5, 1 - _ONE_SIDED]).tolist()
    reach = _REACH * max((high - low) / 2, 1e-12 * abs(middle), 1e-300)
    return np.linspace(middle - reach, middle + reach, _BINS + 1)
