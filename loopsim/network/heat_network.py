"""The streams of liquid and air in which heat is carried, and what passes heat from one to another."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["HeatNetwork"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]


@dataclass(frozen=True)
class HeatNetwork:
    """Streams between nodes, and what passes heat between streams.

    Attributes
    ----------
    nodes, streams : sequence of str
        Names, n and s of them.
    start, end : ndarray, shape (s,)
        Nodes between which each stream counts positive.
    held : ndarray, shape (n,)
        Temperature above ambient where a node is held at one, not a number elsewhere [K].
    exchange_a, exchange_b : ndarray, shape (x,)
        Streams that each exchanger lies between.
    return_from, return_to : ndarray, shape (r,)
        Streams of which a part enters another stream again.
    return_share : ndarray, shape (r,)
        Of what enters the latter.
    """

    nodes: Sequence[str]
    streams: Sequence[str]
    start: IntArray
    end: IntArray
    held: FloatArray
    exchange_a: IntArray
    exchange_b: IntArray
    return_from: IntArray
    return_to: IntArray
    return_share: FloatArray

    def ends(self, rate: FloatArray) -> tuple[IntArray, IntArray]:
        """Nodes that each stream comes from and goes to at these rates, negative from end to start, shape of `rate`.

        `rate` has shape (s,) or (s, v).
        """
        forward = (rate >= 0).T
        return np.where(forward, self.start, self.end).T, np.where(forward, self.end, self.start).T
