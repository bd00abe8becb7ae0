"""The legs of a tee: losses that depend on how the flow divides, held constant while the network is solved."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from loopsim.elements.base import Element, column
from loopsim.errors import PartDataError

__all__ = ["Leg", "Legs", "TeeLaw"]

FloatArray = NDArray[np.float64]

# Share of a fitting's loss that is laminar at Reynolds 1: the two-K form of Hooper (1981) for tees. It also gives a
# leg its slope at rest.
LAMINAR_COEFFICIENT = 500.0
_MOST = 1e3  # coefficient on a leg's own velocity; only legs with less than 3 % of the flow come near it


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


@dataclass(frozen=True, slots=True)
class TeeLaw:
    """Losses of a tee with a branch at right angles, by how the flow divides.

    Parameters
    ----------
    run_bore, branch_bore : float
        [m]

    References
    ----------
    Run and branch against each other: Crane TP-410 (2009), tees, as in the `fluids` library, with which
    tests/reference/test_losses.py compares; between branch fractions 0.389 and 0.4 the larger of its two coefficients
    is taken, so that there is no jump. All of the flow through the branch, from or to both ends of the run: Idelchik,
    symmetrical tees; from memory.
    """

    run_bore: float
    branch_bore: float

    def coefficients(self, flow: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Loss coefficient of each leg on its own velocity.

        Parameters
        ----------
        flow : ndarray, shape (3, v)
            Into the tee through both ends of the run and through the branch [m3/s].

        Returns
        -------
        coefficient : ndarray, shape (3, v)
            For the direction in which each leg flows; 0 in the leg that carries all of the flow. Not below 0.
        raw : ndarray, shape (3, v)
            The same on the velocity of the whole flow, as published: it may be negative.
        """
        size = np.abs(flow)
        whole = size.argmax(axis=0)
        columns = np.arange(flow.shape[1])
        total = np.maximum(size[whole, columns], 1e-15)
        joins = flow[whole, columns] < 0
        raw = np.zeros_like(flow)
        for leg, other in ((0, 1), (1, 0)):
            here = whole == leg  # all of the flow passes this end of the run
            share = size[2] / total
            raw[2] = np.where(here, self._branch(share, joins), raw[2])
            raw[other] = np.where(here, self._run(share, joins), raw[other])
        through_branch = whole == 2
        for leg in (0, 1):
            raw[leg] = np.where(through_branch, self._symmetrical(size[leg] / total, joins), raw[leg])
        area = np.array([[self.run_bore**2], [self.run_bore**2], [self.branch_bore**2]])
        velocity = size / area / (total / area[whole, 0])  # of each leg, over that of the whole flow
        on_own = np.maximum(raw, 0.0) / np.maximum(velocity, 1e-9) ** 2
        return np.minimum(on_own, _MOST), raw

    @property
    def _area_ratio(self) -> float:
        return (self.branch_bore / self.run_bore) ** 2

    def _branch(self, share: FloatArray, joins: NDArray[np.bool_]) -> FloatArray:
        beta2 = self._area_ratio
        start = np.ones_like(share) if beta2 <= 0.35 else np.maximum(0.9 * (1 - share), 0.55)
        joining = start * (1 + (share / beta2) ** 2 - 2 * (1 - share) ** 2)
        grown = 1.0 if beta2 <= 2 / 3 else 1 + 0.3 * share**2
        factor = 1.0 if math.sqrt(beta2) <= 2 / 3 else 0.3
        dividing = grown * (1 + factor * (share / beta2) ** 2)
        return np.where(joins, joining, dividing)

    def _run(self, share: FloatArray, joins: NDArray[np.bool_]) -> FloatArray:
        if self._area_ratio <= 0.4:
            steep = np.full_like(share, 0.4)
        else:
            steep = np.where(share <= 0.5, 2.0, 0.3) * (2 * share - 1)
        return np.where(joins, 1.55 * share - share**2, steep * share**2)

    def _symmetrical(self, share: FloatArray, joins: NDArray[np.bool_]) -> FloatArray:
        ratio2 = self._area_ratio**2  # (area of the branch over that of the run)^2
        joining = 1 + ratio2 + 3 * ratio2 * (share**2 - share)
        dividing = 1 + 0.3 * ratio2 * share**2
        return np.where(joins, joining, dividing)
