"""Edits of how several parts stand: moved, turned, mirrored, aligned, spaced out, tipped, locked, grouped.

Runs between parts that move alike move as they are; every other run keeps its shape as far as it can.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from typing import Any, Literal

from loopsim.build import edits
from loopsim.build.document import Build, Placement, new_name
from loopsim.build.edits import Edit
from loopsim.build.run_edits import runs_following, tidy
from loopsim.errors import SketchError
from loopsim.geometry import Lie
from loopsim.geometry.reshape import Point
from loopsim.parts import TubeRun

__all__ = [
    "ALIGNMENTS",
    "Alignment",
    "align",
    "group",
    "lock",
    "mirror_parts",
    "move_parts",
    "next_lie",
    "raise_parts",
    "rotate_parts",
    "space_out",
    "turn_to",
    "ungroup",
]

Alignment = Literal["left edges", "right edges", "front edges", "back edges", "middles in a column", "middles in a row"]
ALIGNMENTS: tuple[Alignment, ...] = (
    "left edges",
    "right edges",
    "front edges",
    "back edges",
    "middles in a column",
    "middles in a row",
)
_NEXT_LIE: dict[Lie, Lie] = {"flat": "on edge", "on edge": "ports up", "ports up": "flat"}
_FEWEST_TO_SPACE = 3

Change = Callable[[Placement], dict[str, Any]]


def move_parts(build: Build, layout_name: str, part_ids: Sequence[str], dx_mm: float, dy_mm: float) -> Edit:
    """Move parts together."""

    def moved(stands: Placement) -> dict[str, Any]:
        return {"x_mm": tidy(stands.x_mm + dx_mm), "y_mm": tidy(stands.y_mm + dy_mm)}

    return _changed(build, layout_name, part_ids, moved, "Move")


def rotate_parts(build: Build, layout_name: str, part_ids: Sequence[str], by_deg: float) -> Edit:
    """Turn one part about its middle, or several as one about the middle between them, counter-clockwise."""
    middle = _middle(build, layout_name, part_ids)
    cos, sin = (round(each, 12) for each in (math.cos(math.radians(by_deg)), math.sin(math.radians(by_deg))))

    def turned(point: Point) -> Point:
        x, y = point[0] - middle[0], point[1] - middle[1]
        return tidy(middle[0] + cos * x - sin * y), tidy(middle[1] + sin * x + cos * y)

    def change(stands: Placement) -> dict[str, Any]:
        x, y = turned((stands.x_mm, stands.y_mm))
        return {"x_mm": x, "y_mm": y, "rotation_deg": tidy((stands.rotation_deg + by_deg) % 360.0)}

    return _changed(build, layout_name, part_ids, change, "Rotate", turned)


def turn_to(build: Build, layout_name: str, part_id: str, rotation_deg: float) -> Edit:
    """Turn one part to an angle."""
    return _changed(build, layout_name, [part_id], lambda _: {"rotation_deg": tidy(rotation_deg % 360.0)}, "Rotate")


def mirror_parts(build: Build, layout_name: str, part_ids: Sequence[str], across: Literal["x", "y"] = "x") -> Edit:
    """Mirror one part in place, or several as one: left to right across x, or front to back across y.

    A part that lies on edge only changes its hand, since its mirror image would stand on its head.
    """
    middle = _middle(build, layout_name, part_ids)
    sign_x, sign_y, half_turn = (-1.0, 1.0, 180.0) if across == "x" else (1.0, -1.0, 0.0)

    def mirrored(point: Point) -> Point:
        return tidy(middle[0] + sign_x * (point[0] - middle[0])), tidy(middle[1] + sign_y * (point[1] - middle[1]))

    def change(stands: Placement) -> dict[str, Any]:
        x, y = mirrored((stands.x_mm, stands.y_mm))
        turned = stands.rotation_deg if stands.lie == "on edge" else (half_turn - stands.rotation_deg) % 360.0
        return {"x_mm": x, "y_mm": y, "mirrored": not stands.mirrored, "rotation_deg": tidy(turned)}

    return _changed(build, layout_name, part_ids, change, "Mirror", mirrored)


def next_lie(build: Build, layout_name: str, part_ids: Sequence[str]) -> Edit:
    """Tip parts: from flat on edge, from there with their ports up, and flat again."""
    return _changed(build, layout_name, part_ids, lambda stands: {"lie": _NEXT_LIE[stands.lie]}, "Tip")


def raise_parts(build: Build, layout_name: str, part_ids: Sequence[str], height_mm: float) -> Edit:
    """Bring parts to a height above the floor."""
    return _changed(build, layout_name, part_ids, lambda _: {"height_mm": height_mm}, "Set height of")


def align(build: Build, layout_name: str, part_ids: Sequence[str], how: Alignment) -> Edit:
    """Bring edges or middles of parts into line: with the outermost edge, or in the middle between all."""
    boxes = {part_id: _box(build, layout_name, part_id) for part_id in part_ids}
    if len(boxes) < 2:
        raise SketchError(f"to align {how}, select two parts or more, got {len(boxes)}")
    axis = 0 if how in ("left edges", "right edges", "middles in a column") else 1
    lows, highs = [box[axis][0] for box in boxes.values()], [box[axis][1] for box in boxes.values()]
    if how in ("left edges", "front edges"):
        by = {part_id: min(lows) - box[axis][0] for part_id, box in boxes.items()}
    elif how in ("right edges", "back edges"):
        by = {part_id: max(highs) - box[axis][1] for part_id, box in boxes.items()}
    else:
        middle = (min(lows) + max(highs)) / 2
        by = {part_id: middle - sum(box[axis]) / 2 for part_id, box in boxes.items()}
    edit = _shifted(build, layout_name, by, axis)
    return edit._replace(text=f"Align {how} of {len(boxes)} parts")


def space_out(build: Build, layout_name: str, part_ids: Sequence[str], along: Literal["x", "y"]) -> Edit:
    """Give parts equal gaps along an axis; the first and the last stay."""
    if len(part_ids) < _FEWEST_TO_SPACE:
        raise SketchError(f"to space parts out, select three or more, got {len(part_ids)}")
    axis = 0 if along == "x" else 1
    spans = {part_id: _box(build, layout_name, part_id)[axis] for part_id in part_ids}
    order = sorted(spans, key=lambda part_id: sum(spans[part_id]))
    room = spans[order[-1]][1] - spans[order[0]][0] - sum(high - low for low, high in spans.values())
    gap, at, by = room / (len(order) - 1), spans[order[0]][0], {}
    for part_id in order:
        low, high = spans[part_id]
        by[part_id] = at - low
        at += high - low + gap
    return _shifted(build, layout_name, by, axis)._replace(text=f"Space out {len(order)} parts along {along}")


def lock(build: Build, layout_name: str, part_ids: Sequence[str], locked: bool) -> Edit:
    """Hold parts where they are while others are moved, or let them go."""
    return _changed(build, layout_name, part_ids, lambda _: {"locked": locked}, "Lock" if locked else "Unlock")


def group(build: Build, layout_name: str, part_ids: Sequence[str]) -> Edit:
    """Let parts move together from now on."""
    if len(part_ids) < 2:
        raise SketchError(f"a group has two parts or more, got {len(part_ids)}; select them first")
    taken = [each.group for each in build.layout(layout_name).placed if each.group is not None]
    name = new_name("group", taken)
    return _changed(build, layout_name, part_ids, lambda _: {"group": name}, "Group")


def ungroup(build: Build, layout_name: str, part_ids: Sequence[str]) -> Edit:
    """Let parts move on their own again."""
    return _changed(build, layout_name, part_ids, lambda _: {"group": None}, "Ungroup")


def _changed(
    build: Build,
    layout_name: str,
    part_ids: Iterable[str],
    change: Change,
    verb: str,
    along: Callable[[Point], Point] | None = None,
) -> Edit:
    """Placements changed together, the runs following; `along` says where a place goes that moves with all of them."""
    layout, chosen = build.layout(layout_name), frozenset(part_ids)
    placed = tuple(each.with_values(**change(each)) if each.part in chosen else each for each in layout.placed)
    if placed == layout.placed:
        return Edit(build, "")
    made = edits.change_layout(build, layout_name, placed=placed).build
    if along is not None:
        made = _runs_along(made, layout_name, chosen, along)
    names = [build.part(part_id).name for part_id in layout.placements if part_id in chosen]
    text = f"{verb} {names[0]}" if len(names) == 1 else f"{verb} {len(names)} parts"
    inner = frozenset(run.id for run in layout.runs if _is_within(run, chosen)) if along is not None else frozenset()
    return Edit(runs_following(build, made, layout_name, without=inner), text)


def _runs_along(build: Build, layout_name: str, chosen: frozenset[str], along: Callable[[Point], Point]) -> Build:
    """The corners of runs between chosen parts brought to where they go with them."""
    runs = []
    for run in build.layout(layout_name).runs:
        points = [along((corner.x_mm, corner.y_mm)) for corner in run.corners] if _is_within(run, chosen) else []
        corners = [
            corner.model_copy(update={"x_mm": x, "y_mm": y})
            for corner, (x, y) in zip(run.corners, points, strict=False)
        ]
        runs.append(run.model_copy(update={"corners": tuple(corners)}) if points else run)
    return edits.change_layout(build, layout_name, runs=tuple(runs)).build


def _is_within(run: TubeRun, chosen: frozenset[str]) -> bool:
    """True if both ends of a run are on chosen parts."""
    return {*run.part_ids} <= chosen


def _shifted(build: Build, layout_name: str, by: dict[str, float], axis: int) -> Edit:
    """Parts shifted along one axis, each by its own way."""
    field = ("x_mm", "y_mm")[axis]

    def change(stands: Placement) -> dict[str, Any]:
        return {field: tidy(getattr(stands, field) + by[stands.part])}

    return _changed(build, layout_name, by, change, "Move")


def _box(build: Build, layout_name: str, part_id: str) -> tuple[Point, Point]:
    """Least and largest x, least and largest y of a part as it stands."""
    part = build.part(part_id)
    corners = part.outline.corners(build.layout(layout_name).placement(part_id).place_of(part))
    xs, ys = [corner.x_mm for corner in corners], [corner.y_mm for corner in corners]
    return (min(xs), max(xs)), (min(ys), max(ys))


def _middle(build: Build, layout_name: str, part_ids: Sequence[str]) -> Point:
    """The middle of a part, or of the box around several."""
    if len(part_ids) == 1:
        stands = build.layout(layout_name).placement(part_ids[0])
        return stands.x_mm, stands.y_mm
    boxes = [_box(build, layout_name, part_id) for part_id in part_ids]
    spans = [(min(box[axis][0] for box in boxes), max(box[axis][1] for box in boxes)) for axis in (0, 1)]
    return sum(spans[0]) / 2, sum(spans[1]) / 2
