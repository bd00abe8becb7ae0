"""What stores heat in a thermal network: cells of liquid, vessels, air spaces, metal, components."""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loopsim.elements import BlockCooling
from loopsim.network import HeatNetwork

__all__ = ["Component", "Lumps", "Metal"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Component:
    """One component on a block.

    Attributes
    ----------
    heat : float
        That it gives off [W].
    capacity : float
        Above 0 [J/K].
    joint : float
        Resistance to the block's contact face, at least 0 [K/W].
    """

    heat: float
    capacity: float
    joint: float


@dataclass(frozen=True)
class Metal:
    """A block's metal, which passes heat to one stream of liquid, and the components on it.

    Attributes
    ----------
    stream : int
        Row of the stream; its heat in the heating is that of the components, which takes the way through them here.
    capacity : float
        Of the metal, above 0 [J/K].
    cooling : BlockCooling
        Conduction from contact face to metal, and film from metal to coolant.
    components : tuple of Component
    """

    stream: int
    capacity: float
    cooling: BlockCooling
    components: tuple[Component, ...]


@dataclass(frozen=True)
class Lumps:
    """What stores heat in a thermal network, and where each lump stands in the vector of temperatures.

    In this order: cells of the liquid streams, each stream from its start to its end; vessels and air spaces; metal
    of the blocks; their components.

    Attributes
    ----------
    heat : HeatNetwork
    cells : ndarray, shape (l,)
        Number of stirred cells in each stream of liquid, at least 1.
    volume : ndarray, shape (l,)
        Liquid in each of these streams, above 0 [m3].
    wetted : ndarray, shape (l,)
        Metal that is as warm as the liquid of a stream [J/K].
    node_volume : ndarray, shape (n,)
        Liquid or air at each node, 0 where none stands [m3].
    metals : tuple of Metal
    """

    heat: HeatNetwork
    cells: IntArray
    volume: FloatArray
    wetted: FloatArray
    node_volume: FloatArray
    metals: tuple[Metal, ...]

    @cached_property
    def cell_stream(self) -> IntArray:
        """Stream of each cell."""
        return np.repeat(np.arange(len(self.cells)), self.cells)

    @cached_property
    def start_cell(self) -> IntArray:
        """Cell at the start of each stream."""
        return np.cumsum(self.cells) - self.cells

    @cached_property
    def _joined(self) -> IntArray:
        """Number of streams at each node."""
        both = np.concatenate((self.heat.start, self.heat.end))
        return np.bincount(both, minlength=len(self.heat.nodes))

    @cached_property
    def standing(self) -> IntArray:
        """Nodes with streams at which something stands whose temperature is not held."""
        return np.flatnonzero((self.node_volume > 0) & np.isnan(self.heat.held) & (self._joined > 0))

    @cached_property
    def first_node(self) -> int:
        """Where the standing nodes begin."""
        return int(self.cells.sum())

    @cached_property
    def first_metal(self) -> int:
        """Where the blocks' metal begins."""
        return self.first_node + len(self.standing)

    @cached_property
    def components(self) -> tuple[slice, ...]:
        """Where the components of each block stand."""
        ends = self.first_metal + len(self.metals) + np.cumsum([0, *(len(each.components) for each in self.metals)])
        return tuple(slice(int(a), int(b)) for a, b in pairwise(ends))

    @property
    def count(self) -> int:
        """Number of lumps."""
        return self.components[-1].stop if self.components else self.first_metal

    @cached_property
    def names(self) -> tuple[tuple[str, str, int], ...]:
        """What each lump is, by names that a layout keeps whatever fails in it: sort, stream or node, and number."""
        streams, nodes = self.heat.streams, self.heat.nodes
        cells = [("cell", streams[row], cell) for row, count in enumerate(self.cells) for cell in range(count)]
        components = [("component", streams[m.stream], each) for m in self.metals for each in range(len(m.components))]
        return (
            *cells,
            *(("node", nodes[row], 0) for row in self.standing),
            *(("metal", streams[block.stream], 0) for block in self.metals),
            *components,
        )

    def carried_over(self, other: "Lumps", x: FloatArray) -> FloatArray:
        """Temperatures of another's lumps, put to those of the same names here; 0 where the other has none [K]."""
        known = dict(zip(other.names, x.tolist(), strict=True))
        return np.array([known.get(name, 0.0) for name in self.names])

    def row_of(self, node: int) -> int:
        """Where a node stands at which something stands."""
        return self.first_node + int(np.searchsorted(self.standing, node))

    @property
    def in_loop(self) -> NDArray[np.bool_]:
        """Which lumps are liquid, or metal and components at it: all but air, shape (c,)."""
        liquid = len(self.cells)
        wet = np.unique(np.concatenate((self.heat.start[:liquid], self.heat.end[:liquid])))
        found = np.ones(self.count, dtype=bool)
        found[self.first_node : self.first_metal] = np.isin(self.standing, wet)
        return found

    def capacity(self, volumetric: FloatArray) -> FloatArray:
        """Heat capacity of every lump, from that of each stream per volume [J/K]."""
        heat, liquid = self.heat, len(self.cells)
        per_cell = (self.volume * volumetric[:liquid] + self.wetted) / self.cells
        beside = np.bincount(heat.start, volumetric, len(heat.nodes))
        beside += np.bincount(heat.end, volumetric, len(heat.nodes))
        at_nodes = self.node_volume[self.standing] * (beside / np.maximum(self._joined, 1))[self.standing]
        components = [each.capacity for block in self.metals for each in block.components]
        return np.concatenate(
            (per_cell[self.cell_stream], at_nodes, [each.capacity for each in self.metals], components)
        )
