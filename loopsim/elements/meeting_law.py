"""What the legs of a tee or cross lose, by how the flow divides."""

import math
from dataclasses import dataclass
from typing import ClassVar, Protocol

import numpy as np
from numpy.typing import NDArray

__all__ = ["CrossLaw", "MeetingLaw", "TeeLaw"]

FloatArray = NDArray[np.float64]

_MOST = 1e3  # coefficient on a leg's own velocity; only legs with less than 3 % of the flow come near it
_LEAST_FLOW = 1e-15  # below it nothing divides [m3/s]
_TWO_STREAMS = 0.75  # of a leg where two streams enter a cross and two leave it; a guess, no data were found


class MeetingLaw(Protocol):
    """Losses of a fitting in which three or four legs meet. Legs 0 and 1 are in line, the others across."""

    @property
    def leg_count(self) -> int:
        """Number of legs."""

    def coefficients(self, flow: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Loss coefficient of each leg on its own velocity.

        Parameters
        ----------
        flow : ndarray, shape (legs, v)
            Into the fitting through each leg [m3/s].

        Returns
        -------
        coefficient : ndarray, shape (legs, v)
            For the direction in which each leg flows; 0 in the leg that carries all of the flow. Not below 0.
        raw : ndarray, shape (legs, v)
            The same on the velocity of the whole flow, as published: it may be negative.
        """


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

    leg_count: ClassVar[int] = 3

    run_bore: float
    branch_bore: float

    def coefficients(self, flow: FloatArray) -> tuple[FloatArray, FloatArray]:
        """See `MeetingLaw`; the branch is the third leg."""
        size = np.abs(flow)
        whole = size.argmax(axis=0)
        columns = np.arange(flow.shape[1])
        total = np.maximum(size[whole, columns], _LEAST_FLOW)
        joins = flow[whole, columns] < 0
        raw = np.zeros_like(flow)
        for leg, other in ((0, 1), (1, 0)):
            here = whole == leg  # all of the flow passes this end of the run
            share = size[2] / total
            raw[2] = np.where(here, _branch(self._area_ratio, share, joins), raw[2])
            raw[other] = np.where(here, _run(self._area_ratio, share, joins), raw[other])
        through_branch = whole == 2
        for leg in (0, 1):
            raw[leg] = np.where(through_branch, self._symmetrical(size[leg] / total, joins), raw[leg])
        bore = np.array([self.run_bore, self.run_bore, self.branch_bore])
        return _on_own_velocity(raw, size, total, bore, whole), raw

    @property
    def _area_ratio(self) -> float:
        return (self.branch_bore / self.run_bore) ** 2

    def _symmetrical(self, share: FloatArray, joins: NDArray[np.bool_]) -> FloatArray:
        ratio2 = self._area_ratio**2  # (area of the branch over that of the run)^2
        joining = 1 + ratio2 + 3 * ratio2 * (share**2 - share)
        dividing = 1 + 0.3 * ratio2 * share**2
        return np.where(joins, joining, dividing)


@dataclass(frozen=True, slots=True)
class CrossLaw:
    """Losses of a cross, by how the flow divides.

    Parameters
    ----------
    run_bore, branch_bore : float
        Of the legs 0 and 1, and of the legs 2 and 3 [m].

    References
    ----------
    Each leg as if the leg across from it were capped: Crane's laws of the tee, the leg in line losing by all that
    turns off. That is an estimate; for two streams in and two out a constant share is a guess.
    """

    leg_count: ClassVar[int] = 4

    run_bore: float
    branch_bore: float

    def coefficients(self, flow: FloatArray) -> tuple[FloatArray, FloatArray]:
        """See `MeetingLaw`; the branches are the third and fourth leg."""
        size = np.abs(flow)
        whole = size.argmax(axis=0)
        columns = np.arange(flow.shape[1])
        total = np.maximum(0.5 * size.sum(axis=0), _LEAST_FLOW)
        bore = np.array([self.run_bore, self.run_bore, self.branch_bore, self.branch_bore])
        raw = np.zeros_like(flow)
        for common, opposite in ((0, 1), (1, 0), (2, 3), (3, 2)):
            here = whole == common
            for leg in {0, 1, 2, 3} - {common}:
                share, joins = size[leg] / total, flow[leg] > 0
                if leg == opposite:
                    loss = _run(1.0, 1 - share, joins)
                else:
                    loss = _branch(float(bore[leg] / bore[common]) ** 2, share, joins)
                raw[leg] = np.where(here, loss, raw[leg])
        one_stream = _on_own_velocity(raw, size, total, bore, whole)
        with_it = np.where(flow * flow[whole, columns] > 0, size, 0.0)
        with_it[whole, columns] = 0.0
        mixed = with_it.max(axis=0) / np.maximum(size[whole, columns], _LEAST_FLOW)
        return np.asarray((1 - mixed) * one_stream + mixed * _TWO_STREAMS), raw


def _branch(area_ratio: float, share: FloatArray, joins: NDArray[np.bool_]) -> FloatArray:
    """Of the leg across, by its share of the flow; on the velocity of the whole flow."""
    start = np.ones_like(share) if area_ratio <= 0.35 else np.maximum(0.9 * (1 - share), 0.55)
    joining = start * (1 + (share / area_ratio) ** 2 - 2 * (1 - share) ** 2)
    grown = 1.0 if area_ratio <= 2 / 3 else 1 + 0.3 * share**2
    factor = 1.0 if math.sqrt(area_ratio) <= 2 / 3 else 0.3
    dividing = grown * (1 + factor * (share / area_ratio) ** 2)
    return np.where(joins, joining, dividing)


def _run(area_ratio: float, share: FloatArray, joins: NDArray[np.bool_]) -> FloatArray:
    """Of the leg in line, by the share of the flow that turns off; on the velocity of the whole flow."""
    if area_ratio <= 0.4:
        steep = np.full_like(share, 0.4)
    else:
        steep = np.where(share <= 0.5, 2.0, 0.3) * (2 * share - 1)
    return np.where(joins, 1.55 * share - share**2, steep * share**2)


def _on_own_velocity(
    raw: FloatArray, size: FloatArray, total: FloatArray, bore: FloatArray, whole: NDArray[np.intp]
) -> FloatArray:
    """Coefficients on each leg's own velocity, not below 0, from those on the velocity of the whole flow."""
    area = bore[:, None] ** 2
    velocity = size / area / (total / area[whole, 0])
    return np.asarray(np.minimum(np.maximum(raw, 0.0) / np.maximum(velocity, 1e-9) ** 2, _MOST))
