"""What flows in each passage of the height graph, at an operating point."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from loopsim.network import HeightGraph, height_graph
from loopsim.studies.results import OperatingPoint
from loopsim.studies.words import NO_FLOW

__all__ = ["passage_flows", "running_graph"]

FloatArray = NDArray[np.float64]

_SHORTEST = 1e-4  # places that touch still lie so far apart [m]


def running_graph(point: OperatingPoint) -> HeightGraph:
    """The heights of a layout as it runs: a check valve through which no flow goes forward lies on its seat."""
    graph = height_graph(point.build, point.layout)
    return graph.held([each for each in graph.cracking if point.of(graph.items[each]).flow <= NO_FLOW])


def passage_flows(graph: HeightGraph, point: OperatingPoint) -> FloatArray:
    """Flow in every passage, positive from its start to its end, shape (m,) [m3/s].

    In a run it is the run's. Inside a part, what its ports take in divides among the passages by area over length:
    exact where there is one way only, an estimate where ways run side by side.
    """
    flows = np.zeros(len(graph.items))
    entering: dict[str, float] = {}
    for run in point.layout.runs:
        flow = point.of(run.id).flow
        flows[graph.passages_of[run.id]] = flow
        entering[run.start] = entering.get(run.start, 0.0) - flow
        entering[run.end] = entering.get(run.end, 0.0) + flow
    for item, passages in graph.passages_of.items():
        if item not in point.layout.runs_by_id:
            flows[passages] = _inside(graph, passages, entering)
    return flows


def _inside(graph: HeightGraph, passages: list[int], entering: Mapping[str, float]) -> FloatArray:
    """Flows of one part, from heads at its places of which all but the differences are arbitrary."""
    ends = graph.ends[passages]
    places, local = np.unique(ends, return_inverse=True)
    inflow = np.array([entering.get(graph.names[place], 0.0) for place in places])
    if not inflow.any():
        return np.zeros(len(passages))
    incidence = np.zeros((len(passages), len(places)))
    rows, pairs = np.arange(len(passages)), local.reshape(-1, 2)
    np.add.at(incidence, (rows, pairs[:, 0]), 1.0)
    np.add.at(incidence, (rows, pairs[:, 1]), -1.0)
    conductance = graph.area[passages] / np.maximum(graph.length[passages], _SHORTEST)
    laplacian = incidence.T @ (conductance[:, None] * incidence)
    heads = np.linalg.lstsq(laplacian, inflow, rcond=None)[0]
    flow: FloatArray = conductance * (incidence @ heads)
    return flow
