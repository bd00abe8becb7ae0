"""Edits that join parts and tube runs: a part set into a run, a tee, ends that change places."""

import math
from collections.abc import Mapping, Sequence
from itertools import count, permutations
from typing import Literal, NamedTuple

from loopsim.build import edits
from loopsim.build.document import Build, Layout, Placement
from loopsim.build.edits import Edit
from loopsim.build.run_edits import corner_at, run_points, runs_following, tidy
from loopsim.errors import SketchError
from loopsim.geometry.reshape import Point, insertion
from loopsim.parts import Corner, Part, TubeRun
from loopsim.parts.tee import Tee

__all__ = ["move_end", "nearest_run", "new_tee", "split_run", "tee_into"]

End = Literal["start", "end"]


class _Through(NamedTuple):
    """The way through a part: the port that a run enters by, and the one it leaves by."""

    into: str
    out_of: str


def split_run(build: Build, layout_name: str, run_id: str, part_id: str, at: Point) -> Edit:
    """Set a part into a run, where the run comes nearest to `at`: two runs lead to it and on from it.

    The part, placed already and with two ports free, is moved onto the run, to its height, and turned into its line.

    Raises
    ------
    SketchError
        If the part has no two ports free for liquid to pass through.
    """
    layout = build.layout(layout_name)
    run, part = layout.run(run_id), build.part(part_id)
    way = _way_through(layout, part)
    index, corner = corner_at(build, layout, run, at)
    made = build
    if _is_in_line(part, way):
        begin, end = run_points(build, layout, run)[index : index + 2]
        turned = math.degrees(math.atan2(end[1] - begin[1], end[0] - begin[0])) - part.ports[way.out_of].facing_deg
        values = {"rotation_deg": tidy(turned % 360.0), "lie": "flat", "mirrored": False}
        made = edits.change_placement(made, layout_name, part_id, **values).build
    made = _onto(made, layout_name, part_id, way, corner)
    made = _cut(made, layout_name, run, index, f"{part_id}.{way.into}", f"{part_id}.{way.out_of}")
    return Edit(made, f"Set {part.name} into tube run {build.run_name(run)}")


def tee_into(
    build: Build, layout_name: str, run_id: str, at: Point, towards: Point, tee_id: str | None = None
) -> tuple[Edit, str]:
    """A tee in a run, where the run comes nearest to `at`, its branch looking `towards`; and the branch, part.port.

    It is a new one with the bores of the tube, or one that the build has and the layout does not place yet.
    """
    layout = build.layout(layout_name)
    run = layout.run(run_id)
    index, corner = corner_at(build, layout, run, at)
    begin, end = run_points(build, layout, run)[index : index + 2]
    place = {"x_mm": corner.x_mm, "y_mm": corner.y_mm}
    if tee_id is None:
        tee = new_tee(build, build.tube(run.tube).bore_mm)
        tee_id = tee.id
        placed = edits.add_part(build, layout_name, tee, Placement(part=tee_id, **place))
    else:
        placed = edits.place(build, layout_name, Placement(part=tee_id, **place))
    split = split_run(placed.build, layout_name, run_id, tee_id, at).build
    if _side(begin, end, towards) < 0:
        split = _turned_about(split, layout_name, tee_id)
    return Edit(split, f"Put a tee into tube run {build.run_name(run)}"), f"{tee_id}.c"


def new_tee(build: Build, bore_mm: float) -> Tee:
    """A tee of some bore, with an id and a name that are free."""
    tee_id = edits.free_part_id(build, Tee.kind_name())
    return Tee(id=tee_id, name=_numbered("Tee", build), bore_mm=bore_mm, branch_bore_mm=bore_mm)


def move_end(build: Build, layout_name: str, run_id: str, which: End, to: str) -> Edit:
    """Lead one end of a run to another port; a run that ends there takes the port that this one leaves."""
    layout = build.layout(layout_name)
    run = layout.run(run_id)
    part, port = build.port(to)
    leaves = run.start if which == "start" else run.end
    other = next((each for each in layout.runs if to in (each.start, each.end)), None)
    made = edits.change_layout(build, layout_name, runs=_exchanged(layout.runs, {leaves: to, to: leaves})).build
    text = f"Lead tube run {build.run_name(run)} to {part.name}, {port.words}"
    if other is not None:
        text = f"Swap ports {build.port(leaves)[1].words} and {port.words} of {part.name}"
    return Edit(runs_following(build, made, layout_name), text)


def nearest_run(build: Build, layout: Layout, at: Point) -> TubeRun | None:
    """The run that comes nearest to a place in plan; None if there is none."""

    def away(run: TubeRun) -> float:
        return math.dist(insertion(run_points(build, layout, run), at)[2], at)

    return min(layout.runs, key=away, default=None)


def _way_through(layout: Layout, part: Part) -> _Through:
    """Two free ports of a part that liquid passes between: by its flow path if it has one, in line if there are."""
    taken = {end for run in layout.runs for end in (run.start, run.end)}
    free = [name for name in part.ports if f"{part.id}.{name}" not in taken]
    ways = [_Through(path.start, path.end) for path in part.flow_paths if path.start in free and path.end in free]
    ways = ways or [_Through(*pair) for pair in permutations(free, 2)]
    if not ways:
        raise SketchError(
            f"{part.name} has no two free ports, so it cannot be set into a tube run; take a run off it first",
            part=part.id,
        )
    return max(ways, key=lambda way: _is_in_line(part, way))  # of equals the first


def _is_in_line(part: Part, way: _Through) -> bool:
    """True if the ports look away from each other."""
    away = part.ports[way.out_of].facing_deg - part.ports[way.into].facing_deg
    return math.isclose(away % 360.0, 180.0)


def _onto(build: Build, layout_name: str, part_id: str, way: _Through, corner: Corner) -> Build:
    """The part moved so that the middle between its two ports lies on the run."""
    placement, part = build.layout(layout_name).placement(part_id), build.part(part_id)
    spots = placement.port_spots(part)
    a, b = spots[way.into], spots[way.out_of]
    raised = placement.height_mm + corner.height_mm - a.height_mm
    place = {
        "x_mm": tidy(placement.x_mm + corner.x_mm - (a.x_mm + b.x_mm) / 2),
        "y_mm": tidy(placement.y_mm + corner.y_mm - (a.y_mm + b.y_mm) / 2),
        "height_mm": tidy(max(0.0, raised)),
    }
    return edits.change_placement(build, layout_name, part_id, **place).build


def _cut(build: Build, layout_name: str, run: TubeRun, stretch: int, into: str, out_of: str) -> Build:
    """The run cut in two on one of its stretches; the first piece keeps its id."""
    layout = build.layout(layout_name)
    first = run.with_values(end=into, corners=run.corners[:stretch])
    second = run.with_values(id=edits.free_run_id(layout), start=out_of, corners=run.corners[stretch:])
    runs = [piece for each in layout.runs for piece in ((first, second) if each.id == run.id else (each,))]
    return edits.change_layout(build, layout_name, runs=tuple(runs)).build


def _turned_about(build: Build, layout_name: str, tee_id: str) -> Build:
    """The same tee with its branch on the other side: half a turn, and the ports in line change places."""
    turned = edits.rotate(build, layout_name, tee_id, 180.0).build
    exchanged = {f"{tee_id}.a": f"{tee_id}.b", f"{tee_id}.b": f"{tee_id}.a"}
    runs = _exchanged(turned.layout(layout_name).runs, exchanged)
    return edits.change_layout(turned, layout_name, runs=runs).build


def _exchanged(runs: Sequence[TubeRun], ports: Mapping[str, str]) -> tuple[TubeRun, ...]:
    """The runs with some ports put in the place of others."""
    return tuple(
        run.with_values(start=ports.get(run.start, run.start), end=ports.get(run.end, run.end))
        if run.start in ports or run.end in ports
        else run
        for run in runs
    )


def _side(begin: Point, end: Point, point: Point) -> float:
    """Above 0 if a point lies to the left of the way from `begin` to `end`."""
    return (end[0] - begin[0]) * (point[1] - begin[1]) - (end[1] - begin[1]) * (point[0] - begin[0])


def _numbered(word: str, build: Build) -> str:
    taken = {part.name for part in build.parts}
    return next(name for name in (f"{word} {number}" for number in count(1)) if name not in taken)
