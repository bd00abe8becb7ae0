"""Where coolant boils: by its temperature at the pressure where it is, never by a flow."""

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.media import Coolant
from loopsim.network import LoopNetwork
from loopsim.solve import FlowResult
from loopsim.units import ZERO_C

__all__ = ["boiling_point_c", "boiling_points_c"]

FloatArray = NDArray[np.float64]

_STEPS = 121  # temperatures of the vapour pressure curve


def boiling_point_c(medium: Coolant, pressure: ArrayLike) -> FloatArray:
    """Temperature at which a coolant boils at absolute pressures above 0 [Pa], of any shape [degrees Celsius].

    Inverse of its vapour pressure, whose logarithm is nearly a straight line over the reciprocal of the absolute
    temperature; beyond the data on that line, which misses water's boiling point at 2 bar by less than 1 K.
    """
    log_pressure, reciprocal = _vapour_curve(medium)
    wanted = np.log(np.asarray(pressure, dtype=float))
    slope = (reciprocal[-1] - reciprocal[-2]) / (log_pressure[-1] - log_pressure[-2])
    beyond = np.maximum(wanted - log_pressure[-1], 0.0) * slope
    return np.asarray(1.0 / (np.interp(wanted, log_pressure, reciprocal) + beyond) - ZERO_C)


@lru_cache(maxsize=32)
def _vapour_curve(medium: Coolant) -> tuple[FloatArray, FloatArray]:
    """Logarithm of the vapour pressure, rising, and reciprocal of the absolute temperature."""
    temperatures = np.linspace(medium.lowest_temperature_c, medium.highest_temperature_c, _STEPS)
    return np.log(medium.vapour_pressure(temperatures)), 1.0 / (temperatures + ZERO_C)


def boiling_points_c(loop: LoopNetwork, liquid: FlowResult) -> FloatArray:
    """Boiling point in each element at the lower of the pressures at its ends, shape (elements,) [degrees Celsius].

    In a circuit whose pressure nothing holds, that of the room counts.
    """
    found = np.empty(len(loop.network.links))
    row = {name: number for number, name in enumerate(loop.network.links)}
    for circuit in loop.circuits:
        names = circuit.body.links
        held = circuit.body.junctions.isdisjoint(liquid.datum)
        gauge = [_lower_pressure(loop, liquid, name) if held else 0.0 for name in names]
        absolute = np.maximum(loop.build.ambient.pressure + np.array(gauge), 1.0)
        found[[row[name] for name in names]] = boiling_point_c(circuit.coolant.medium, absolute)
    return found


def _lower_pressure(loop: LoopNetwork, liquid: FlowResult, name: str) -> float:
    link = loop.network.links[name]
    return min(liquid.pressure[link.start], liquid.pressure[link.end])
