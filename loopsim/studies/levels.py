"""Free surfaces: levels at which several open ones settle, and the pressure of gas that is shut in."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from loopsim.network import Circuit, LoopNetwork
from loopsim.parts import Part
from loopsim.solve import FlowResult, solve_flow
from loopsim.studies.sentence import quantity
from loopsim.studies.words import NO_FLOW
from loopsim.units import GRAVITY, to_si

__all__ = ["Level", "level_sentence", "settled"]

Verdict = Literal["holds", "overflows", "draws air"]

_SECONDS_PER_HOUR = 3600.0


@dataclass(frozen=True, slots=True)
class Level:
    """Where the surface of one of several vessels settles.

    Attributes
    ----------
    vessel, name : str
        Its id and name.
    drawn, settles : float
        Height of the surface above the vessel's underside as drawn, and when no more flows between the vessels [m].
    verdict : str
        ``"holds"``; ``"overflows"`` where the level would rise over the rim, ``"draws air"`` where it would fall to
        a port.
    hours : float or None
        Until it does so, at the flow with which it begins [h]; None where it holds.
    """

    vessel: str
    name: str
    drawn: float
    settles: float
    verdict: Verdict
    hours: float | None = None


def settled(loop: LoopNetwork, result: FlowResult) -> tuple[FlowResult, dict[Circuit, tuple[Level, ...]]]:
    """The flow with all vessels at the levels at which they neither gain nor lose liquid.

    Gas that is shut in stands at the pressure that follows from its volume and the coolant's mean temperature.

    Parameters
    ----------
    loop : LoopNetwork
        Where a circuit has several surfaces, its first one holds the pressure.
    result : FlowResult
        The same network solved.

    Returns
    -------
    result : FlowResult
        Pressures moved to where the circuit's liquid, all in all, stays what was drawn; the flow is the same.
    levels : dict of Circuit to tuple of Level
        For the circuits with more than one surface.

    References
    ----------
    Hydrostatics: a vessel that takes in as much as it gives off stands at its piezometric head. Checked by hand
    calculation in tests/studies/test_levels.py.
    """
    result = _with_cushions(loop, result)
    several = [circuit for circuit in loop.circuits if len(circuit.surfaces) > 1]
    if not several:
        return result, {}
    rises = {circuit: _rises(loop, result, circuit) for circuit in several}
    for circuit in several:
        first = circuit.surfaces[0]
        loop.hold(first, circuit.coolant.state.density * GRAVITY * rises[circuit][first])
    moved = solve_flow(loop.network, start=result)
    gains = _gains_as_drawn(loop, several, moved)
    return moved, {circuit: tuple(_levels(loop, circuit, rises[circuit], gains)) for circuit in several}


def _with_cushions(loop: LoopNetwork, result: FlowResult) -> FlowResult:
    """Pressures moved to those of the cushions at the temperatures found; the flow is the same."""
    closed = [circuit for circuit in loop.circuits if circuit.cushion is not None]
    moved = [loop.hold_cushion(circuit, _mean_temperature(loop, circuit)) for circuit in closed]
    return solve_flow(loop.network, start=result) if any(moved) else result


def _mean_temperature(loop: LoopNetwork, circuit: Circuit) -> float:
    """Of the coolant in a circuit, by what each part and run holds of it [°C]."""
    items = loop.items_in(circuit.body)
    volumes = [loop.coolant_ml(item) for item in items]
    warmth = sum(volume * loop.state_of(item).temperature_c for volume, item in zip(volumes, items, strict=True))
    return warmth / sum(volumes)


def level_sentence(level: Level) -> str:
    """What a level does, in a sentence."""
    moved = level.settles - level.drawn
    way = "rises" if moved > 0 else "falls"
    if level.verdict == "holds":
        return f"{level.name}: its level {way} by {quantity(abs(moved), 'mm')} while the pumps run"
    when = "" if level.hours is None else f" within about {_duration(level.hours)}"
    return f"{level.name}: its level {way} until it {level.verdict}{when}; join the vessels or raise one of them"


def _rises(loop: LoopNetwork, result: FlowResult, circuit: Circuit) -> dict[str, float]:
    """By how much each level moves [m], such that the volume of liquid stays."""
    weight = circuit.coolant.state.density * GRAVITY
    heads = {part_id: result.pressure[part_id] / weight for part_id in circuit.surfaces}
    areas = {part_id: loop.build.part(part_id).surface_m2 for part_id in circuit.surfaces}
    whole = sum(areas.values())
    mean = sum(areas[part_id] * heads[part_id] for part_id in heads) / whole if whole else 0.0
    return {part_id: head - mean for part_id, head in heads.items()}


def _gains_as_drawn(loop: LoopNetwork, circuits: list[Circuit], result: FlowResult) -> dict[str, float]:
    """Net flow into each vessel while all levels stand as drawn [m3/s]."""
    vessels = [part_id for circuit in circuits for part_id in circuit.surfaces]
    kept = {part_id: loop.network.junctions[part_id] for part_id in vessels}
    for part_id in vessels:
        loop.hold(part_id, 0.0)
    flow = solve_flow(loop.network, start=result).flow
    loop.network.junctions.update(kept)
    gains = dict.fromkeys(vessels, 0.0)
    for name, link in loop.network.links.items():
        for end, sign in ((link.start, -1), (link.end, 1)):
            if end in gains:
                gains[end] += sign * flow[name]
    return gains


def _levels(loop: LoopNetwork, circuit: Circuit, rises: dict[str, float], gains: dict[str, float]) -> Iterator[Level]:
    for part_id in circuit.surfaces:
        vessel = loop.build.part(part_id)
        drawn = to_si(vessel.surface_mm or 0.0, "mm")
        settles = drawn + rises[part_id]
        lowest, highest = (to_si(bound, "mm") for bound in vessel.level_range_mm)
        if lowest <= settles <= highest:
            yield Level(part_id, vessel.name, drawn, settles, "holds")
        elif settles > highest:
            yield Level(part_id, vessel.name, drawn, settles, "overflows", _hours(vessel, highest - drawn, gains))
        else:
            yield Level(part_id, vessel.name, drawn, settles, "draws air", _hours(vessel, lowest - drawn, gains))


def _hours(vessel: Part, way: float, gains: dict[str, float]) -> float | None:
    gain = gains[vessel.id]
    if abs(gain) < NO_FLOW or gain * way < 0:
        return None
    return way * vessel.surface_m2 / gain / _SECONDS_PER_HOUR


def _duration(hours: float) -> str:
    if hours >= 2:
        return f"{hours:.0f} h"
    minutes = hours * 60
    return f"{minutes:.0f} min" if minutes >= 2 else f"{minutes * 60:.0f} s"
