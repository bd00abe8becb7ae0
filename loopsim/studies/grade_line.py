"""The grade line: head against distance round each circuit."""

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from loopsim.elements import velocity
from loopsim.geometry import Spot
from loopsim.parts import part_of
from loopsim.studies.grade_results import GradeLine, GradeStep
from loopsim.studies.main_stream import CircuitWays, Way, circuit_ways
from loopsim.studies.results import OperatingPoint
from loopsim.units import GRAVITY, to_si

__all__ = ["grade_line", "head_along"]

FloatArray = NDArray[np.float64]


def grade_line(point: OperatingPoint, through: str | None = None) -> tuple[GradeLine, ...]:
    """Head against distance along the main stream of every circuit in which something flows.

    The line starts where the circuit's pressure is fixed, at a vented vessel, a gas cushion, or for want of both the
    place that the solver set to zero, follows the larger flow at every branching, and closes where it began. The total
    head falls along it everywhere except in running pumps, and at tees whose branches give work to one another.

    Parameters
    ----------
    point : OperatingPoint
    through : str, optional
        Id of a part or tube run through which its circuit's line is to lead. One that carries no flow changes nothing.

    Returns
    -------
    tuple of GradeLine
        One for each circuit, in the order in which the layout's runs begin.

    Raises
    ------
    SketchError
        If `through` is neither placed nor drawn in this layout.

    References
    ----------
    Piezometric and total head as in every textbook of hydraulics. A loop worked by hand is checked in
    tests/studies/test_grade_line.py.
    """
    if through is not None and through not in point.layout.runs_by_id:
        point.layout.placement(through)
    ports = _ports(point)
    found = circuit_ways(point, {name: port.total_head for name, port in ports.items()})
    lines = [_line(circuit, circuit.stream(through), ports) for circuit in found]
    return tuple(line for line in lines if line is not None)


def head_along(line: GradeLine, point: OperatingPoint) -> FloatArray:
    """Piezometric head of another state of the same layout along the way of a line, as with and without a failure.

    Parameters
    ----------
    line : GradeLine
    point : OperatingPoint
        Of a layout with the same tube runs.

    Returns
    -------
    ndarray, shape (n,)
        At each place of `line.distance` [m]; true at the ports, spread evenly between them. Not a number on steps
        with a port that no tube run of `point` joins.
    """
    heads = {reference: port.piezometric_head for reference, port in _ports(point).items()}
    pieces = []
    for step in line.steps:
        start, end = (heads.get(port, math.nan) for port in step.ports)
        pieces.append(start + _share(step.distance - step.distance[0]) * (end - start))
    return np.concatenate(pieces)


class _Port(NamedTuple):
    """A port that a run joins: its name in words, its place, the density there [kg/m3] and both heads [m]."""

    name: str
    spot: Spot
    density: float
    piezometric_head: float
    total_head: float


def _ports(point: OperatingPoint) -> dict[str, _Port]:
    runs, flows = point.layout.runs, {part.id: part.flow for part in point.parts}
    ends = [(reference, run.id) for run in runs for reference in (run.start, run.end)]
    return {reference: _port(point, reference, run_id, flows[run_id]) for reference, run_id in ends}


def _port(point: OperatingPoint, reference: str, run_id: str, flow: float) -> _Port:
    part, port = point.build.port(reference)
    spot = point.build.port_spot(point.layout, reference)
    density, still = point.state_of(run_id).density, part.surface_mm is not None
    v = 0.0 if still else float(velocity(flow, to_si(port.bore_mm, "mm")))  # in a vessel nothing moves
    static = point.pressures[reference] / (density * GRAVITY) + to_si(spot.height_mm, "mm")
    name = f"{part.name}, {port.words}"
    return _Port(name, spot, density, static, static + v**2 / (2 * GRAVITY))


def _line(circuit: CircuitWays, stream: list[Way], ports: dict[str, _Port]) -> GradeLine | None:
    """The line along a stream, which begins with the part that the first way leaves."""
    if not stream:
        return None
    steps: list[GradeStep] = []
    for item, ends in _stages(stream):
        begun = float(steps[-1].distance[-1]) if steps else 0.0
        steps.append(_step(circuit.point, item, ends, ports, begun))
    origin = steps[0].id
    held_by = origin if origin in circuit.holders else next(iter(circuit.holders), None)
    pressure = circuit.point.build.ambient.pressure
    return GradeLine(tuple(steps), ports[stream[0].upstream].density, held_by, pressure)


def _step(point: OperatingPoint, item: str, ends: tuple[str, str], ports: dict[str, _Port], begun: float) -> GradeStep:
    """A part or run between two ports, its heads spread evenly over its length."""
    start, end = (ports[each] for each in ends)
    along, elevation = _centre_line(point, item, ends, ports)
    share = _share(along)
    run = point.layout.runs_by_id.get(item)
    return GradeStep(
        id=item,
        name=point.build.part(item).name if run is None else point.build.run_name(run),
        kind=point.build.part(item).kind_name() if run is None else "tube_run",
        ports=ends,
        port_names=(start.name, end.name),
        distance=begun + along,
        elevation=elevation,
        piezometric_head=start.piezometric_head + share * (end.piezometric_head - start.piezometric_head),
        total_head=start.total_head + share * (end.total_head - start.total_head),
        is_running_pump=any(pump.id == item and pump.state == "running" for pump in point.pumps),
    )


def _share(along: FloatArray) -> FloatArray:
    """Of the way from the first place to the last, shape (n,)."""
    return along / along[-1] if along[-1] > 0 else np.linspace(0.0, 1.0, len(along))


def _stages(stream: list[Way]) -> Iterator[tuple[str, tuple[str, str]]]:
    """Parts and runs by turns, with the ports between which each is passed; the last way leads back to the first."""
    for before, way in zip((stream[-1], *stream), stream, strict=False):
        yield part_of(way.upstream), (before.downstream, way.upstream)
        yield way.run, (way.upstream, way.downstream)


def _centre_line(
    point: OperatingPoint, item: str, ends: tuple[str, str], ports: dict[str, _Port]
) -> tuple[FloatArray, FloatArray]:
    """Distances from the first port and elevations along a step, shape (n,) each [m]."""
    run = point.layout.runs_by_id.get(item)
    if run is None:
        line = [ports[end].spot for end in ends]
        length_mm = math.dist(*line)
    else:
        path = point.build.run_path(point.layout, run)
        line, length_mm = path.centre_line()[:: 1 if run.start == ends[0] else -1], path.length_mm
    chords = np.cumsum([0.0, *(math.dist(a, b) for a, b in pairwise(line))])
    along = chords * (length_mm / chords[-1]) if chords[-1] > 0 else chords  # chords cut the bends a little short
    return to_si(1.0, "mm") * along, to_si(1.0, "mm") * np.array([spot.height_mm for spot in line])
