"""After the fill: how far the level falls at full pressure, as a test for air."""

from collections.abc import Mapping

import numpy as np

from loopsim.parts import part_of
from loopsim.studies.fill.places import millilitres, millimetres
from loopsim.studies.fill.plan_results import LevelFall
from loopsim.studies.fill.results import AirMap
from loopsim.studies.results import OperatingPoint
from loopsim.units import GRAVITY, to_si

__all__ = ["level_fall"]

READABLE = 1e-3  # change of a level that one can see [m]
_NO_PRESSURE = 100.0  # a rise of less presses nothing together [Pa]


def level_fall(point: OperatingPoint, found: AirMap, expected_air: float) -> LevelFall | None:
    """How far the first vessel's level falls when the pumps are switched on with air inside; None without either.

    Air at rest stands under ambient pressure and the column above it; running, under the pumps' pressure too. By the
    ideal gas law it gives way to liquid from the vessel. Soft tube gives way as well: what is read is the most that
    the air can be.

    Parameters
    ----------
    point : OperatingPoint
        With all pumps running.
    found : AirMap
        At that point.
    expected_air : float
        That the fill leaves inside [m3].
    """
    layout, build = point.layout, point.build
    vessel = next((each for each in layout.placements if build.part(each).surface_mm is not None), None)
    if vessel is None or not any(pump.state == "running" for pump in point.pumps):
        return None
    part = build.part(vessel)
    level = to_si(layout.placement(vessel).height_mm + (part.surface_mm or 0.0), "mm")
    shares = _squeezed_shares(point, level)
    places = [each for each in found.points if each.at.item in shares and each.verdict != "clears"]
    weights = [each.gas for each in places]
    if weights:
        share = float(np.average([shares[each.at.item] for each in places], weights=weights))
    else:
        share = float(np.mean(list(shares.values()))) if shares else 0.0
    per_fall = part.surface_m2 / share if share > 0 else float("inf")
    fall = expected_air / per_fall
    return LevelFall(vessel, part.name, fall, per_fall, _sentence(part.name, fall, per_fall))


def _squeezed_shares(point: OperatingPoint, level: float) -> Mapping[str, float]:
    """By what share air in each part and run shrinks when the pumps are switched on; below 0 where it grows."""
    ambient = point.build.ambient.pressure
    at: dict[str, list[float]] = {}
    for run in point.layout.runs:
        for port in (run.start, run.end):
            pressure = point.pressures.get(port)
            if pressure is None:
                continue
            weight = point.state_of(run.id).density * GRAVITY
            rest = weight * (level - to_si(point.build.port_spot(point.layout, port).height_mm, "mm"))
            share = (pressure - rest) / (ambient + pressure) if abs(pressure - rest) > _NO_PRESSURE else 0.0
            for item in (run.id, part_of(port)):
                at.setdefault(item, []).append(share)
    return {item: float(np.mean(each)) for item, each in at.items()}


def _sentence(name: str, fall: float, per_fall: float) -> str:
    if not np.isfinite(per_fall):
        return f"{name}: the pumps press none of the air together; its level tells nothing about air inside"
    return (
        f"{name}: switch all pumps on and watch its level; each millimetre that it falls stands for up to "
        f"{millilitres(per_fall * READABLE)} of air inside, and {millimetres(fall)} are expected"
    )
