"""An arrangement taken into a build as a new layout."""

from loopsim.build import Build
from loopsim.build.copying import fresh, with_tube
from loopsim.build.edits import Edit
from loopsim.build.layout_edits import free_layout_name
from loopsim.studies.arranging.results import Arrangement

__all__ = ["taken"]


def taken(build: Build, arrangement: Arrangement, name: str | None = None) -> tuple[Edit, str]:
    """A build with an arrangement as its last layout; and the layout's name.

    The build is that in which the arrangement was looked for, which may have changed since. Tees that came with the
    arrangement get ids and names that are free in it; so do parts and tubes that it no longer has as they were.

    Parameters
    ----------
    build : Build
    arrangement : Arrangement
    name : str, optional
        Of the layout; one that is free if not given.
    """
    layout, made = arrangement.layout, build
    as_here = {part_id: part_id for part_id in layout.placements}
    for part in map(arrangement.build.part, layout.placements):
        if build.parts_by_id.get(part.id) != part:
            new = fresh(made, part)
            made = made.with_values(parts=(*made.parts, new))
            as_here[part.id] = new.id
    tubes: dict[str, str] = {}
    for tube_id in dict.fromkeys(run.tube for run in layout.runs):
        made, tube = with_tube(made, arrangement.build.tube(tube_id))
        tubes[tube_id] = tube.id
    title = free_layout_name(build, name or layout.name)
    added = layout.with_values(
        name=title,
        placed=tuple(each.with_values(part=as_here[each.part]) for each in layout.placed),
        runs=tuple(
            run.with_values(start=_renamed(run.start, as_here), end=_renamed(run.end, as_here), tube=tubes[run.tube])
            for run in layout.runs
        ),
        loop_flow_at=None if layout.loop_flow_at is None else as_here[layout.loop_flow_at],
    )
    return Edit(made.with_values(layouts=(*made.layouts, added)), f"Take the arrangement as layout {title}"), title


def _renamed(port: str, as_here: dict[str, str]) -> str:
    part, _, name = port.partition(".")
    return f"{as_here[part]}.{name}"
