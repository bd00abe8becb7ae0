"""Edits that give a layout a port to fill, bleed or drain it through."""

import math
from itertools import count, pairwise

from loopsim.build import edits
from loopsim.build.document import Build, Layout, Placement
from loopsim.build.edits import Edit
from loopsim.build.joining import split_run
from loopsim.build.run_edits import corner_at, run_points
from loopsim.errors import SketchError
from loopsim.geometry import Spot
from loopsim.geometry.reshape import Point
from loopsim.parts import BleedPort, DrainPort, FillPort, TubeRun

__all__ = ["ServicePort", "add_service_port", "service_spot"]

ServicePort = type[BleedPort] | type[DrainPort] | type[FillPort]

SPARE_MM = 5.0  # of straight tube on either side of the port, to push the tube on


def add_service_port(build: Build, layout_name: str, kind: ServicePort, run_id: str, at: Point) -> tuple[Edit, str]:
    """A capped tee in a run, on the straight stretch with room for it that comes nearest to `at`; and the part's id.

    Its bore is that of the tube.

    Raises
    ------
    SketchError
        If no stretch of the run is long enough.
    """
    layout = build.layout(layout_name)
    run = layout.run(run_id)
    port_id = edits.free_part_id(build, kind.kind_name())
    port = kind(id=port_id, name=_free_name(build, kind), bore_mm=build.tube(run.tube).bore_mm)
    x, y = _place(build, layout, run, at, _room_mm(kind))
    placed = edits.add_part(build, layout_name, port, Placement(part=port_id, x_mm=x, y_mm=y))
    made = split_run(placed.build, layout_name, run_id, port_id, (x, y))
    return Edit(made.build, f"Put a {kind.title} into tube run {build.run_name(run)}"), port_id


def service_spot(build: Build, layout: Layout, kind: ServicePort, run_id: str, at: Point) -> Spot:
    """Where `add_service_port` would set its tee: on the centre line of the tube, with its height.

    Raises
    ------
    SketchError
        If no stretch of the run is long enough.
    """
    run = layout.run(run_id)
    _, corner = corner_at(build, layout, run, _place(build, layout, run, at, _room_mm(kind)))
    return Spot(corner.x_mm, corner.y_mm, corner.height_mm)


def _room_mm(kind: ServicePort) -> float:
    """From its middle to the next port or corner."""
    return float(kind.model_fields["length_mm"].default) / 2 + SPARE_MM


def _place(build: Build, layout: Layout, run: TubeRun, at: Point, room_mm: float) -> Point:
    """The place nearest to `at` that is `room_mm` away from ports and corners."""
    stretches = [ends for ends in pairwise(run_points(build, layout, run)) if math.dist(*ends) >= 2 * room_mm]
    if not stretches:
        raise SketchError(
            f"tube run {build.run_name(run)}: no straight stretch is {2 * room_mm:.0f} mm long, which a port needs; "
            "make one longer",
            part=run.id,
            field="corners",
        )
    return min((_nearest(*ends, at, room_mm) for ends in stretches), key=lambda place: math.dist(place, at))


def _nearest(begin: Point, end: Point, at: Point, room: float) -> Point:
    """The place on a stretch nearest to `at`, away from both of its ends."""
    length = math.dist(begin, end)
    step = (end[0] - begin[0]) / length, (end[1] - begin[1]) / length
    along = (at[0] - begin[0]) * step[0] + (at[1] - begin[1]) * step[1]
    along = min(max(along, room), length - room)
    return begin[0] + along * step[0], begin[1] + along * step[1]


def _free_name(build: Build, kind: ServicePort) -> str:
    taken = {part.name for part in build.parts}
    word = kind.title.capitalize()
    return next(name for name in (f"{word} {number}" for number in count(1)) if name not in taken)
