"""An opening of known free area: hole, gap, grille, the rotor of a standing fan."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from loopsim.elements.base import Element, column
from loopsim.errors import PartDataError

__all__ = ["Opening"]

FloatArray = NDArray[np.float64]

_REST = 1e-4  # drop around which the square law turns into a line, so that there is a slope at rest [Pa]


@dataclass(frozen=True, slots=True)
class Opening(Element):
    """Square law from a free area: ``dp = K rho/2 (Q/A)^2``.

    Rounded to a straight line about rest; from 0.05 Pa on the rounding adds less than 0.1 %. Odd in the flow. Holds
    where the jet is turbulent; through gaps of less than a millimetre friction comes on top.

    Parameters
    ----------
    area : float
        Free area, above 0 [m2].
    loss_coefficient : float
        K, above 0, on the velocity in the free area. Between two wide spaces it holds the whole of the jet's velocity
        head; for an orifice of discharge coefficient C it is ``1 / C^2``.

    Raises
    ------
    PartDataError
        If a value is not above 0.

    References
    ----------
    Definition of the loss coefficient, as in Idelchik, Handbook of Hydraulic Resistance, for ``K`` on the velocity in
    the narrow section.
    """

    area: float
    loss_coefficient: float

    def __post_init__(self) -> None:
        for name, unit in (("area", " m2"), ("loss_coefficient", "")):
            value = getattr(self, name)
            if not (math.isfinite(value) and value > 0):
                raise PartDataError(f"opening: {name} must be above 0{unit}, got {value:g}{unit}", field=name)

    @classmethod
    def bank(cls, elements: Sequence[Self]) -> "_Openings":
        """Arrays of many openings."""
        return _Openings(elements)


class _Openings:
    def __init__(self, openings: Sequence[Opening]) -> None:
        self.square = column(openings, "loss_coefficient") / (2 * column(openings, "area") ** 2)

    def evaluate(self, flow: FloatArray, density: FloatArray, viscosity: FloatArray) -> tuple[FloatArray, FloatArray]:  # noqa: ARG002
        square = self.square * density
        rounded = np.hypot(flow, np.sqrt(_REST / square))
        return square * flow * rounded, square * (rounded + flow**2 / rounded)
