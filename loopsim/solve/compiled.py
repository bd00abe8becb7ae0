"""A network as the solver sees it: arrays, made once and kept for as long as the network stays as it is."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cached_property
from itertools import accumulate, pairwise
from operator import attrgetter
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray

from loopsim.elements import Bank, Element, Leg
from loopsim.network import Link, Network
from loopsim.solve.forms import LoopForm, NodalForm, form_for
from loopsim.solve.topology import Topology
from loopsim.units import GRAVITY

__all__ = ["Compiled", "compiled"]

FloatArray = NDArray[np.float64]

# Elements of one bank: the arrays of one evaluation then stay in a core's cache, which makes it three times as fast.
MOST_IN_BANK = 8192


Banks = Sequence[tuple[slice, Bank]]


class Compiled:
    """Graph, banks and form of a network.

    Links are numbered bank by bank, so that a bank's flows are a slice.

    Attributes
    ----------
    topology : Topology
    order : ndarray, shape (elements,)
        Place in the network of each link as numbered here.
    banks : list of (slice, Bank)
    inflow : ndarray, shape (junctions, 1)
        As written in the network [m3/s].
    swelling : ndarray, shape (elements, 1), or None
        Volume of what flows in each link over the volume that the same mass has at the network's density; None where
        one liquid of one temperature fills everything.
    weight : ndarray, shape (links, 1)
        What the column in each link weighs beyond one of the network's density, from start to end [Pa].
    lines : tuple, optional
        Straight lines last used for a start.
    middle : ndarray, shape (links, 1), optional
        Flows through the network as it is, once they have been a start.
    """

    lines: tuple[float, FloatArray, FloatArray] | None = None
    middle: FloatArray | None = None

    def __init__(self, network: Network) -> None:
        self._made_from = _contents(network)
        junctions, links = list(network.junctions.values()), list(network.links.values())
        batches = list(_batches(links))
        self.order = np.array([row for batch in batches for row in batch], dtype=np.intp)
        ordered = [links[row] for row in self.order.tolist()]
        self.banks: Banks = [
            (slice(a, b), _bank([link.element for link in ordered[a:b]]))
            for a, b in pairwise(accumulate(map(len, batches), initial=0))
        ]
        self.topology = Topology(junctions, ordered, network.state.density * GRAVITY)
        self.inflow = np.array(list(map(attrgetter("inflow"), junctions)), dtype=float)[:, None]
        self._take_states(network, ordered)

    def fits(self, network: Network) -> bool:
        """Whether the network is still what this was made from."""
        return self._made_from == _contents(network)

    def keep_up(self, network: Network) -> None:
        """Take over what flows in the elements, if that has changed."""
        if self._states != network.states:
            links = list(network.links.values())
            self._take_states(network, [links[row] for row in self.order.tolist()])
            self.lines = self.middle = None

    def _take_states(self, network: Network, ordered: Sequence[Link]) -> None:
        """Density, viscosity and weight of what flows in each link; rows of one only where all are alike."""
        self._states = dict(network.states)
        self.swelling: FloatArray | None = None
        if not network.states:
            self._density = np.full((1, 1), network.state.density)
            self._viscosity = np.full((1, 1), network.state.viscosity)
            return
        states = [network.state_in(link.name) for link in ordered]
        self._density = np.array([state.density for state in states])[:, None]
        self._viscosity = np.array([state.viscosity for state in states])[:, None]
        self.swelling = network.state.density / self._density
        heavier = GRAVITY * (self._density - network.state.density)
        self.weight = np.zeros((len(self.topology.start), 1))
        self.weight[: len(ordered)] = heavier * self._rises(network, ordered)

    def drops(self, flow: FloatArray, banks: Banks) -> tuple[FloatArray, FloatArray]:
        """Pressure drop and slope of every link, from the banks and the ground's fixed pressures.

        Parameters
        ----------
        flow : ndarray, shape (links, v)
            Volume flows at the network's density [m3/s].
        banks : list of (slice, Bank)
            This network's, or copies of them.
        """
        dp, slope = np.empty_like(flow), np.empty_like(flow)
        dp[len(self.order) :], slope[len(self.order) :] = -self.topology.ground_potential[:, None], 0.0
        if self.swelling is None:
            for rows, bank in banks:
                dp[rows], slope[rows] = bank.evaluate(flow[rows], self._density, self._viscosity)
            return dp, slope
        for rows, bank in banks:
            swelling = self.swelling[rows]
            drop, steep = bank.evaluate(flow[rows] * swelling, self._density[rows], self._viscosity[rows])
            dp[rows], slope[rows] = drop + self.weight[rows], steep * swelling
        return dp, slope

    @staticmethod
    def _rises(network: Network, ordered: Sequence[Link]) -> FloatArray:
        """By how much each link's end lies above its start, shape (elements, 1) [m]."""
        at = network.junctions
        return np.array([at[link.end].elevation - at[link.start].elevation for link in ordered])[:, None]

    @property
    def swelling_as_written(self) -> FloatArray:
        """The same with elements as written, shape (elements,); 1 where one liquid fills everything."""
        return np.ones(len(self.order)) if self.swelling is None else self.swelling[self._written, 0]

    def flows_in_elements(self, flow: FloatArray) -> FloatArray:
        """Volume flows at what flows in each element, from those at the network's density; elements as written."""
        return flow if self.swelling is None else flow * self.swelling[self._written]

    def without_weight(self, drops: FloatArray) -> FloatArray:
        """Drops without what columns of another density weigh; elements as written."""
        return drops if self.swelling is None else drops - self.weight[self._written]

    @cached_property
    def _written(self) -> NDArray[np.intp]:
        """Place among the solver's links of each element as written."""
        return np.argsort(self.order)

    def as_written(self, pieces: Sequence[FloatArray]) -> FloatArray:
        """Values of the elements in the network's order, from those of the links in a few variants at a time."""
        out = np.empty((len(self.order), sum(piece.shape[1] for piece in pieces)))
        first = 0
        for piece in pieces:
            out[self.order, first : first + piece.shape[1]] = piece[: len(self.order)]
            first += piece.shape[1]
        return out

    def potentials(self, drops: FloatArray) -> FloatArray:
        """Total pressure of every junction reduced to elevation 0, from the elements' drops as written [Pa]."""
        grounds = np.repeat(-self.topology.ground_potential[:, None], drops.shape[1], axis=1)
        return self.topology.potentials(np.concatenate((drops[self.order], grounds)))

    @cached_property
    def form(self) -> LoopForm | NodalForm:
        """How Newton steps are found."""
        return form_for(self.topology)


_kept: WeakKeyDictionary[Network, Compiled] = WeakKeyDictionary()


@contextmanager
def compiled(network: Network) -> Iterator[Compiled]:
    """The compiled form of a network, made anew only where the network has changed.

    It is taken out of the store while in use, so two threads never share one.
    """
    made = _kept.pop(network, None)
    if made is None or not made.fits(network):
        made = Compiled(network)
    made.keep_up(network)
    yield made
    _kept[network] = made


def _contents(network: Network) -> tuple[object, ...]:
    """All that a network consists of; its records never change, so comparing them is a matter of identity."""
    return (
        network.state,
        list(network.junctions.values()),
        list(network.links.values()),
        list(network.meetings.values()),
    )


def _batches(links: Sequence[Link]) -> Iterator[list[int]]:
    """Rows of the elements that go into one bank. Legs stay together, as their losses are replaced."""
    by_class: dict[type[Element], list[int]] = defaultdict(list)
    for row, link in enumerate(links):
        by_class[type(link.element)].append(row)
    for kind, rows in by_class.items():
        size = len(rows) if issubclass(kind, Leg) else MOST_IN_BANK
        for first in range(0, len(rows), size):
            yield rows[first : first + size]


def _bank(elements: Sequence[Element]) -> Bank:
    return type(elements[0]).bank(elements)
