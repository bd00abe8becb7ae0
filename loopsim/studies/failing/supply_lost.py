"""A machine without one of its electrical supplies."""

from loopsim.build import Build, CaseLoad, Layout
from loopsim.parts import AirComponent, Block, Supply

__all__ = ["without_supply"]


def without_supply(build: Build, layout: Layout, supply_id: str) -> tuple[Build, frozenset[str]]:
    """The build in which one supply feeds nothing any more, and the ids of the layout's parts that hung on no other.

    Parts that another supply of the layout feeds too go on, and that supply takes their whole load. Blocks and
    air-cooled parts without power give no heat in any load case.
    """
    lost = build.part(supply_id)
    assert isinstance(lost, Supply)
    others = [part for part in (build.part(each) for each in layout.placements) if isinstance(part, Supply)]
    still_fed = {fed.part for other in others if other.id != supply_id for fed in other.feeds}
    dead = (frozenset(fed.part for fed in lost.feeds) & layout.placements.keys()) - still_fed
    parts = tuple(lost.with_values(feeds=()) if part is lost else part for part in build.parts)
    return build.with_values(parts=parts, case_loads=_loads_without(build, dead)), dead


def _loads_without(build: Build, dead: frozenset[str]) -> tuple[CaseLoad, ...]:
    cold = [part_id for part_id in sorted(dead) if isinstance(build.part(part_id), Block | AirComponent)]
    kept = (load for load in build.case_loads if load.part not in cold)
    none = (CaseLoad(case=case.name, part=part_id, load_percent=0.0) for case in build.load_cases for part_id in cold)
    return (*kept, *none)
