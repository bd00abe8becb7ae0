"""What drawings over an axis share: round steps, and lines as labels see them."""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

__all__ = ["dotted", "round_step"]

FloatArray = NDArray[np.float64]

_ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)


def round_step(least: float) -> float:
    """The next round number, 1, 2, 2.5 or 5 with zeros."""
    power: float = 10.0 ** float(np.floor(np.log10(max(least, 1e-3))))
    return next(size * power for size in _ROUND if size * power >= max(least, 1e-3) * (1 - 1e-9))


def dotted(points: FloatArray) -> FloatArray:
    """Points along a line, close enough that no label slips between two."""
    return np.concatenate([np.linspace(a, b, 8) for a, b in pairwise(points)])
