"""Tees: their losses follow from how the flow divides, which follows from the losses.

Inside one Newton solve every leg keeps its coefficient, so the problem stays convex. Between solves the coefficients
move towards those that belong to the flows found. They settle in a few rounds; where they do not, both ends of the
range in which they wander are solved, and the result is a band.
"""

from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loopsim.elements import Legs, MeetingLaw
from loopsim.network import Network

__all__ = ["Meetings"]

FloatArray = NDArray[np.float64]

SETTLED = 1e-9  # change of a leg's drop between rounds, relative to the largest drop
_REMEMBERED = 8  # rounds over which a range is taken where the coefficients wander
_SMALL, _LEAST_FLOW = 1e-6, 1e-12  # step of a difference quotient: share of the largest flow, and no less [m3/s]
_MIXED = 4  # rounds from which the next coefficients are mixed


class Meetings:
    """All tees and crosses of a network, as arrays: rows of all their legs, fitting by fitting.

    Parameters
    ----------
    network : Network
        With at least one meeting.
    links : sequence of str
        Names of all links, in the order in which flows are given.
    legs : slice
        The elements of class `Leg` among them, in the order of `bank`.
    bank : Legs
        Whose coefficients are moved.
    """

    def __init__(self, network: Network, links: Sequence[str], legs: slice, bank: Legs) -> None:
        place = {name: index for index, name in enumerate(links[legs])}
        self.in_bank = np.array(
            [place[leg] for meeting in network.meetings.values() for leg in meeting.legs], dtype=np.intp
        )
        self.rows = legs.start + self.in_bank
        self.bank = bank
        self.legs_of = _legs_of(network)
        self._half_density = 0.5 * network.state.density
        self._believed: FloatArray | None = None  # flows into the tees to which the held coefficients belong
        self._rounds: list[tuple[FloatArray, FloatArray]] = []  # flows believed, and by how much the solved ones differ
        self._held: list[FloatArray] = []

    def update(self, flow: FloatArray, dp: FloatArray) -> float:
        """Hold the coefficients that belong to flows closer to the truth.

        Parameters
        ----------
        flow, dp : ndarray, shape (links, v)
            Solved with the coefficients as held.

        Returns
        -------
        float
            Largest difference between a leg's drop as held and as its solved flow asks, relative to the largest drop.
        """
        through = flow[self.rows]
        present = np.where(through >= 0, self.bank.into[self.in_bank], self.bank.out_of[self.in_bank])
        heads = self._half_density * (through * self.bank.per_area[self.in_bank]) ** 2
        off = np.abs(self._wanted(through) - present) * heads
        change = float(off.max() / max(float(np.abs(dp).max()), 1.0))
        if change > SETTLED:
            if self._believed is not None:
                self._rounds = [*self._rounds[-_MIXED:], (self._believed, through - self._believed)]
            self._believed = self._next() if self._rounds else through
            self._hold(self._wanted(self._believed))
        return change

    def follow(self, flow: FloatArray) -> None:
        """Hold the coefficients that belong to flows, shape (links, v)."""
        self._hold(self._wanted(flow[self.rows]), remember=False)

    def drift(self, flow: FloatArray) -> FloatArray:
        """How the drop of each leg changes with the flow through another, as its coefficient moves with that.

        Parameters
        ----------
        flow : ndarray, shape (links, 1)

        Returns
        -------
        ndarray, shape (legs, legs)
            Derivatives [Pa s/m3], in the order of `rows`; not symmetric.
        """
        through = flow[self.rows, 0]
        step = _SMALL * np.abs(through).max(initial=_LEAST_FLOW)
        moved = self._wanted(np.column_stack([through, through[:, None] + step * np.eye(len(through))]))
        heads = self._half_density * np.sign(through) * (through * self.bank.per_area[self.in_bank, 0]) ** 2
        return np.asarray(heads[:, None] * (moved[:, 1:] - moved[:, :1]) / step)

    def size(self, flow: FloatArray) -> FloatArray:
        """Of the flows through all legs in each variant, against that of the variants' mean, shape (v,)."""
        through = flow[self.rows]
        whole = np.abs(through.mean(axis=1)).sum()
        return np.asarray(np.abs(through).sum(axis=0) / max(float(whole), _LEAST_FLOW))

    def _next(self) -> FloatArray:
        """Flows to believe next, from the last few rounds.

        Anderson's acceleration: the mix of the last rounds whose differences cancel best. Plain repetition creeps
        where a leg carries little of the flow. A mix keeps continuity at each tee, for it is linear.
        """
        believed, off = self._rounds[-1]
        if len(self._rounds) < 2:
            return np.asarray(believed + off)
        moved = np.stack([b[0] - a[0] for a, b in pairwise(self._rounds)])
        changed = np.stack([b[1] - a[1] for a, b in pairwise(self._rounds)])
        normal = np.einsum("ilv,jlv->vij", changed, changed)
        right = np.einsum("ilv,lv->vi", changed, off)
        ridge = 1e-10 * np.trace(normal, axis1=1, axis2=2)[:, None, None] + 1e-300
        mix = np.linalg.solve(normal + ridge * np.eye(len(moved)), right[:, :, None])[:, :, 0]
        return np.asarray(believed + off - np.einsum("vi,ilv->lv", mix, moved + changed))

    def hold_end_of_range(self, upper: bool) -> None:
        """Hold every coefficient at the upper or lower end of the range in which it wandered lately."""
        self._hold(np.max(self._held, axis=0) if upper else np.min(self._held, axis=0), remember=False)

    def _wanted(self, through: FloatArray) -> FloatArray:
        """Coefficients that belong to flows into the fittings, shape (legs, v)."""
        wanted = np.empty_like(through)
        for law, legs in self.legs_of.items():
            flat = through[legs].reshape(law.leg_count, -1)
            wanted[legs] = law.coefficients(flat)[0].reshape(*legs.shape, -1)
        return wanted

    def _hold(self, coefficient: FloatArray, remember: bool = True) -> None:
        """Give each leg its coefficient in both directions: the one for the other direction belongs to other flows."""
        if remember:
            self._held = [*self._held[1 - _REMEMBERED :], coefficient]
        shape = (len(self.bank.into), coefficient.shape[1])
        for name in ("into", "out_of"):
            spread = np.array(np.broadcast_to(getattr(self.bank, name), shape))
            spread[self.in_bank] = coefficient
            setattr(self.bank, name, spread)


def _legs_of(network: Network) -> dict[MeetingLaw, NDArray[np.intp]]:
    """Places of the legs of all fittings with one law, shape (legs of one, fittings)."""
    of: dict[MeetingLaw, list[range]] = defaultdict(list)
    first = 0
    for meeting in network.meetings.values():
        of[meeting.law].append(range(first, first + len(meeting.legs)))
        first += len(meeting.legs)
    return {law: np.array(legs, dtype=np.intp).T for law, legs in of.items()}
