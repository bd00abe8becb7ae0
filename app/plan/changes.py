"""Edits that one movement of the hand needs at once, each made of the single edits of `loopsim.build.edits`."""

import math
from collections.abc import Callable, Iterable, Sequence
from itertools import count, pairwise

from app.plan.shapes import Point, carried, insertion, pulled
from loopsim.build import Build, Layout, Placement, edits
from loopsim.build.edits import Edit
from loopsim.parts import Corner, Part, Tube, TubeRun

__all__ = [
    "USUAL_TUBE",
    "corner_after",
    "insert_corner",
    "move_parts",
    "new_part",
    "new_run",
    "next_tube",
    "pull_corner",
    "raise_parts",
    "remove",
    "remove_corner",
    "rotate_parts",
    "run_points",
    "set_height",
    "toggle_turn",
]

USUAL_TUBE = Tube(id="tube", name="Tube 10/13", **Tube.classes["10/13"])


def move_parts(build: Build, layout_name: str, part_ids: Sequence[str], dx_mm: float, dy_mm: float) -> Edit:
    """Move parts together; tube runs keep their shape as far as they can."""
    layout = build.layout(layout_name)

    def move(before: Build, part_id: str) -> Edit:
        stands = layout.placement(part_id)
        return edits.move(before, layout_name, part_id, _tidy(stands.x_mm + dx_mm), _tidy(stands.y_mm + dy_mm))

    return _each(build, layout_name, part_ids, move, "Move")


def rotate_parts(build: Build, layout_name: str, part_ids: Sequence[str], by_deg: float) -> Edit:
    """Turn parts, each about its own middle."""
    return _each(build, layout_name, part_ids, lambda at, part: edits.rotate(at, layout_name, part, by_deg), "Rotate")


def remove(build: Build, layout_name: str, ids: Iterable[str]) -> Edit:
    """Remove parts with their runs, and tube runs."""
    layout = build.layout(layout_name)
    chosen = frozenset(ids)
    runs = [run.id for run in layout.runs if run.id in chosen]
    parts = [placement.part for placement in layout.placed if placement.part in chosen]
    edit = Edit(build, "")
    for run_id in runs:
        edit = edits.remove_run(edit.build, layout_name, run_id)
    for part_id in parts:
        edit = edits.remove_part(edit.build, layout_name, part_id)
    return edit if len(runs) + len(parts) < 2 else edit._replace(text=f"Remove {_counted(len(parts), len(runs))}")


def new_part(build: Build, layout_name: str, specimen: Part, x_mm: float, y_mm: float, rotation_deg: float) -> Edit:
    """Place a copy of a part, with an id and a name that the build does not have yet."""
    fresh = {"id": edits.free_part_id(build, specimen.kind_name()), "name": _free_name(build, specimen)}
    part = specimen.model_copy(update=fresh)
    placement = Placement(part=part.id, x_mm=x_mm, y_mm=y_mm, rotation_deg=rotation_deg % 360.0)
    return edits.add_part(build, layout_name, part, placement)


def new_run(build: Build, layout_name: str, start: str, end: str, corners: Sequence[Corner], tube: Tube) -> Edit:
    """Draw a run between two ports; a tube that the build does not have yet comes into it with the run."""
    layout = build.layout(layout_name)
    build, tube = _with_tube(build, tube)
    run = TubeRun(
        id=edits.free_run_id(layout),
        start=start,
        end=end,
        tube=tube.id,
        radius_mm=tube.least_radius_mm,
        corners=tuple(corners),
    )
    edit = edits.add_run(build, layout_name, run)
    return edit._replace(text=f"Draw {_run_words(build, run)}")


def next_tube(build: Build, layout: Layout) -> Tube:
    """The tube that was used last, or a usual one if there is none yet."""
    if layout.runs:
        return build.tube(layout.runs[-1].tube)
    return build.tubes[0] if build.tubes else USUAL_TUBE


def _with_tube(build: Build, tube: Tube) -> tuple[Build, Tube]:
    """The build with a tube in it, and the tube as it is there; one with the same name and data is not doubled."""
    for known in build.tubes:
        if known.model_copy(update={"id": tube.id}) == tube:
            return build, known
    fresh = {"id": edits.free_tube_id(build), "name": _first_free(tube.name, [each.name for each in build.tubes])}
    added = tube.model_copy(update=fresh)
    return edits.add_tube(build, added).build, added


def pull_corner(
    build: Build, layout_name: str, run_id: str, index: int, dx_mm: float, dy_mm: float, free: bool
) -> Edit:
    """Move a corner; its neighbours follow so that stretches along an axis stay so, unless `free`."""
    layout = build.layout(layout_name)
    run, points, shift = layout.run(run_id), run_points(build, layout, layout.run(run_id)), (dx_mm, dy_mm)
    if free:
        moved = [*points]
        moved[index + 1] = points[index + 1][0] + dx_mm, points[index + 1][1] + dy_mm
    else:
        moved = pulled(points, index + 1, shift)
    return _with_corners(build, layout_name, run, _moved_corners(run, moved), "Move corner of")


def insert_corner(build: Build, layout_name: str, run_id: str, at: Point) -> tuple[Edit, int]:
    """A new corner on a run near `at`, at the height that the run has there, and the corner's number."""
    layout = build.layout(layout_name)
    run = layout.run(run_id)
    index, share, (x, y) = insertion(run_points(build, layout, run), at)
    low, high = build.run_path(layout, run).heights_mm[index : index + 2]
    corner = Corner(x_mm=_tidy(x), y_mm=_tidy(y), height_mm=_tidy(low + share * (high - low)))
    corners = (*run.corners[:index], corner, *run.corners[index:])
    return _with_corners(build, layout_name, run, corners, "Add corner to"), index


def remove_corner(build: Build, layout_name: str, run_id: str, index: int) -> Edit:
    """Take one corner out of a run."""
    run = build.layout(layout_name).run(run_id)
    corners = (*run.corners[:index], *run.corners[index + 1 :])
    return _with_corners(build, layout_name, run, corners, "Remove corner of")


def set_height(build: Build, layout_name: str, run_id: str, height_mm: float, corner: int | None = None) -> Edit:
    """Bring one corner of a run, or all of them, to a height."""
    run = build.layout(layout_name).run(run_id)
    corners = tuple(
        each.with_values(height_mm=height_mm) if corner in (None, index) else each
        for index, each in enumerate(run.corners)
    )
    return _with_corners(
        build, layout_name, run, corners, f"Set height of {'' if corner is None else 'corner of '}".strip()
    )


def raise_parts(build: Build, layout_name: str, part_ids: Sequence[str], height_mm: float) -> Edit:
    """Bring parts to a height above the floor."""

    def lift(before: Build, part_id: str) -> Edit:
        edit = edits.change_placement(before, layout_name, part_id, height_mm=height_mm)
        return edit._replace(text=f"Set height of {before.part(part_id).name}")

    return _each(build, layout_name, part_ids, lift, "Set height of")


def corner_after(build: Build, layout_name: str, run_id: str, corner: int | None) -> tuple[Edit, int]:
    """A new corner half way along the stretch after a corner, or along the longest, and the new corner's number."""
    layout = build.layout(layout_name)
    stretches = [*pairwise(run_points(build, layout, layout.run(run_id)))]
    longest = max(range(len(stretches)), key=lambda index: math.dist(*stretches[index]))
    (x, y), (to_x, to_y) = stretches[longest if corner is None else corner + 1]
    return insert_corner(build, layout_name, run_id, ((x + to_x) / 2, (y + to_y) / 2))


def toggle_turn(build: Build, layout_name: str, run_id: str, index: int) -> Edit:
    """Make a bend an elbow fitting, an elbow a mitre, or a mitre a bend."""
    run = build.layout(layout_name).run(run_id)
    after = {"bend": "elbow", "elbow": "mitre", "mitre": "bend"}
    turned = run.corners[index].with_values(turn=after[run.corners[index].turn])
    corners = (*run.corners[:index], turned, *run.corners[index + 1 :])
    return _with_corners(build, layout_name, run, corners, f"Make {turned.turn} in")


def run_points(build: Build, layout: Layout, run: TubeRun) -> list[Point]:
    """Ports and corners of a run in plan [mm]."""
    ends = [build.port_spot(layout, reference)[:2] for reference in (run.start, run.end)]
    return [ends[0], *((corner.x_mm, corner.y_mm) for corner in run.corners), ends[1]]


def _each(
    build: Build, layout_name: str, part_ids: Sequence[str], change: Callable[[Build, str], Edit], verb: str
) -> Edit:
    """One edit for several parts, the runs at them following."""
    edit = Edit(build, "")
    for part_id in part_ids:
        edit = change(edit.build, part_id)
    edit = edit if len(part_ids) < 2 else edit._replace(text=f"{verb} {len(part_ids)} parts")
    return edit._replace(build=_runs_following(build, edit.build, layout_name, frozenset(part_ids)))


def _runs_following(before: Build, after: Build, layout_name: str, part_ids: frozenset[str]) -> Build:
    """Carry the corners of the runs that end on parts which have moved."""
    old, new = before.layout(layout_name), after.layout(layout_name)
    made = after
    for run in old.runs:
        ends = {run.start.partition(".")[0], run.end.partition(".")[0]}
        if run.corners and ends & part_ids:
            corners = _following(run, run_points(before, old, run), run_points(after, new, run))
            made = edits.change_run(made, layout_name, run.id, corners=corners).build
    return made


def _following(run: TubeRun, old: list[Point], new: list[Point]) -> tuple[Corner, ...]:
    last = len(old) - 1
    shifts = {end: (new[end][0] - old[end][0], new[end][1] - old[end][1]) for end in (0, last)}
    if max(abs(a - b) for a, b in zip(shifts[0], shifts[last], strict=True)) < 1e-6:
        return _moved_corners(run, [(x + shifts[0][0], y + shifts[0][1]) for x, y in old])
    return _moved_corners(run, carried(old, {end: shift for end, shift in shifts.items() if any(shift)}))


def _moved_corners(run: TubeRun, points: Sequence[Point]) -> tuple[Corner, ...]:
    """The run's corners at new places, those that did not move being the same records as before."""
    return tuple(
        corner
        if (corner.x_mm, corner.y_mm) == (_tidy(x), _tidy(y))
        else corner.model_copy(update={"x_mm": _tidy(x), "y_mm": _tidy(y)})
        for corner, (x, y) in zip(run.corners, points[1:-1], strict=True)
    )


def _with_corners(build: Build, layout_name: str, run: TubeRun, corners: tuple[Corner, ...], verb: str) -> Edit:
    edit = edits.change_run(build, layout_name, run.id, corners=corners)
    return edit._replace(text=f"{verb} {_run_words(build, run)}")


def _run_words(build: Build, run: TubeRun) -> str:
    start, end = (build.port(reference)[0].name for reference in (run.start, run.end))
    return f"tube run {start} to {end}"


def _free_name(build: Build, specimen: Part) -> str:
    """What a copy is called: parts of a kind are numbered from 1, a part with a name of its own keeps it."""
    taken = [part.name for part in build.parts]
    if specimen.name != specimen.title:
        return _first_free(specimen.name, taken)
    alike = 1 + sum(type(part) is type(specimen) for part in build.parts)
    return next(name for name in (f"{specimen.title.capitalize()} {n}" for n in count(alike)) if name not in taken)


def _first_free(wanted: str, taken: Sequence[str]) -> str:
    """`wanted`, or with the first free number behind it: ``Pump``, ``Pump 2``."""
    if wanted not in taken:
        return wanted
    return next(name for name in (f"{wanted} {number}" for number in count(2)) if name not in taken)


def _counted(parts: int, runs: int) -> str:
    words = [f"{number} {word}{'' if number == 1 else 's'}" for number, word in ((parts, "part"), (runs, "tube run"))]
    return " and ".join(words if parts and runs else words[:1] if parts else words[1:])


def _tidy(value_mm: float) -> float:
    """Free of the dust of floating point."""
    return round(value_mm, 3)
