"""Seeded draws of uncertain inputs, in chunks of a fixed size, each from a random stream of its own.

So a chunk's draws depend on the seed and its number only, whoever works it out and when.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from loopsim.studies.chunks import Columns
from loopsim.studies.uncertain import Uncertain

__all__ = ["CHUNK", "Draws", "factors_of"]

FloatArray = NDArray[np.float64]

CHUNK = 1_000


class Figures(Protocol):
    """Whatever turns factors into figures."""

    def figures(self, factors: FloatArray) -> dict[str, FloatArray]:
        """Figures by key, each of shape (v,), from factors of shape (k, v)."""


@dataclass(frozen=True)
class Draws:
    """Draws of a machine's inputs, cut into chunks: calling it with a chunk's number gives the figures there.

    Attributes
    ----------
    model : Figures
    inputs : sequence of Uncertain
    count, seed : int
    """

    model: Figures
    inputs: Sequence[Uncertain]
    count: int
    seed: int

    @property
    def chunks(self) -> int:
        """How many chunks there are; all but the last of a thousand draws."""
        return -(-self.count // CHUNK)

    def factors(self, number: int) -> FloatArray:
        """On each input in one chunk, shape (k, v)."""
        return factors_of(self.inputs, number, self.seed)[:, : self.count - number * CHUNK]

    def __call__(self, number: int) -> Columns:
        return self.model.figures(self.factors(number))


def factors_of(inputs: Sequence[Uncertain], number: int, seed: int) -> FloatArray:
    """Factors of one chunk, shape (k, CHUNK): log-normal with median 1, so that none falls to 0.

    A tolerance is taken as two standard deviations: 95 % of the factors lie between ``1 / (1 + tolerance)`` and
    ``1 + tolerance``. Chunks draw from the streams that numpy's `SeedSequence` spawns from the seed.
    """
    stream = np.random.SeedSequence(seed, spawn_key=(number,))
    normal = np.random.default_rng(stream).standard_normal((len(inputs), CHUNK))
    spread = np.log1p([each.tolerance for each in inputs]) / 2
    return np.asarray(np.exp(spread[:, None] * normal))
