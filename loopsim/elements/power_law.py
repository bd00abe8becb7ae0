"""Resistance by a power of the flow, as published pipe networks state it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from loopsim.elements.base import Element, column
from loopsim.errors import PartDataError

__all__ = ["PowerLaw"]

FloatArray = NDArray[np.float64]

_REST = 1e-12  # flow below which the law turns linear, so that it keeps a slope at rest [m3/s]


@dataclass(frozen=True, slots=True)
class PowerLaw(Element):
    """``dp = k Q |Q|^(n-1)``, whatever the medium.

    Parameters
    ----------
    k : float
        Above 0 [Pa / (m3/s)^n]; a head coefficient times density times gravity.
    n : float
        1 (laminar) to 3; 2 is the square law.

    Raises
    ------
    PartDataError
        If a value is out of range.
    """

    k: float
    n: float = 2.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.k) and self.k > 0):
            raise PartDataError(f"power law: k must be above 0, got {self.k:g}", field="k")
        if not 1 <= self.n <= 3:
            raise PartDataError(f"power law: exponent n must lie between 1 and 3, got {self.n:g}", field="n")

    @classmethod
    def bank(cls, elements: Sequence[Self]) -> "_PowerLaws":
        """Arrays of many resistances."""
        return _PowerLaws(elements)


class _PowerLaws:
    def __init__(self, elements: Sequence[PowerLaw]) -> None:
        self.k, self.n = column(elements, "k"), column(elements, "n")

    def evaluate(self, flow: FloatArray, density: FloatArray, viscosity: FloatArray) -> tuple[FloatArray, FloatArray]:  # noqa: ARG002
        rounded = np.hypot(flow, _REST)
        steepness = self.k * rounded ** (self.n - 1)
        return steepness * flow, steepness * (1 + (self.n - 1) * (flow / rounded) ** 2)
