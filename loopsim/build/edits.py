"""Edits: pure functions from a build to the next, each with a name that reads well after "Undo".

No edit changes the build it is given. An edit whose values are not allowed raises, and the build stays as it was.
"""

from collections.abc import Callable
from typing import Any, NamedTuple, TypeVar

from pydantic import ValidationError

from loopsim.build.document import Build, Layout, Placement, new_name
from loopsim.build.explain import explain
from loopsim.errors import PartDataError
from loopsim.fields import Record
from loopsim.parts import Part, Tube, TubeRun

__all__ = [
    "Edit",
    "add_part",
    "add_run",
    "add_tube",
    "change_build",
    "change_layout",
    "change_part",
    "change_placement",
    "change_run",
    "change_tube",
    "free_part_id",
    "free_run_id",
    "free_tube_id",
    "move",
    "place",
    "remove_part",
    "remove_run",
    "rotate",
    "without_lost",
]


R = TypeVar("R", bound=Record)
T = TypeVar("T")


class Edit(NamedTuple):
    """The build after an edit, and what the edit did, in words."""

    build: Build
    text: str


def add_part(build: Build, layout_name: str, part: Part, placement: Placement) -> Edit:
    """Put a new part into the build and place it in one layout; `placement` names the part by its id."""
    layout = build.layout(layout_name)
    placed = layout.with_values(placed=(*layout.placed, placement))
    layouts = _swapped(build.layouts, layout, placed)
    return Edit(build.with_values(parts=(*build.parts, part), layouts=layouts), f"Place {part.name}")


def place(build: Build, layout_name: str, placement: Placement) -> Edit:
    """Place a part that the build already has in one more layout."""
    changed = _in_layout(build, layout_name, lambda layout: {"placed": (*layout.placed, placement)})
    return Edit(changed, f"Place {build.part(placement.part).name}")


def move(build: Build, layout_name: str, part_id: str, x_mm: float, y_mm: float) -> Edit:
    """Move a part in plan."""
    edit = change_placement(build, layout_name, part_id, x_mm=x_mm, y_mm=y_mm)
    return edit._replace(text=f"Move {build.part(part_id).name}")


def rotate(build: Build, layout_name: str, part_id: str, by_deg: float) -> Edit:
    """Turn a part about its middle, counter-clockwise."""
    turned = (build.layout(layout_name).placement(part_id).rotation_deg + by_deg) % 360.0
    edit = change_placement(build, layout_name, part_id, rotation_deg=turned)
    return edit._replace(text=f"Rotate {build.part(part_id).name}")


def change_placement(build: Build, layout_name: str, part_id: str, **values: Any) -> Edit:
    """Change where or how a part stands in one layout: height, rotation, speed."""
    placement = build.layout(layout_name).placement(part_id)
    changed = _checked(placement, values)
    after = _in_layout(build, layout_name, lambda layout: {"placed": _swapped(layout.placed, placement, changed)})
    return Edit(after, f"Change {build.part(part_id).name}")


def change_part(build: Build, part_id: str, **values: Any) -> Edit:
    """Change a part's data, in every layout at once."""
    part = build.part(part_id)
    changed = _checked(part, values)
    return Edit(build.with_values(parts=_swapped(build.parts, part, changed)), f"Change {part.name}")


def remove_part(build: Build, layout_name: str, part_id: str) -> Edit:
    """Take a part out of a layout, with the runs that end on it; its data go when no layout places it any more."""
    part = build.part(part_id)
    placement = build.layout(layout_name).placement(part_id)

    def without(layout: Layout) -> dict[str, Any]:
        return {
            "placed": tuple(each for each in layout.placed if each is not placement),
            "runs": tuple(run for run in layout.runs if part_id not in run.part_ids),
            "loop_flow_at": None if layout.loop_flow_at == part_id else layout.loop_flow_at,
            "air_returns": tuple(each for each in layout.air_returns if part_id not in (each.outlet, each.inlet)),
        }

    layout = build.layout(layout_name)
    layouts = _swapped(build.layouts, layout, layout.with_values(**without(layout)))
    stays = any(part_id in layout.placements for layout in layouts)
    parts = build.parts if stays else tuple(each for each in build.parts if each is not part)
    after = without_lost(build, parts, layouts)
    return Edit(after, f"Remove {part.name}")


def add_run(build: Build, layout_name: str, run: TubeRun) -> Edit:
    """Draw a tube run."""
    after = _in_layout(build, layout_name, lambda layout: {"runs": (*layout.runs, run)})
    return Edit(after, f"Draw {_run_words(run)}")


def change_run(build: Build, layout_name: str, run_id: str, **values: Any) -> Edit:
    """Change a tube run: its corners, ends, tube or bend radius."""
    run = build.layout(layout_name).run(run_id)
    changed = _checked(run, values)
    after = _in_layout(build, layout_name, lambda layout: {"runs": _swapped(layout.runs, run, changed)})
    return Edit(after, f"Change {_run_words(run)}")


def remove_run(build: Build, layout_name: str, run_id: str) -> Edit:
    """Take a tube run away."""
    run = build.layout(layout_name).run(run_id)
    layout = build.layout(layout_name)
    kept = layout.with_values(runs=tuple(each for each in layout.runs if each is not run))
    after = without_lost(build, build.parts, _swapped(build.layouts, layout, kept))
    return Edit(after, f"Remove {_run_words(run)}")


def add_tube(build: Build, tube: Tube) -> Edit:
    """Add a tube from which runs can be cut."""
    return Edit(build.with_values(tubes=(*build.tubes, tube)), f"Add {tube.name}")


def change_tube(build: Build, tube_id: str, **values: Any) -> Edit:
    """Change a tube's data, for every run cut from it."""
    tube = build.tube(tube_id)
    changed = _checked(tube, values)
    return Edit(build.with_values(tubes=_swapped(build.tubes, tube, changed)), f"Change {tube.name}")


def change_layout(build: Build, layout_name: str, **values: Any) -> Edit:
    """Change what belongs to a whole layout: where its flow is read, and the flow measured there."""
    layout = build.layout(layout_name)
    changed = _checked(layout, values)
    return Edit(build.with_values(layouts=_swapped(build.layouts, layout, changed)), f"Change {layout.name}")


def change_build(build: Build, **values: Any) -> Edit:
    """Change what belongs to the whole build: its name, enclosure, ambient or coolant."""
    return Edit(_checked(build, values), f"Change {', '.join(values)}")


def free_part_id(build: Build, kind: str) -> str:
    """An id for a new part of a kind: ``pump``, ``pump_2``, ..."""
    return new_name(kind, [part.id for part in build.parts])


def free_run_id(layout: Layout) -> str:
    """An id for a new tube run: ``run``, ``run_2``, ..."""
    return new_name("run", [run.id for run in layout.runs])


def free_tube_id(build: Build) -> str:
    """An id for a new tube: ``tube``, ``tube_2``, ..."""
    return new_name("tube", [tube.id for tube in build.tubes])


def _checked(record: R, values: dict[str, Any]) -> R:
    """The record with new values, or one clear error."""
    try:
        return record.with_values(**values)
    except ValidationError as error:
        merged = {name: values.get(name, getattr(record, name)) for name in type(record).model_fields}
        why = explain(error, merged, type(record))
        raise PartDataError(why.text, part=why.part, field=why.field) from error


def _in_layout(build: Build, layout_name: str, change: Callable[[Layout], dict[str, Any]]) -> Build:
    layout = build.layout(layout_name)
    return build.with_values(layouts=_swapped(build.layouts, layout, layout.with_values(**change(layout))))


def without_lost(build: Build, parts: tuple[Part, ...], layouts: tuple[Layout, ...]) -> Build:
    """The build with other parts and layouts; loads, links and failure cases that speak of what is gone go with it."""
    placed = {part.id for part in parts}
    known = placed.union(*(layout.runs_by_id for layout in layouts))
    cases = (
        each for each in build.own_failures if all(event.item is None or event.item in known for event in each.events)
    )
    loads = tuple(load for load in build.case_loads if load.part in placed)
    room = build.enclosure
    if any(opening.part is not None and opening.part not in placed for opening in room.openings):
        links = (each if each.part in placed else each.with_values(part=None) for each in room.openings)
        room = room.with_values(openings=tuple(links))
    return build.with_values(enclosure=room, parts=parts, layouts=layouts, case_loads=loads, own_failures=tuple(cases))


def _swapped(records: tuple[T, ...], old: T, new: T) -> tuple[T, ...]:
    return tuple(new if each is old else each for each in records)


def _run_words(run: TubeRun) -> str:
    return f"tube run {run.start} to {run.end}"
