"""An arrangement taken into a build as a new layout."""

from loopsim.build import Build, edits
from loopsim.build.copying import first_free
from loopsim.build.edits import Edit
from loopsim.build.layout_edits import free_layout_name
from loopsim.studies.arranging.results import Arrangement

__all__ = ["taken"]


def taken(build: Build, arrangement: Arrangement, name: str | None = None) -> tuple[Edit, str]:
    """A build with an arrangement as its last layout; and the layout's name.

    The build is that in which the arrangement was looked for, which may have other layouts by now. Tees that came with
    the arrangement get ids and names that are free in it.

    Parameters
    ----------
    build : Build
    arrangement : Arrangement
    name : str, optional
        Of the layout; one that is free if not given.

    Raises
    ------
    SketchError
        If the build does not have a part of the arrangement any more.
    """
    layout, made = arrangement.layout, build
    as_here: dict[str, str] = {}
    for part_id in layout.placements:
        part = arrangement.build.part(part_id)
        if part_id in build.parts_by_id and build.part(part_id) == part:
            continue
        fresh = part.with_values(
            id=edits.free_part_id(made, part.kind_name()),
            name=first_free(part.name, [each.name for each in made.parts]),
        )
        made = made.with_values(parts=(*made.parts, fresh))
        as_here[part_id] = fresh.id
    title = free_layout_name(build, name or layout.name)
    placed = tuple(each.with_values(part=as_here.get(each.part, each.part)) for each in layout.placed)
    runs = tuple(
        run.with_values(start=_renamed(run.start, as_here), end=_renamed(run.end, as_here)) for run in layout.runs
    )
    added = layout.with_values(name=title, placed=placed, runs=runs)
    return Edit(made.with_values(layouts=(*made.layouts, added)), f"Take the arrangement as layout {title}"), title


def _renamed(port: str, as_here: dict[str, str]) -> str:
    part, _, name = port.partition(".")
    return f"{as_here.get(part, part)}.{name}"
