"""Edits of what parts stand in and on: the room's outline and openings, reserved spaces, notes, a picture below."""

import math
from collections.abc import Sequence
from typing import Any, TypeVar

from loopsim.build.copying import first_free
from loopsim.build.document import Build, Layout, new_name
from loopsim.build.edits import Edit, change_build, change_layout
from loopsim.build.room import PlanPoint, Reserved, WallOpening
from loopsim.build.run_edits import tidy
from loopsim.build.sheet import Background, Note
from loopsim.errors import SketchError, did_you_mean
from loopsim.fields import Record
from loopsim.geometry.reshape import Point, insertion

__all__ = [
    "add_note",
    "add_opening",
    "add_reserved",
    "change_background",
    "change_note",
    "change_opening",
    "change_reserved",
    "free_note_id",
    "free_opening_name",
    "free_reserved_name",
    "insert_outline_corner",
    "move_outline_corner",
    "put_background",
    "remove_background",
    "remove_note",
    "remove_opening",
    "remove_outline_corner",
    "remove_reserved",
    "scale_background",
    "set_outline",
]

R = TypeVar("R", bound=Record)


def set_outline(build: Build, corners: Sequence[Point]) -> Edit:
    """Give the room an outline in plan; its length and width become those of the outline. Without corners, a box."""
    room = build.enclosure
    values: dict[str, Any] = {**_fields(room), "outline": _plan_points(corners)}
    if corners:
        values |= {"length_mm": max(x for x, _ in corners), "width_mm": max(y for _, y in corners)}
    return change_build(build, enclosure=values)._replace(text="Draw the enclosure")


def move_outline_corner(build: Build, index: int, x_mm: float, y_mm: float) -> Edit:
    """Move one corner of the room; a plain box gets an outline of its own."""
    corners = [*build.enclosure.corners]
    corners[_checked_corner(corners, index)] = (tidy(x_mm), tidy(y_mm))
    return set_outline(build, corners)._replace(text="Move corner of the enclosure")


def insert_outline_corner(build: Build, at: Point) -> tuple[Edit, int]:
    """A new corner on the wall that is nearest to `at`, and the corner's number."""
    corners = [*build.enclosure.corners]
    index, _, (x, y) = insertion([*corners, corners[0]], at)
    corners.insert(index + 1, (tidy(x), tidy(y)))
    return set_outline(build, corners)._replace(text="Add corner to the enclosure"), index + 1


def remove_outline_corner(build: Build, index: int) -> Edit:
    """Take one corner out of the room's outline."""
    corners = [*build.enclosure.corners]
    del corners[_checked_corner(corners, index)]
    return set_outline(build, corners)._replace(text="Remove corner of the enclosure")


def add_opening(build: Build, opening: WallOpening) -> Edit:
    """Cut a hole or grille into a wall, the floor or the lid."""
    return _openings(build, (*build.enclosure.openings, opening), f"Cut {opening.name}")


def change_opening(build: Build, name: str, **values: Any) -> Edit:
    """Change a hole or grille: where it is, how large, which part stands for its air."""
    room = build.enclosure
    changed = {**_fields(_opening(build, name)), **values}
    return _openings(build, [changed if each.name == name else each for each in room.openings], f"Change {name}")


def remove_opening(build: Build, name: str) -> Edit:
    """Close a hole or grille."""
    closed = _opening(build, name)
    return _openings(build, [each for each in build.enclosure.openings if each is not closed], f"Close {name}")


def add_reserved(build: Build, layout_name: str, space: Reserved) -> Edit:
    """Reserve a space in a layout."""
    spaces = (*build.layout(layout_name).reserved, space)
    return _in_layout(build, layout_name, f"Reserve {space.name}", reserved=spaces)


def change_reserved(build: Build, layout_name: str, name: str, **values: Any) -> Edit:
    """Change a reserved space: its place, size, heights or rule."""
    layout = build.layout(layout_name)
    spaces = _with(layout.reserved, _reserved(layout, name), values)
    return _in_layout(build, layout_name, f"Change {name}", reserved=spaces)


def remove_reserved(build: Build, layout_name: str, name: str) -> Edit:
    """Give a reserved space free."""
    layout = build.layout(layout_name)
    freed = _reserved(layout, name)
    spaces = tuple(each for each in layout.reserved if each is not freed)
    return _in_layout(build, layout_name, f"Free {name}", reserved=spaces)


def add_note(build: Build, layout_name: str, note: Note) -> Edit:
    """Write a note on the plan."""
    return _in_layout(build, layout_name, "Write note", notes=(*build.layout(layout_name).notes, note))


def change_note(build: Build, layout_name: str, note_id: str, **values: Any) -> Edit:
    """Change a note: its words, its place, where its arrow points (both None: no arrow)."""
    layout = build.layout(layout_name)
    text = "Change note" if "text" in values else "Move note"
    return _in_layout(build, layout_name, text, notes=_with(layout.notes, _note(layout, note_id), values))


def remove_note(build: Build, layout_name: str, note_id: str) -> Edit:
    """Take a note off the plan."""
    layout = build.layout(layout_name)
    gone = _note(layout, note_id)
    return _in_layout(build, layout_name, "Remove note", notes=tuple(each for each in layout.notes if each is not gone))


def put_background(build: Build, layout_name: str, background: Background) -> Edit:
    """Lay a picture or drawing under the plan, in place of the one that is there."""
    return _in_layout(build, layout_name, "Lay a drawing under the plan", background=background)


def change_background(build: Build, layout_name: str, **values: Any) -> Edit:
    """Move, turn, dim or lock what lies under the plan."""
    changed = {**_fields(_background(build, layout_name)), **values}
    return _in_layout(build, layout_name, "Change the drawing below", background=changed)


def remove_background(build: Build, layout_name: str) -> Edit:
    """Take away what lies under the plan."""
    _background(build, layout_name)
    return _in_layout(build, layout_name, "Remove the drawing below", background=None)


def scale_background(build: Build, layout_name: str, one: Point, other: Point, distance_mm: float) -> Edit:
    """Scale what lies under the plan about `one`, so that two places now on the plan are a known distance apart.

    Raises
    ------
    SketchError
        If the two places are the same, or the distance is not above 0 mm.
    """
    background, apart = _background(build, layout_name), math.dist(one, other)
    if not apart > 0 or not 0 < distance_mm < math.inf:
        raise SketchError(
            f"a scale needs two places apart and a distance above 0 mm, got {apart:g} mm on the plan and "
            f"{distance_mm:g} mm; click two ends of something of known length",
            field="mm_per_unit",
        )
    factor = distance_mm / apart
    place = {
        "mm_per_unit": background.mm_per_unit * factor,
        "x_mm": one[0] + factor * (background.x_mm - one[0]),
        "y_mm": one[1] + factor * (background.y_mm - one[1]),
    }
    return change_background(build, layout_name, **place)._replace(text="Scale the drawing below")


def free_note_id(layout: Layout) -> str:
    """An id for a new note: ``note``, ``note_2``, ..."""
    return new_name("note", [note.id for note in layout.notes])


def free_reserved_name(layout: Layout, wanted: str = "Reserved space") -> str:
    """A name for a new reserved space that the layout does not have yet."""
    return first_free(wanted, [space.name for space in layout.reserved])


def free_opening_name(build: Build, wanted: str = "Opening") -> str:
    """A name for a new opening that the enclosure does not have yet."""
    return first_free(wanted, [opening.name for opening in build.enclosure.openings])


def _openings(build: Build, openings: Sequence[Any], text: str) -> Edit:
    return change_build(build, enclosure={**_fields(build.enclosure), "openings": tuple(openings)})._replace(text=text)


def _in_layout(build: Build, layout_name: str, text: str, **values: Any) -> Edit:
    return change_layout(build, layout_name, **values)._replace(text=text)


def _with(records: Sequence[R], old: R, values: dict[str, Any]) -> tuple[Any, ...]:
    """The records with one changed; what is not allowed is said by the edit that takes them."""
    return tuple({**_fields(old), **values} if each is old else each for each in records)


def _fields(record: Record) -> dict[str, Any]:
    return {name: getattr(record, name) for name in type(record).model_fields}


def _plan_points(corners: Sequence[Point]) -> tuple[PlanPoint, ...]:
    return tuple(PlanPoint(x_mm=x, y_mm=y) for x, y in corners)


def _checked_corner(corners: Sequence[Point], index: int) -> int:
    if not 0 <= index < len(corners):
        raise SketchError(f"the enclosure has corners 1 to {len(corners)}, got {index + 1}", field="outline")
    return index


def _opening(build: Build, name: str) -> WallOpening:
    return _found(build.enclosure.openings, name, "name", "the enclosure has no opening")


def _reserved(layout: Layout, name: str) -> Reserved:
    return _found(layout.reserved, name, "name", f"layout {layout.name!r} has no reserved space")


def _note(layout: Layout, note_id: str) -> Note:
    return _found(layout.notes, note_id, "id", f"layout {layout.name!r} has no note")


def _background(build: Build, layout_name: str) -> Background:
    background = build.layout(layout_name).background
    if background is None:
        raise SketchError(f"layout {layout_name!r} has no drawing below it; put one there first", field="background")
    return background


def _found(records: Sequence[R], name: str, field: str, complaint: str) -> R:
    found = next((each for each in records if getattr(each, field) == name), None)
    if found is None:
        near = did_you_mean(name, [getattr(each, field) for each in records])
        raise SketchError(f"{complaint} {name!r}{near}", part=name)
    return found
