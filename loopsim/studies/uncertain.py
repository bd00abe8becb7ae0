"""What of a machine is known within a band only: every curve, bore and load, each with its tolerance."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from loopsim import elements
from loopsim.curves import AirDropCurve, DataCurve, DropCurve, FanCurve
from loopsim.network import AirNetwork, LoopNetwork, ThermalNetwork
from loopsim.parts import AirComponent, Block, Part, Pump, Valve

__all__ = ["LOAD_TOLERANCE", "Uncertain", "air_drops", "liquid_drops", "uncertainties"]

LOAD_TOLERANCE = 0.1  # of the heat of a component on a block: a guess

Of = Literal["liquid", "air", "block", "exchange", "load"]


@dataclass(frozen=True, slots=True)
class Uncertain:
    """One thing that is known within a band, and varies by itself.

    Attributes
    ----------
    key : str
        Fixed word for programs: ``"pump_a head"``.
    name : str
        ``"Pump A, head"``.
    of : str
        What it multiplies: the drops of elements of the ``"liquid"`` or the ``"air"``, the resistance of a
        ``"block"``, the conductance of an ``"exchange"``, or a ``"load"``.
    targets : tuple of str
        Names of the elements, or the id of the part.
    tolerance : float
        Half width of the band, as a share.
    """

    key: str
    name: str
    of: Of
    targets: tuple[str, ...]
    tolerance: float


def uncertainties(thermal: ThermalNetwork, load_tolerance: float = LOAD_TOLERANCE) -> tuple[Uncertain, ...]:
    """Everything in a layout that is known within a band, in the order of the layout; without what counts as exact.

    Parameters
    ----------
    thermal : ThermalNetwork
    load_tolerance : float
        Half width of the band of the heat of components on blocks, as a share; those in air say their own.
    """
    return _known_within(_all(thermal, load_tolerance))


def liquid_drops(loop: LoopNetwork) -> tuple[Uncertain, ...]:
    """Those of them that multiply what parts and tubes take of the liquid's pressure, or pumps give."""
    parts = (_liquid_drop(loop, part_id) for part_id in loop.layout.placements)
    return _known_within([*parts, *_tubes(loop)])


def air_drops(loop: LoopNetwork, air: AirNetwork) -> tuple[Uncertain, ...]:
    """Those of them that multiply what the air loses or gains in pressure."""
    return _known_within(_air_drop(loop, air, part_id) for part_id in loop.layout.placements)


def _known_within(found: Iterable[Uncertain]) -> tuple[Uncertain, ...]:
    return tuple(each for each in found if each.tolerance > 0 and each.targets)


def _all(thermal: ThermalNetwork, load_tolerance: float) -> Iterator[Uncertain]:
    loop = thermal.loop
    for part_id in loop.layout.placements:
        part = loop.build.part(part_id)
        yield _liquid_drop(loop, part_id)
        yield _air_drop(loop, thermal.air, part_id)
        if isinstance(part, Block):
            resistance = part.cooling.relative_tolerance
            yield Uncertain(f"{part_id} resistance", f"{part.name}, resistance", "block", (part_id,), resistance)
            yield Uncertain(f"{part_id} load", f"{part.name}, load", "load", (part_id,), load_tolerance)
        if isinstance(part, AirComponent):
            yield Uncertain(f"{part_id} load", f"{part.name}, load", "load", (part_id,), part.relative_tolerance)
        if part.exchanger is not None:
            share = part.exchanger.relative_tolerance
            yield Uncertain(f"{part_id} heat", f"{part.name}, heat", "exchange", (part_id,), share)
    yield from _tubes(loop)


def _liquid_drop(loop: LoopNetwork, part_id: str) -> Uncertain:
    part = loop.build.part(part_id)
    word = "head" if isinstance(part, Pump) else "drop"
    inside = loop.elements_of.get(part_id, ())
    tolerance = _of_pump(part, part_id in loop.stopped) if isinstance(part, Pump) else _of_drop(part)
    return Uncertain(f"{part_id} {word}", f"{part.name}, {word}", "liquid", inside, tolerance)


def _air_drop(loop: LoopNetwork, air: AirNetwork, part_id: str) -> Uncertain:
    part = loop.build.part(part_id)
    return Uncertain(f"{part_id} air", f"{part.name}, air", "air", air.elements_of[part_id], _of_air(part))


def _tubes(loop: LoopNetwork) -> Iterator[Uncertain]:
    """All runs cut from one tube are off by the same."""
    for tube in loop.build.tubes:
        runs = tuple(run.id for run in loop.layout.runs if run.tube == tube.id)
        yield Uncertain(f"{tube.id} drop", f"{tube.name}, drop", "liquid", runs, tube.relative_tolerance)


def _of_pump(pump: Pump, stopped: bool) -> float:
    if not stopped:
        return pump.curve.relative_tolerance
    known = [each.relative_tolerance for each in (pump.stopped_forward, pump.stopped_backward) if each is not None]
    return max([*known, *([elements.STANDING_BAND] if pump.stopped_is_estimate else [])])


def _of_drop(part: Part) -> float:
    """Of the drop curve, or of a fitting's losses."""
    if isinstance(part, Valve) and part.kv_by_opening is not None:
        return part.kv_by_opening.relative_tolerance
    return _of_curves(part, DropCurve)


def _of_air(part: Part) -> float:
    return _of_curves(part, AirDropCurve, FanCurve)


def _of_curves(part: Part, *kinds: type[DataCurve]) -> float:
    """The widest band of the part's curves of some kinds; without one, that of the part's single number."""
    values = [getattr(part, name) for name in type(part).model_fields]
    own = float(getattr(part, "relative_tolerance", 0.0))
    return max((value.relative_tolerance for value in values if isinstance(value, kinds)), default=own)
