"""Pressures along the loop in many draws at once."""

import math

import numpy as np
from numpy.typing import NDArray

from loopsim.solve import FlowVariants
from loopsim.studies.heat.results import HeatPoint
from loopsim.units import to_si

__all__ = ["Pressures"]

FloatArray = NDArray[np.float64]


class Pressures:
    """Highest pressure and lowest at a pump's inlet, near a solved machine.

    Heights, levels and densities stay, so a draw differs from the machine in total pressure and velocity head alone.

    Parameters
    ----------
    heat : HeatPoint
        With every input at its middle.
    """

    def __init__(self, heat: HeatPoint) -> None:
        loop, self._liquid = heat.coupled.thermal.loop, heat.coupled.liquid.variants
        ends = [(run, end) for run in loop.layout.runs for end in (run.start, run.end) if end in heat.point.pressures]
        links = {name: row for row, name in enumerate(loop.network.links)}
        junctions = {name: row for row, name in enumerate(loop.network.junctions)}
        self._runs = np.array([links[run.id] for run, _ in ends], dtype=np.intp)
        self._junctions = np.array([junctions[loop.junction_of(end)] for _, end in ends], dtype=np.intp)
        ports = [loop.build.port(end) for _, end in ends]
        density = np.array([loop.network.state_in(run.id).density for run, _ in ends])
        moving = np.array([part.surface_mm is None for part, _ in ports])
        area = np.array([math.pi / 4 * to_si(port.bore_mm, "mm") ** 2 for _, port in ports])
        self._per_square = (moving * 0.5 * density / area**2)[:, None]
        middle = np.array([heat.point.pressures[end] for _, end in ends])
        self._offset = middle[:, None] - self._total(self._liquid)
        inlets = {f"{each.pump}.inlet": each.pressure - heat.point.pressures[f"{each.pump}.inlet"]
                  for each in heat.point.suctions}  # fmt: skip
        self._inlets = [row for row, (_, end) in enumerate(ends) if end in inlets]
        self._air = max(inlets.values(), default=0.0)

    def figures(self, liquid: FlowVariants) -> dict[str, FloatArray]:
        """By their keys, each of shape (v,) [Pa]; what has no meaning in the machine is left out."""
        if not len(self._runs):
            return {}
        static = self._total(liquid) + self._offset
        found = {"highest_pressure_kpa": static.max(axis=0)}
        if self._inlets:
            found["suction_kpa"] = static[self._inlets].min(axis=0) + self._air
        return found

    def _total(self, liquid: FlowVariants) -> FloatArray:
        """What changes of the static pressure at each end of a run, shape (ends, v)."""
        return np.asarray(liquid.potentials[self._junctions] - self._per_square * liquid.flows[self._runs] ** 2)
