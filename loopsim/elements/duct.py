"""What round tubes and rectangular channels share: walls that rub, and fittings that cost velocity heads."""

import math
from abc import abstractmethod
from collections.abc import Sequence
from typing import Self

import numpy as np
from numpy.typing import NDArray

from loopsim.elements.base import Element, column
from loopsim.elements.friction import WallFriction
from loopsim.errors import PartDataError

__all__ = ["Duct", "DuctBank"]

FloatArray = NDArray[np.float64]

_REST = 1e-5  # velocity below which fitting losses turn linear, so that they keep a slope at rest [m/s]


class Duct(Element):
    """A tube or a channel: what its bank reads from it, SI throughout."""

    __slots__ = ()

    length: float
    roughness: float
    loss_coefficient: float
    reverse_loss_coefficient: float | None
    laminar_coefficient: float

    @property
    @abstractmethod
    def area(self) -> float:
        """Cross section [m2]."""

    @property
    @abstractmethod
    def diameter(self) -> float:
        """Hydraulic diameter: four times the area over the wetted perimeter [m]."""

    @property
    @abstractmethod
    def laminar_equivalent(self) -> float:
        """What the Reynolds number is multiplied by before it enters the laws of the round tube."""

    @classmethod
    def bank(cls, elements: Sequence[Self]) -> "DuctBank":
        """Arrays of many ducts."""
        return DuctBank(elements)

    def _check(self, what: str, *lengths: str) -> None:
        """Raise PartDataError unless the named lengths are above 0 and the rest is not negative."""
        for name in lengths:
            value = getattr(self, name)
            if not (math.isfinite(value) and value > 0):
                raise PartDataError(f"{what}: {name} must be above 0 m, got {value:g} m", field=name)
        for name in ("roughness", "loss_coefficient", "reverse_loss_coefficient", "laminar_coefficient"):
            value = getattr(self, name)
            if value is not None and not (math.isfinite(value) and value >= 0):
                raise PartDataError(f"{what}: {name} must not be negative, got {value:g}", field=name)


class DuctBank:
    """Ducts of any cross section, as arrays.

    The wall's drop is ``f L/D rho v^2/2`` with f of the round tube at the equivalent Reynolds number. Fittings lose
    ``K1/Re + K`` velocity heads; the share of K1 is linear in the flow, and Re is on the hydraulic diameter.
    """

    def __init__(self, ducts: Sequence[Duct]) -> None:
        diameter, equivalent = column(ducts, "diameter"), column(ducts, "laminar_equivalent")
        self.friction = WallFriction(column(ducts, "roughness") / diameter)
        self.equivalent_diameter = equivalent * diameter
        # Times mu^2 / rho and f Re*^2 it is the wall's drop; f Re^2 is f Re*^2 over the square of the equivalent.
        self.wall = column(ducts, "length") / (2 * diameter * self.equivalent_diameter**2)
        self.laminar = column(ducts, "laminar_coefficient") / (2 * diameter)  # times mu v
        self.forward, self.reverse = column(ducts, "loss_coefficient"), column(ducts, "reverse_loss_coefficient")
        self.reverse = np.where(np.isnan(self.reverse), self.forward, self.reverse)
        self.is_symmetrical = np.array_equal(self.forward, self.reverse)
        self.per_area = 1 / column(ducts, "area")

    def evaluate(self, flow: FloatArray, density: FloatArray, viscosity: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Pressure drop and slope, see `loopsim.elements.Bank`."""
        v = flow * self.per_area
        per_reynolds = self.equivalent_diameter * density / viscosity
        drop, slope = self.friction.drop(np.abs(v) * per_reynolds)
        scale, linear = self.wall * viscosity**2 / density, self.laminar * viscosity
        k = self.forward if self.is_symmetrical else np.where(v >= 0, self.forward, self.reverse)
        half_k_rho = 0.5 * density * k
        rounded = np.sqrt(v**2 + _REST**2)
        fittings = half_k_rho * rounded
        dp = np.copysign(scale * drop, v) + v * (linear + fittings)
        # The derivative of v * rounded is 2 * rounded - rest^2 / rounded.
        by_velocity = (scale * per_reynolds) * slope + linear + 2 * fittings - half_k_rho * (_REST**2 / rounded)
        return dp, by_velocity * self.per_area
