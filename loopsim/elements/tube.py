"""Round tube with the fittings on it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from loopsim.elements.base import Element, column
from loopsim.elements.friction import wall_drop
from loopsim.errors import PartDataError

__all__ = ["Tube"]

FloatArray = NDArray[np.float64]

_REST = 1e-5  # velocity below which fitting losses turn linear, so that they keep a slope at rest [m/s]


@dataclass(frozen=True, slots=True)
class Tube(Element):
    """Wall friction by Darcy and Weisbach, and the losses of bends, entrance, exit and fittings.

    Parameters
    ----------
    bore, length : float
        Inner diameter and length along the centre line, above 0 [m].
    roughness : float
        Height of the wall's roughness [m].
    loss_coefficient : float
        Sum of all losses on the tube for flow from start to end, in velocity heads of the bore.
    reverse_loss_coefficient : float, optional
        The same for flow from end to start; equal if not given.

    Raises
    ------
    PartDataError
        If a value is out of range.

    References
    ----------
    Darcy and Weisbach, with the friction factor of `loopsim.elements.friction_factor`.
    """

    bore: float
    length: float
    roughness: float = 0.0
    loss_coefficient: float = 0.0
    reverse_loss_coefficient: float | None = None

    def __post_init__(self) -> None:
        for name, value in (("bore", self.bore), ("length", self.length)):
            if not (math.isfinite(value) and value > 0):
                raise PartDataError(f"tube: {name} must be above 0 m, got {value:g} m", field=name)
        for name, value in (("roughness", self.roughness), ("loss_coefficient", self.loss_coefficient)):
            if not (math.isfinite(value) and value >= 0):
                raise PartDataError(f"tube: {name} must not be negative, got {value:g}", field=name)

    @classmethod
    def bank(cls, elements: Sequence[Self]) -> "_Tubes":
        """Arrays of many tubes."""
        return _Tubes(elements)


class _Tubes:
    def __init__(self, tubes: Sequence[Tube]) -> None:
        self.bore, length = column(tubes, "bore"), column(tubes, "length")
        self.relative_roughness = column(tubes, "roughness") / self.bore
        self.wall = length / (2 * self.bore**3)  # times mu^2 / rho f Re^2 is the wall's drop
        self.forward = column(tubes, "loss_coefficient")
        reverse = [tube.reverse_loss_coefficient for tube in tubes]
        self.reverse = np.where([[k is None] for k in reverse], self.forward, [[k or 0.0] for k in reverse])
        self.per_area = 1 / (math.pi / 4 * self.bore**2)

    def evaluate(self, flow: FloatArray, density: FloatArray, viscosity: FloatArray) -> tuple[FloatArray, FloatArray]:
        v = flow * self.per_area
        per_reynolds = self.bore * density / viscosity
        drop, slope = wall_drop(np.abs(v) * per_reynolds, self.relative_roughness)
        scale = self.wall * viscosity**2 / density
        half_k_rho = 0.5 * density * np.where(v >= 0, self.forward, self.reverse)
        rounded = np.hypot(v, _REST)
        dp = scale * np.copysign(drop, v) + half_k_rho * v * rounded
        by_velocity = scale * slope * per_reynolds + half_k_rho * (rounded + v**2 / rounded)
        return dp, by_velocity * self.per_area
