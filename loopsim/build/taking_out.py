"""Taking a part out of the line it stands in, and setting a vessel into one."""

import math

from loopsim.build import edits
from loopsim.build.document import Build, Placement
from loopsim.build.edits import Edit
from loopsim.build.joining import split_run
from loopsim.build.run_edits import tidy
from loopsim.errors import SketchError
from loopsim.geometry import Spot
from loopsim.parts import Corner, Reservoir, TubeRun

__all__ = ["add_vessel", "take_out"]

_TWO = 2
_STRAIGHT_MM = 0.5  # a line that is off by less goes straight on


def take_out(build: Build, layout_name: str, part_id: str) -> Edit:
    """Take a part out of a layout, and make one run of the two that led to it and on from it.

    The run that led to it keeps its id, tube and radius; it has a corner where the part stood, if it turned there.

    Raises
    ------
    SketchError
        If there are not two runs on it.
    """
    layout, part = build.layout(layout_name), build.part(part_id)
    at = [run for run in layout.runs if part_id in run.part_ids]
    if len(at) != _TWO or any(run.part_ids == (part_id, part_id) for run in at):
        count = f"{len(at)} tube run{'' if len(at) == 1 else 's'}"
        raise SketchError(f"{part.name} has {count} on it, must be 2 to join them into one", part=part_id)
    first, second = sorted(at, key=lambda run: run.part_ids[1] != part_id)
    begin, before = _towards(first, part_id)
    end, after = _towards(second, part_id)
    stands = layout.placement(part_id)
    leaves = build.port_spot(layout, first.end if first.part_ids[1] == part_id else first.start)
    middle = Corner(x_mm=tidy(stands.x_mm), y_mm=tidy(stands.y_mm), height_mm=tidy(leaves.height_mm))
    onward = after[::-1]
    comes_from = before[-1].spot if before else build.port_spot(layout, begin)
    goes_to = onward[0].spot if onward else build.port_spot(layout, end)
    corners = (*before, *([middle] if _turns(comes_from, middle.spot, goes_to) else []), *onward)
    joined = first.with_values(start=begin, end=end, corners=corners)
    removed = edits.remove_part(build, layout_name, part_id).build
    runs = [joined if run.id == first.id else run for run in layout.runs if run.id != second.id]
    made = edits.change_layout(removed, layout_name, runs=tuple(runs)).build
    return Edit(made, f"Take {part.name} out of its line")


def add_vessel(build: Build, layout_name: str, pump_id: str) -> Edit | None:
    """Set a reservoir into the run at a pump's inlet, in the middle of it; None if no run is there."""
    layout = build.layout(layout_name)
    run = next((run for run in layout.runs if f"{pump_id}.inlet" in (run.start, run.end)), None)
    if run is None:
        return None
    spots = [build.port_spot(layout, end) for end in (run.start, run.end)]
    x, y = (tidy((spots[0][axis] + spots[1][axis]) / 2) for axis in (0, 1))
    vessel = Reservoir(id=edits.free_part_id(build, Reservoir.kind_name()), name="Reservoir")
    placed = edits.add_part(build, layout_name, vessel, Placement(part=vessel.id, x_mm=x, y_mm=y)).build
    made = split_run(placed, layout_name, run.id, vessel.id, (x, y)).build
    return Edit(made, f"Set a reservoir into the ring of {build.part(pump_id).name}")


def _towards(run: TubeRun, part_id: str) -> tuple[str, tuple[Corner, ...]]:
    """The port at the far end of a run, and its corners from there to the part."""
    if run.part_ids[1] == part_id:
        return run.start, run.corners
    return run.end, tuple(reversed(run.corners))


def _turns(a: Spot, b: Spot, c: Spot) -> bool:
    """True where a line from a by b to c turns in plan."""
    one, two = (b.x_mm - a.x_mm, b.y_mm - a.y_mm), (c.x_mm - b.x_mm, c.y_mm - b.y_mm)
    sideways, onward = one[0] * two[1] - one[1] * two[0], one[0] * two[0] + one[1] * two[1]
    return abs(sideways) > _STRAIGHT_MM * math.hypot(*one) or onward < 0
