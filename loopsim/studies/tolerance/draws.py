"""Seeded draws of uncertain inputs, in chunks of a fixed size, each from a random stream of its own.

So a chunk's draws depend on the seed and its number only, whoever works it out and when.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from loopsim.studies.tolerance.uncertain import Uncertain

__all__ = ["CHUNK", "Chunk", "each_chunk", "factors_of"]

FloatArray = NDArray[np.float64]

CHUNK = 1_000


class Figures(Protocol):
    """Whatever turns factors into figures."""

    def figures(self, factors: FloatArray) -> dict[str, FloatArray]:
        """Figures by key, each of shape (v,), from factors of shape (k, v)."""


@dataclass(frozen=True)
class Chunk:
    """Some draws: the factors on the inputs, shape (k, v), and the figures that follow, each of shape (v,)."""

    number: int
    factors: FloatArray
    figures: dict[str, FloatArray]


def each_chunk(model: Figures, inputs: Sequence[Uncertain], draws: int, seed: int, jobs: int = 1) -> Iterator[Chunk]:
    """The draws chunk by chunk in their order, so that as many as one likes take no more memory than a few chunks.

    Parameters
    ----------
    model : Figures
    inputs : sequence of Uncertain
    draws, seed : int
    jobs : int
        Processes that work at once; the draws and figures are the same for any number.
    """
    sizes = ((number, min(CHUNK, draws - first)) for number, first in enumerate(range(0, draws, CHUNK)))
    if jobs == 1:
        yield from (_worked_out(model, inputs, seed, *each) for each in sizes)
        return
    from joblib import Parallel, delayed  # loads slowly

    work = (delayed(_worked_out)(model, inputs, seed, *each) for each in sizes)
    yield from Parallel(n_jobs=jobs, return_as="generator")(work)


def _worked_out(model: Figures, inputs: Sequence[Uncertain], seed: int, number: int, size: int) -> Chunk:
    factors = factors_of(inputs, number, seed)[:, :size]
    return Chunk(number, factors, model.figures(factors))


def factors_of(inputs: Sequence[Uncertain], number: int, seed: int) -> FloatArray:
    """Factors of one chunk, shape (k, CHUNK): log-normal with median 1, so that none falls to 0.

    A tolerance is taken as two standard deviations: 95 % of the factors lie between ``1 / (1 + tolerance)`` and
    ``1 + tolerance``.
    """
    normal = np.random.default_rng([seed, number]).standard_normal((len(inputs), CHUNK))
    spread = np.log1p([each.tolerance for each in inputs]) / 2
    return np.asarray(np.exp(spread[:, None] * normal))
