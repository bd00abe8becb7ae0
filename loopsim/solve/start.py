"""Flows to start from: those of a network with straight lines for drops, or those near given ones."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from loopsim.solve.compiled import Compiled

__all__ = ["flow_near", "linear_flow"]

FloatArray = NDArray[np.float64]

_TYPICAL_FLOW = 5e-5  # where nothing else tells the size of the flows: 180 L/h [m3/s]
_TYPICAL_DROP = 5e3  # where nothing else tells the size of the drops [Pa]
_SHARE = 0.2  # of the largest driving pressure that an element takes, for a guess
_UNKNOWN = 1e-6  # weight of a flow that nobody gave


def linear_flow(made: Compiled, inflow: FloatArray) -> FloatArray:
    """Flows with every element replaced by its secant at the size of flow to be expected there, shape (links, v).

    Raises
    ------
    SketchError
        If an island without a fixed pressure takes in another flow than it gives off.
    """
    flow = made.topology.tree_flow(inflow)
    if not made.topology.loop_count:
        return flow
    slope, source = _straight_lines(made, max(float(np.abs(flow).max(initial=0.0)), _TYPICAL_FLOW))
    slope = slope + np.zeros_like(flow)
    return flow + made.form.direction(slope, made.form.residual(source + slope * flow))


def flow_near(made: Compiled, given: Mapping[str, float]) -> FloatArray:
    """The flows that keep continuity with the network's inflows and are nearest to the given ones, (links, 1)."""
    topology = made.topology
    flow = topology.tree_flow(made.inflow)
    if not topology.loop_count:
        return flow
    wanted, weight = np.zeros_like(flow), np.zeros_like(flow)
    named = [given.get(name) for name in topology.links]
    wanted[: len(named), 0] = np.nan_to_num(np.array(named, dtype=float))
    if made.swelling is not None:
        wanted[: len(named)] /= made.swelling
    weight[: len(named), 0] = [_UNKNOWN if each is None else 1.0 for each in named]
    return flow + made.form.direction(weight, made.form.residual(weight * (flow - wanted)))


def _straight_lines(made: Compiled, flow: float) -> tuple[FloatArray, FloatArray]:
    """Slope of each link's secant, and its drop at rest; kept with the network, as they often serve again."""
    if made.lines is None or made.lines[0] != flow:
        size = np.full((len(made.topology.start), 1), flow)
        at_rest, _ = made.drops(np.zeros_like(size), made.banks)
        size[: made.topology.element_count] *= _stretch(made, at_rest, _resistance(made, size))
        made.lines = flow, _resistance(made, size) / size, at_rest
    return made.lines[1:]


def _stretch(made: Compiled, at_rest: FloatArray, resistance: FloatArray) -> FloatArray:
    """Factor on the flow through each element at which it takes its share of what drives the network: square law."""
    count = made.topology.element_count
    drive = max(float(np.abs(at_rest[:count]).max(initial=0.0)), float(np.ptp(made.topology.ground_potential)))
    wanted = _SHARE * drive if drive > 1.0 else _TYPICAL_DROP
    return np.clip(np.sqrt(wanted / np.maximum(resistance[:count], 1e-9 * wanted)), 1e-3, 1e3)


def _resistance(made: Compiled, size: FloatArray) -> FloatArray:
    """Drop of every link at flows of a given size, as the mean of both directions."""
    both = np.asfortranarray(np.concatenate((size, -size), axis=1))  # numpy then runs down the long columns
    dp, _ = made.drops(both, made.banks)
    return 0.5 * (dp[:, :1] - dp[:, 1:])
