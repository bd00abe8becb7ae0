"""Copies of parts and the runs between them, within a build and from one build to another."""

from collections.abc import Iterable
from itertools import count

from loopsim.build import edits
from loopsim.build.document import Build, Layout, Placement, new_name
from loopsim.build.edits import Edit
from loopsim.build.run_edits import tidy
from loopsim.errors import SketchError
from loopsim.parts import Part, Supply, Tube, TubeRun

__all__ = ["cutting", "first_free", "fresh", "paste", "with_tube"]


def cutting(build: Build, layout_name: str, ids: Iterable[str]) -> Build:
    """A build of its own with some parts of a layout, the runs between them, and the tube of these.

    Raises
    ------
    SketchError
        If none of the parts is chosen.
    """
    layout, chosen = build.layout(layout_name), frozenset(ids)
    placed = tuple(each for each in layout.placed if each.part in chosen)
    if not placed:
        raise SketchError("select the parts to copy; the tube runs between them come along")
    kept = {each.part for each in placed}
    runs = tuple(run for run in layout.runs if {*run.part_ids} <= kept)
    tubes = {run.tube for run in runs}
    return Build(
        name=build.name,
        enclosure=build.enclosure.with_values(openings=()),
        coolants=build.coolants,
        tubes=tuple(tube for tube in build.tubes if tube.id in tubes),
        parts=tuple(build.part(each.part) for each in placed),
        layouts=(Layout(name=layout.name, placed=placed, runs=runs),),
    )


def paste(build: Build, layout_name: str, cut: Build, dx_mm: float, dy_mm: float) -> tuple[Edit, frozenset[str]]:
    """Put the first layout of another build into this one, shifted; with the ids of the new parts and runs.

    Parts and runs get ids and names that are free here; a tube that is here already is not doubled.
    """
    made, parts, groups = build, dict[str, str](), dict[str, str]()
    for stands in cut.layouts[0].placed:
        part = fresh(made, cut.part(stands.part))
        parts[stands.part] = part.id
        placement = _shifted(stands, part.id, dx_mm, dy_mm, _group(made, layout_name, stands.group, groups))
        made = edits.add_part(made, layout_name, part, placement).build
    runs = []
    for run in cut.layouts[0].runs:
        made, tube = with_tube(made, cut.tube(run.tube))
        copy = _run(run, edits.free_run_id(made.layout(layout_name)), tube, parts, dx_mm, dy_mm)
        made = edits.add_run(made, layout_name, copy).build
        runs.append(copy.id)
    made = _feeding_copies(made, parts)
    names = [made.part(part_id).name for part_id in parts.values()]
    text = f"Paste {names[0]}" if len(names) == 1 else f"Paste {len(names)} parts"
    return Edit(made, text), frozenset((*parts.values(), *runs))


def with_tube(build: Build, tube: Tube) -> tuple[Build, Tube]:
    """The build with a tube in it, and the tube as it is there; one with the same name and data is not doubled."""
    for known in build.tubes:
        if known.model_copy(update={"id": tube.id}) == tube:
            return build, known
    values = {"id": edits.free_tube_id(build), "name": first_free(tube.name, [each.name for each in build.tubes])}
    added = tube.model_copy(update=values)
    return edits.add_tube(build, added).build, added


def first_free(wanted: str, taken: Iterable[str]) -> str:
    """`wanted`, or its stem with the first free number: ``Pump``, ``Pump 2``; ``Fan 3`` gives ``Fan 4``."""
    names = frozenset(taken)
    if wanted not in names:
        return wanted
    stem, _, last = wanted.rpartition(" ")
    stem = stem if stem and last.isdigit() else wanted
    return next(name for name in (f"{stem} {number}" for number in count(2)) if name not in names)


def fresh(build: Build, part: Part) -> Part:
    """The part with an id and a name that are free, filled by a coolant that is here."""
    values: dict[str, str | None] = {
        "id": edits.free_part_id(build, part.kind_name()),
        "name": first_free(part.name, (each.name for each in build.parts)),
    }
    if part.circuit_coolant is not None and part.circuit_coolant not in build.coolants_by_id:
        values["coolant"] = None
    return part.model_copy(update=values)


def _feeding_copies(build: Build, parts: dict[str, str]) -> Build:
    """The build with every copied supply feeding the copies of what it fed, and nothing else."""
    for part_id in parts.values():
        supply = build.part(part_id)
        if isinstance(supply, Supply) and supply.feeds:
            feeds = tuple(fed.model_copy(update={"part": parts[fed.part]}) for fed in supply.feeds if fed.part in parts)
            build = edits.change_part(build, part_id, feeds=feeds).build
    return build


def _shifted(stands: Placement, part_id: str, dx_mm: float, dy_mm: float, group: str | None) -> Placement:
    place = {"x_mm": tidy(stands.x_mm + dx_mm), "y_mm": tidy(stands.y_mm + dy_mm)}
    return stands.model_copy(update={"part": part_id, "group": group, "locked": False, **place})


def _group(build: Build, layout_name: str, group: str | None, groups: dict[str, str]) -> str | None:
    """A copied group is a group of its own."""
    if group is None:
        return None
    if group not in groups:
        taken = [each.group for each in build.layout(layout_name).placed if each.group is not None]
        groups[group] = new_name("group", [*taken, *groups.values()])
    return groups[group]


def _run(run: TubeRun, run_id: str, tube: Tube, parts: dict[str, str], dx_mm: float, dy_mm: float) -> TubeRun:
    ends = [f"{parts[end.partition('.')[0]]}.{end.partition('.')[2]}" for end in (run.start, run.end)]
    corners = tuple(
        corner.model_copy(update={"x_mm": tidy(corner.x_mm + dx_mm), "y_mm": tidy(corner.y_mm + dy_mm)})
        for corner in run.corners
    )
    return run.with_values(id=run_id, start=ends[0], end=ends[1], tube=tube.id, corners=corners)
