"""Pressures along the loop: at every port, at the pumps' suction, and where they matter."""

import math
from collections.abc import Iterator

import numpy as np

from loopsim.elements import velocity
from loopsim.network import LoopNetwork
from loopsim.parts import Part, Pump, part_of
from loopsim.solve import FlowResult
from loopsim.studies.results import NPSH_MARGIN, Finding, Suction
from loopsim.studies.sentence import datum, quantity
from loopsim.studies.words import NO_FLOW
from loopsim.units import GRAVITY, to_si

__all__ = ["port_pressures", "pressure_findings", "suctions"]

AIR_IS_DRAWN_BELOW = -2000.0  # gauge pressure at which a fitting that weeps out would draw air in [Pa]


def port_pressures(loop: LoopNetwork, result: FlowResult) -> dict[str, float]:
    """Static gauge pressure at every port that a tube run joins, at the port's own height [Pa].

    The solver's pressures are total; what moves through the port's bore takes its velocity head off. Ports of a
    vessel are read inside it, where nothing moves.
    """
    ends = [
        (run.id, reference, spot.height_mm)
        for run, path in ((run, loop.paths[run.id]) for run in loop.layout.runs)
        for reference, spot in ((run.start, path.spots[0]), (run.end, path.spots[-1]))
    ]
    flows = np.array([result.flow[run_id] for run_id, _, _ in ends])
    heads = velocity(flows, [_bore(loop, reference) for _, reference, _ in ends]) ** 2 / 2
    totals = ((each, _total(loop, result, each, to_si(height, "mm"))) for _, each, height in ends)
    moving = (loop.network.state_in(run_id).density for run_id, _, _ in ends)
    found = zip(totals, moving, heads.tolist(), strict=True)
    return dict(sorted((reference, total - density * head) for (reference, total), density, head in found))


def _bore(loop: LoopNetwork, reference: str) -> float:
    """What a port lets through; in a vessel nothing moves, as if its port had no end of width [m]."""
    part, port = loop.build.port(reference)
    return math.inf if part.surface_mm is not None else to_si(port.bore_mm, "mm")


def _total(loop: LoopNetwork, result: FlowResult, reference: str, height: float) -> float:
    """Total gauge pressure at a port, which lies so high above the floor [m, Pa]."""
    junction = loop.network.junctions[loop.junction_of(reference)]
    weight = loop.state_of(part_of(reference)).density * GRAVITY
    return result.pressure[junction.name] + weight * (junction.elevation - height)


def suctions(loop: LoopNetwork, result: FlowResult, pressures: dict[str, float]) -> tuple[Suction, ...]:
    """The inlets of all pumps that a run joins, where a vessel gives the pressures a meaning.

    References
    ----------
    Net positive suction head as in every pump handbook: total absolute head at the inlet less vapour pressure head.
    Checked in tests/reference/test_suction.py.
    """
    air = loop.build.ambient.pressure
    found = []
    for part_id in loop.layout.placements:
        pump, inlet = loop.build.part(part_id), f"{part_id}.inlet"
        if isinstance(pump, Pump) and inlet in pressures and _is_held(loop, result, inlet):
            state = loop.state_of(part_id)
            height = to_si(loop.build.port_spot(loop.layout, inlet).height_mm, "mm")
            total = _total(loop, result, inlet, height) + air
            head = (total - state.vapour_pressure) / (state.density * GRAVITY)
            found.append(Suction(part_id, pressures[inlet] + air, state.vapour_pressure, head, pump.npsh_required_m))
    return tuple(found)


def pressure_findings(
    loop: LoopNetwork, result: FlowResult, pressures: dict[str, float], inlets: tuple[Suction, ...]
) -> Iterator[Finding]:
    """Suction near boiling, places well below atmosphere, ratings exceeded."""
    for inlet in inlets:
        if not inlet.is_safe and abs(result.flow[inlet.pump]) > NO_FLOW:
            yield Finding("suction", inlet.pump, _suction_words(loop, inlet))
    yield from _below_atmosphere(loop, _where_it_flows(loop, result, pressures))
    for part_id in loop.layout.placements:
        yield from _rating(loop.build.part(part_id), pressures)


def _where_it_flows(loop: LoopNetwork, result: FlowResult, pressures: dict[str, float]) -> dict[str, float]:
    """Pressures at the ends of runs that carry a flow: an unfinished drawing has others that mean nothing yet."""
    flowing = [run for run in loop.layout.runs if abs(result.flow[run.id]) > NO_FLOW]
    return {end: pressures[end] for run in flowing for end in (run.start, run.end) if _is_held(loop, result, run.start)}


def _is_held(loop: LoopNetwork, result: FlowResult, reference: str) -> bool:
    """Whether a vessel gives the pressures of a port's circuit a meaning."""
    return loop.circuit_at[loop.junction_of(reference)].body.junctions.isdisjoint(result.datum)


def _suction_words(loop: LoopNetwork, inlet: Suction) -> str:
    name, way_out = loop.build.part(inlet.pump).name, "raise the reservoir or shorten the way to it"
    if inlet.npsh_required is not None:
        return (
            f"{name}: {quantity(inlet.npsh_available, 'm', 1)} of suction head, it needs "
            f"{datum(inlet.npsh_required, 'm')} and {datum(NPSH_MARGIN, 'm')} to spare: {way_out}"
        )
    margin = inlet.pressure - inlet.vapour_pressure
    if margin < 0:
        missing = f"{quantity(-margin, 'kpa')} are missing, so the flow is less"
        return f"{name}: the coolant boils in its inlet, {missing}: {way_out}"
    return f"{name}: its inlet is {quantity(margin, 'kpa')} from boiling: {way_out}"


def _below_atmosphere(loop: LoopNetwork, pressures: dict[str, float]) -> Iterator[Finding]:
    lowest: dict[str, float] = {}
    for reference, pressure in pressures.items():
        part_id = part_of(reference)
        lowest[part_id] = min(pressure, lowest.get(part_id, 0.0))
    for part_id, pressure in lowest.items():
        if pressure < AIR_IS_DRAWN_BELOW:
            name = loop.build.part(part_id).name
            text = f"{name}: {quantity(-pressure, 'kpa', 1)} below the room; a fitting that weeps there draws air"
            yield Finding("below_atmosphere", part_id, text)


def _rating(part: Part, pressures: dict[str, float]) -> Iterator[Finding]:
    if part.rating_kpa is None:
        return
    highest = max(
        (pressures[f"{part.id}.{port}"] for port in part.ports if f"{part.id}.{port}" in pressures), default=0.0
    )
    if highest > to_si(part.rating_kpa, "kpa"):
        text = f"{part.name}: {quantity(highest, 'kpa')} inside, it is rated for {datum(part.rating_kpa, 'kpa')}"
        yield Finding("rating", part.id, text)
