"""Edits of the shape of tube runs: their corners, and how they follow what they end on."""

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from loopsim.build import edits
from loopsim.build.document import Build, Layout
from loopsim.build.edits import Edit
from loopsim.errors import SketchError
from loopsim.geometry.reshape import Point, carried, insertion, pulled
from loopsim.parts import Corner, TubeRun

__all__ = [
    "corner_after",
    "corner_at",
    "insert_corner",
    "pull_corner",
    "remove_corner",
    "run_points",
    "runs_following",
    "set_corner_height",
    "slide_stretch",
    "tidy",
    "toggle_turn",
]

_ALIKE = 0.1  # sine of the angle between stretches that count as one line
_NEXT_TURN = {"bend": "elbow", "elbow": "mitre", "mitre": "bend"}


def run_points(build: Build, layout: Layout, run: TubeRun) -> list[Point]:
    """Ports and corners of a run in plan [mm]."""
    start, end = (build.port_spot(layout, reference)[:2] for reference in (run.start, run.end))
    return [start, *((corner.x_mm, corner.y_mm) for corner in run.corners), end]


def pull_corner(
    build: Build, layout_name: str, run_id: str, index: int, dx_mm: float, dy_mm: float, free: bool = False
) -> Edit:
    """Move a corner; its neighbours follow so that stretches along an axis stay so, unless `free`."""
    layout = build.layout(layout_name)
    run = layout.run(run_id)
    old = run_points(build, layout, run)
    if free:
        new = [*old]
        new[index + 1] = old[index + 1][0] + dx_mm, old[index + 1][1] + dy_mm
    else:
        new = pulled(old, index + 1, (dx_mm, dy_mm))
    return _with_corners(build, layout_name, run, _moved(run, new), "Move corner of")


def slide_stretch(build: Build, layout_name: str, run_id: str, stretch: int, by_mm: float) -> Edit:
    """Move the stretch between two corners to its left; the stretches beside it keep their lines, and grow or shrink.

    Raises
    ------
    SketchError
        If the stretch ends at a port, which stays where it is.
    """
    layout = build.layout(layout_name)
    run = layout.run(run_id)
    old = run_points(build, layout, run)
    if not 0 < stretch < len(old) - 2:
        raise SketchError(
            f"tube run {build.run_name(run)}: stretch {stretch + 1} ends at a port that holds it; add a corner before",
            part=run_id,
            field="corners",
        )
    (x, y), (to_x, to_y) = old[stretch : stretch + 2]
    length = math.dist((x, y), (to_x, to_y)) or 1.0
    left = (y - to_y) / length, (to_x - x) / length
    beside = {stretch: old[stretch - 1], stretch + 1: old[stretch + 2]}
    new = carried(old, {end: _along(old[end], beside[end], left, by_mm) for end in beside})
    return _with_corners(build, layout_name, run, _moved(run, new), "Slide stretch of")


def _along(end: Point, other: Point, left: Point, by_mm: float) -> Point:
    """The step of a stretch's end, along the stretch beside it, that takes it so far to the left.

    Where both lie in one line, straight to the left.
    """
    (x, y), length = (other[0] - end[0], other[1] - end[1]), math.dist(end, other) or 1.0
    steep = (x * left[0] + y * left[1]) / length
    if abs(steep) < _ALIKE:
        return left[0] * by_mm, left[1] * by_mm
    return x / length * by_mm / steep, y / length * by_mm / steep


def insert_corner(build: Build, layout_name: str, run_id: str, at: Point) -> tuple[Edit, int]:
    """A new corner on a run near `at`, at the height that the run has there, and the corner's number."""
    layout = build.layout(layout_name)
    run = layout.run(run_id)
    index, corner = corner_at(build, layout, run, at)
    corners = (*run.corners[:index], corner, *run.corners[index:])
    return _with_corners(build, layout_name, run, corners, "Add corner to"), index


def corner_at(build: Build, layout: Layout, run: TubeRun, at: Point) -> tuple[int, Corner]:
    """The stretch of a run that is nearest to `at`, by number, and the point on it, as a corner."""
    index, share, (x, y) = insertion(run_points(build, layout, run), at)
    low, high = build.run_path(layout, run).heights_mm[index : index + 2]
    return index, Corner(x_mm=tidy(x), y_mm=tidy(y), height_mm=tidy(low + share * (high - low)))


def corner_after(build: Build, layout_name: str, run_id: str, corner: int | None) -> tuple[Edit, int]:
    """A new corner half way along the stretch after a corner, or along the longest, and the new corner's number."""
    layout = build.layout(layout_name)
    stretches = [*pairwise(run_points(build, layout, layout.run(run_id)))]
    longest = max(range(len(stretches)), key=lambda index: math.dist(*stretches[index]))
    (x, y), (to_x, to_y) = stretches[longest if corner is None else corner + 1]
    return insert_corner(build, layout_name, run_id, ((x + to_x) / 2, (y + to_y) / 2))


def remove_corner(build: Build, layout_name: str, run_id: str, index: int) -> Edit:
    """Take one corner out of a run."""
    run = build.layout(layout_name).run(run_id)
    corners = (*run.corners[:index], *run.corners[index + 1 :])
    return _with_corners(build, layout_name, run, corners, "Remove corner of")


def set_corner_height(build: Build, layout_name: str, run_id: str, height_mm: float, index: int | None = None) -> Edit:
    """Bring one corner of a run to a height, or all of them."""
    run = build.layout(layout_name).run(run_id)
    corners = tuple(
        corner.with_values(height_mm=height_mm) if index in (None, number) else corner
        for number, corner in enumerate(run.corners)
    )
    what = "Set height of" if index is None else "Set height of corner of"
    return _with_corners(build, layout_name, run, corners, what)


def toggle_turn(build: Build, layout_name: str, run_id: str, index: int) -> Edit:
    """Make a bend an elbow fitting, an elbow a mitre, or a mitre a bend."""
    run = build.layout(layout_name).run(run_id)
    turned = run.corners[index].with_values(turn=_NEXT_TURN[run.corners[index].turn])
    corners = (*run.corners[:index], turned, *run.corners[index + 1 :])
    return _with_corners(build, layout_name, run, corners, f"Make {turned.turn} in")


def runs_following(before: Build, after: Build, layout_name: str, without: frozenset[str] = frozenset()) -> Build:
    """`after` with every run reshaped whose ends lie elsewhere than `before`, so that it keeps its shape.

    Both builds have the same runs with the same corners, but for those in `without`, which stay as they are after. A
    run both of whose ends moved alike moves as it is.
    """
    old, new = before.layout(layout_name), after.layout(layout_name)
    runs = []
    for run in new.runs:
        if run.id in without or not run.corners:
            runs.append(run)
            continue
        was, now = run_points(before, old, old.run(run.id)), run_points(after, new, run)
        is_moved = (was[0], was[-1]) != (now[0], now[-1])
        runs.append(run.model_copy(update={"corners": _following(run, was, now)}) if is_moved else run)
    if all(a is b for a, b in zip(runs, new.runs, strict=True)):
        return after
    return edits.change_layout(after, layout_name, runs=tuple(runs)).build


def _following(run: TubeRun, was: list[Point], now: list[Point]) -> tuple[Corner, ...]:
    shifts = {end: (now[end][0] - was[end][0], now[end][1] - was[end][1]) for end in (0, len(was) - 1)}
    first, last = shifts.values()
    if math.dist(first, last) < 1e-6:
        return _moved(run, [(x + first[0], y + first[1]) for x, y in was])
    return _moved(run, carried(was, {end: shift for end, shift in shifts.items() if any(shift)}))


def _moved(run: TubeRun, points: Sequence[Point]) -> tuple[Corner, ...]:
    """The run's corners at new places, those that did not move being the same records as before."""
    return tuple(
        corner
        if (corner.x_mm, corner.y_mm) == (tidy(x), tidy(y))
        else corner.model_copy(update={"x_mm": tidy(x), "y_mm": tidy(y)})
        for corner, (x, y) in zip(run.corners, points[1:-1], strict=True)
    )


def _with_corners(build: Build, layout_name: str, run: TubeRun, corners: Iterable[Corner], verb: str) -> Edit:
    edit = edits.change_run(build, layout_name, run.id, corners=tuple(corners))
    return edit._replace(text=f"{verb} tube run {build.run_name(run)}")


def tidy(value_mm: float) -> float:
    """A place free of the dust of floating point."""
    return round(value_mm, 3)
