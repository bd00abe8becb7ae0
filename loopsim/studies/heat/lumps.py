"""What stores heat in a layout: its coolant, the metal of what exchanges heat, its components, the air inside."""

from collections.abc import Iterator
from itertools import repeat
from math import ceil

import numpy as np
from numpy.typing import NDArray

from loopsim.network import ROOM, LoopNetwork
from loopsim.parts import Block, LiquidExchanger, Part, Radiator
from loopsim.solve import Component, Lumps, Metal
from loopsim.studies.heat.sources import HeatSources
from loopsim.units import to_si

__all__ = ["lumps_of"]

FloatArray = NDArray[np.float64]

_LONGEST_CELL = 0.25  # of a tube run [m]
_LEAST_ML = 0.1  # stands for the volume of an element that holds nothing


def lumps_of(sources: HeatSources) -> Lumps:
    """The lumps of a layout.

    A tube run is cut into stirred cells of at most 0.25 m; a part is one, a vessel is stirred, and so is the air of
    each space, which has an equal share of the enclosure. Metal of radiators is as warm as their coolant. Walls of
    tubes, vessels, pumps and of the enclosure take up nothing, so that times come out a little too short.
    """
    thermal = sources.thermal
    loop, count = thermal.loop, thermal.liquid_count
    cells, volume, wetted = np.ones(count, dtype=np.intp), np.zeros(count), np.zeros(count)
    for part_id in loop.layout.placements:
        for name, held, metal in _in_part(loop, loop.build.part(part_id)):
            row = thermal.number[name]
            volume[row], wetted[row] = to_si(max(held, _LEAST_ML), "ml"), metal
    for run in loop.layout.runs:
        path, row = loop.paths[run.id], thermal.number[run.id]
        cells[row] = max(1, ceil(to_si(path.length_mm, "mm") / _LONGEST_CELL))
        held = run.coolant_ml(loop.build.tube(run.tube), path)
        volume[row] = to_si(max(held, _LEAST_ML), "ml")
    metals = tuple(_metal(sources, part) for part in sources.parts if isinstance(part, Block))
    return Lumps(thermal.heat, cells, volume, wetted, _node_volumes(sources), metals)


def _in_part(loop: LoopNetwork, part: Part) -> Iterator[tuple[str, float, float]]:
    """Elements of a part with the coolant in each [mL] and the metal that is as warm as it [J/K]."""
    names = loop.elements_of[part.id]
    if isinstance(part, LiquidExchanger):
        yield from zip(names, (part.primary_ml, part.secondary_ml), repeat(part.metal_j_k / 2), strict=False)
        return
    metal = part.metal_j_k if isinstance(part, Radiator) else 0.0
    for name in names:
        yield name, part.coolant_ml / len(names), metal / len(names)


def _metal(sources: HeatSources, block: Block) -> Metal:
    (name,) = sources.thermal.loop.elements_of[block.id]
    on_it = [Component(sources.heat_of(block, load), load.capacity_j_k, load.resistance_k_w) for load in block.loads]
    return Metal(sources.thermal.number[name], block.metal_j_k, block.cooling, tuple(on_it))


def _node_volumes(sources: HeatSources) -> FloatArray:
    """Coolant in vessels, and air in the spaces [m3]."""
    thermal = sources.thermal
    loop, spaces = thermal.loop, [space for space in thermal.air.spaces if space != ROOM]
    volume = np.zeros(len(thermal.heat.nodes))
    for row, name in enumerate(loop.network.junctions):
        if name in loop.layout.placements:
            volume[row] = to_si(max(loop.build.part(name).coolant_ml, _LEAST_ML), "ml")
    room_inside = loop.build.enclosure
    sizes = (room_inside.length_mm, room_inside.width_mm, room_inside.clear_height_mm)
    for space in spaces:
        volume[thermal.space_node(space)] = float(np.prod([to_si(size, "mm") for size in sizes])) / len(spaces)
    return volume
