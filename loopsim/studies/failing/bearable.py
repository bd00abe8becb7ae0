"""A situation come to rest, whether its limits hold, and the largest load with which they do."""

from collections.abc import Iterable
from dataclasses import replace

from loopsim.errors import NotSolved
from loopsim.solve import Coupled
from loopsim.studies.failing.catalogue import Situation
from loopsim.studies.heat.point import component_heats, read_heat, solved_heat
from loopsim.studies.heat.power import SupplyLoad
from loopsim.studies.heat.results import ComponentHeat, HeatPoint
from loopsim.studies.heat.sources import HeatSources

__all__ = ["SETTLED", "at_rest", "bearable_share", "holds", "slack", "with_load"]

WORTH_RUNNING = 0.05  # share of the load below which nothing useful runs any more
_CLOSE = 1e-3  # of the way from the room to the limit
SETTLED = 1e-3  # most that temperatures may have left to go to rest: far less than any margin is told to [K]
_NEARLY = 1e-2  # the same while a load is searched for, whose limit is met within 50 mK or so [K]
_AIM = 0.5 * _CLOSE  # where the search wants to end: on the side on which limits hold
_MOST_TRIES = 8


def at_rest(situation: Situation, case_name: str, near: HeatPoint | None = None, left: float = 0.0) -> HeatPoint | None:
    """Flow, heat and air of a situation in a load case; None where none is found at which they settle.

    A loop that stands and boils, or is driven by nothing but its own warmth, may swing for ever. Its findings are
    without those of the drawing; `left` is that of `solve_coupled`.
    """
    try:
        return read_heat(*_solved(situation, case_name, None if near is None else near.coupled, left), drawn=False)
    except NotSolved:
        return None


def _solved(situation: Situation, case_name: str, near: Coupled | None, left: float) -> tuple[HeatSources, Coupled]:
    build = situation.build
    return solved_heat(build, situation.layout, build.load_case(case_name), situation.stopped, near, left)


def holds(heat: HeatPoint) -> bool:
    """True if every component settles below its limit, and no supply gives more than it may."""
    return all(each.holds for each in heat.components) and slack(heat) >= 0


def slack(heat: HeatPoint) -> float:
    """Least distance to any limit, as a share of the way from no load to it; negative past it, nearly linear in load.

    Of components and supplies. Minus infinity where no load at all would help: nothing flows, or the room is too warm;
    or where coolant boils at a component that would bear it. What never settles counts by the components it reaches:
    a pump that works against a shut valve warms what stands in it without end, and harms none of them.
    """
    return _slack(heat.components, heat.supplies, heat.room)


def _slack(components: Iterable[ComponentHeat], supplies: Iterable[SupplyLoad], room_c: float) -> float:
    unused = (1 - supply.load / supply.rating for supply in supplies)
    return min([1.0, *(_left(each, room_c) for each in components), *unused])


def _left(component: ComponentHeat, room_c: float) -> float:
    """Of the way from the room's temperature to its limit [degrees Celsius]."""
    if component.temperature is None:
        return float("-inf")
    if component.limit is None:
        return float("-inf") if component.boils else 1.0
    if component.limit <= room_c:
        return float("-inf")
    left = (component.limit - component.temperature) / (component.limit - room_c)
    return float("-inf") if component.boils and left >= 0 else left


def with_load(situation: Situation, share: float) -> Situation:
    """The same with all loads of all cases at a share of what they are."""
    build = situation.build
    cases = tuple(case.with_values(load_percent=share * case.load_percent) for case in build.load_cases)
    own = tuple(load.with_values(load_percent=share * load.load_percent) for load in build.case_loads)
    return replace(situation, build=build.with_values(load_cases=cases, case_loads=own))


def bearable_share(situation: Situation, heat: HeatPoint) -> float:
    """Largest share of a case's load at which all limits hold, 0 where nothing useful would be left.

    Secant steps on `slack`, which is a straight line in the load but for what viscosity, the density of air and the
    weight of warm columns make of it; they end on the side on which limits hold.

    Parameters
    ----------
    situation : Situation
    heat : HeatPoint
        Its solution at full load.
    """
    one, slack_one, near = 1.0, slack(heat), heat.coupled
    if slack_one >= 0:
        return 1.0
    share = (1 - _AIM) / (1 - slack_one)  # a line from no load, where all is as cold as the room
    for _ in range(_MOST_TRIES):
        if share < WORTH_RUNNING:
            return 0.0
        try:
            found, near = _with_share(situation, share, heat, near)
        except NotSolved:
            return 0.0
        if 0 <= found <= _CLOSE:
            return share
        if found == float("-inf") or found == slack_one:
            return 0.0
        aim = share + (_AIM - found) * (share - one) / (found - slack_one)
        one, slack_one, share = share, found, aim
    return 0.0


def _with_share(situation: Situation, share: float, heat: HeatPoint, near: Coupled) -> tuple[float, Coupled]:
    """The slack that a share of the load leaves, and the solution it was read from."""
    sources, coupled = _solved(with_load(situation, share), heat.case.name, near, _NEARLY)
    return _slack(component_heats(sources, coupled), sources.supplies(coupled.liquid), heat.room), coupled
