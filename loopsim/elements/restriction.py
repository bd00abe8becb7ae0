"""A part known by points of pressure drop against flow."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from loopsim.curves import CurveBank, RisingDrop, rising_drop
from loopsim.elements.base import Element
from loopsim.media import State

__all__ = ["Restriction"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Restriction(Element):
    """Pressure drop from points, scaled by similarity to the medium that flows.

    Make it with `from_points`.
    """

    law: RisingDrop

    @classmethod
    def from_points(cls, flow: Sequence[float], dp: Sequence[float], state: State, exponent: float = 1.85) -> Self:
        """Restriction through measured points.

        Parameters
        ----------
        flow, dp : sequence of float, length k >= 1
            Both rising and above 0 [m3/s], [Pa].
        state : State
            Density and viscosity of the medium on which the points were taken.
        exponent : float
            Slope of log dp over log flow, 1 to 2, used where there is only one point.

        Raises
        ------
        PartDataError
            No points, or flows or drops that do not rise from above 0.
        """
        return cls(rising_drop(flow, dp, state.density, state.viscosity, exponent))

    @classmethod
    def bank(cls, elements: Sequence[Self]) -> "_Restrictions":
        """Arrays of many restrictions."""
        return _Restrictions(elements)


class _Restrictions:
    def __init__(self, elements: Sequence[Restriction]) -> None:
        self.curves = CurveBank([element.law.curve for element in elements])

    def evaluate(self, flow: FloatArray, density: FloatArray, viscosity: FloatArray) -> tuple[FloatArray, FloatArray]:
        dp, slope = self.curves.evaluate(flow * (density / viscosity))
        return dp * (viscosity**2 / density), slope * viscosity
