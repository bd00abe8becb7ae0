"""The legs of a tee: losses that depend on how the flow divides, held constant while the network is solved."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from loopsim.elements.base import Element, column
from loopsim.errors import PartDataError

__all__ = ["Leg", "Legs"]

FloatArray = NDArray[np.float64]

# Share of a fitting's loss that is laminar at Reynolds 1: the two-K form of Hooper (1981) for tees. It also gives a
# leg its slope at rest.
LAMINAR_COEFFICIENT = 500.0


@dataclass(frozen=True, slots=True)
class Leg(Element):
    """One leg of a fitting, from its port to the fitting's middle, with constant losses on its own velocity.

    Parameters
    ----------
    bore : float
        Above 0 [m].
    into, out_of : float
        Loss coefficients of liquid that enters the fitting through this leg, and of liquid that leaves it, not
        below 0. Where the fitting has a law, these are only the start.

    Raises
    ------
    PartDataError
        If a value is out of range.
    """

    bore: float
    into: float = 0.3
    out_of: float = 0.6

    def __post_init__(self) -> None:
        if not (math.isfinite(self.bore) and self.bore > 0):
            raise PartDataError(f"leg: bore must be above 0 m, got {self.bore:g} m", field="bore")
        if not (self.into >= 0 and self.out_of >= 0):
            raise PartDataError(f"leg: losses must not be negative, got {self.into:g} and {self.out_of:g}")

    @classmethod
    def bank(cls, elements: Sequence[Self]) -> "Legs":
        """Arrays of many legs, whose coefficients may be replaced."""
        return Legs(elements)


class Legs:
    """Many legs; `into` and `out_of`, shape (n, 1) or (n, v), are replaced from one outer step to the next."""

    def __init__(self, legs: Sequence[Leg]) -> None:
        self.bore = column(legs, "bore")
        self.per_area = 1 / (math.pi / 4 * self.bore**2)
        self.into, self.out_of = column(legs, "into"), column(legs, "out_of")

    def evaluate(self, flow: FloatArray, density: FloatArray, viscosity: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Pressure drop from port to middle and its slope, see `Bank`."""
        v = flow * self.per_area
        laminar = LAMINAR_COEFFICIENT * viscosity / (2 * self.bore)
        k_rho = density * np.where(v >= 0, self.into, self.out_of)
        return v * (laminar + 0.5 * k_rho * np.abs(v)), (laminar + k_rho * np.abs(v)) * self.per_area
