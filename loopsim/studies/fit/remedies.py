"""What a finding asks for, as an edit."""

from collections.abc import Callable

from loopsim.build import Build, edits
from loopsim.build.edits import Edit
from loopsim.build.taking_out import add_vessel, take_out
from loopsim.geometry.place import Lie
from loopsim.studies.fit.checks import fit
from loopsim.studies.fit.leading import proposed_corners
from loopsim.studies.results import Finding

__all__ = ["remedied"]

_LIES: tuple[Lie, ...] = ("flat", "on edge", "ports up")


def remedied(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    """The edit that a finding's `fix` stands for; None where there is none, or where it would not help.

    Raises
    ------
    SketchError
        If there is no such layout, or what the finding speaks of is not in it any more.
    """
    make = _FIXES.get(finding.fix)
    edit = None if make is None or finding.part is None else make(build, layout_name, finding)
    if edit is None or _same(finding) in map(_same, fit(edit.build, layout_name)):
        return None
    return edit


def _same(finding: Finding) -> tuple[object, ...]:
    """What makes two findings one: their words may differ in a number."""
    return finding.code, finding.part, finding.at, finding.others


def _reroute(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    layout, run_id = build.layout(layout_name), str(finding.part)
    corners = proposed_corners(build, layout, run_id)
    if corners is None or corners == layout.run(run_id).corners:
        return None
    edit = edits.change_run(build, layout_name, run_id, corners=corners)
    return edit._replace(text=f"Lead tube run {build.run_name(layout.run(run_id))} another way")


def _lower(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    part = build.part(str(finding.part))
    tall = build.layout(layout_name).placement(part.id).outline_of(part).height_mm
    edit = edits.change_placement(build, layout_name, part.id, height_mm=build.enclosure.clear_height_mm - tall)
    return edit._replace(text=f"Lower {part.name}")


def _on_floor(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    edit = edits.change_placement(build, layout_name, str(finding.part), height_mm=0.0)
    return edit._replace(text=f"Set {build.part(str(finding.part)).name} on the floor")


def _other_lie(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    part, lid = build.part(str(finding.part)), build.enclosure.clear_height_mm
    lie = next((lie for lie in _LIES if part.outline.lying(lie).height_mm <= lid), None)
    if lie is None:
        return None
    edit = edits.change_placement(build, layout_name, part.id, lie=lie, height_mm=0.0)
    return edit._replace(text=f"Lay {part.name} {lie}")


def _turn_round(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    part_id = str(finding.part)
    turned = (build.layout(layout_name).placement(part_id).rotation_deg + 180.0) % 360.0
    edit = edits.change_placement(build, layout_name, part_id, rotation_deg=turned)
    return edit._replace(text=f"Turn {build.part(part_id).name} round")


def _move_inside(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    """Into the rectangle of the room, where it is large enough; an outline with notches may ask for more."""
    part, room = build.part(str(finding.part)), build.enclosure
    placement = build.layout(layout_name).placement(part.id)
    corners = part.outline.corners(placement.place_of(part))
    moved = []
    for axis, size, middle in ((0, room.length_mm, placement.x_mm), (1, room.width_mm, placement.y_mm)):
        low, high = min(corner[axis] for corner in corners), max(corner[axis] for corner in corners)
        if high - low > size:
            return None
        moved.append(middle - min(low, 0.0) - max(high - size, 0.0))
    if moved == [placement.x_mm, placement.y_mm]:
        return None
    edit = edits.move(build, layout_name, part.id, *moved)
    return edit._replace(text=f"Move {part.name} inside")


def _swap_ports(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    """The tubes at inlet and outlet change places."""
    part = build.part(str(finding.part))
    swapped = {f"{part.id}.inlet": f"{part.id}.outlet", f"{part.id}.outlet": f"{part.id}.inlet"}
    runs = tuple(
        run.with_values(start=swapped.get(run.start, run.start), end=swapped.get(run.end, run.end))
        if part.id in run.part_ids
        else run
        for run in build.layout(layout_name).runs
    )
    edit = edits.change_layout(build, layout_name, runs=runs)
    return edit._replace(text=f"Exchange the tubes at {part.name}")


def _radius(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    run = build.layout(layout_name).run(str(finding.part))
    return edits.change_run(build, layout_name, run.id, radius_mm=build.tube(run.tube).least_radius_mm)


def _fitting_radius(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    """The largest radius for which all corners that are round have room."""
    layout = build.layout(layout_name)
    run = layout.run(str(finding.part))
    bends = [bend for bend in build.run_path(layout, run).bends if bend.wanted_mm > 0]
    return edits.change_run(build, layout_name, run.id, radius_mm=min(bend.radius_mm for bend in bends))


def _elbow(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    """The corner that the finding speaks of becomes an elbow fitting."""
    layout = build.layout(layout_name)
    run = layout.run(str(finding.part))
    corners = tuple(corner.with_values(turn="elbow") if corner.spot == finding.at else corner for corner in run.corners)
    edit = edits.change_run(build, layout_name, run.id, corners=corners)
    return edit._replace(text=f"Make elbow in tube run {build.run_name(run)}")


def _corners_within(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    """Corners between floor and lid; None where the ports themselves lie too high or too low."""
    layout = build.layout(layout_name)
    run = layout.run(str(finding.part))
    half, lid = build.tube(run.tube).outer_mm / 2, build.enclosure.clear_height_mm
    ends = [build.port_spot(layout, reference).height_mm for reference in (run.start, run.end)]
    if min(ends) < half or max(ends) > lid - half:
        return None
    corners = tuple(
        corner.with_values(height_mm=min(max(corner.height_mm, half), lid - half)) for corner in run.corners
    )
    edit = edits.change_run(build, layout_name, run.id, corners=corners)
    return edit._replace(text=f"Bring tube run {build.run_name(run)} between floor and lid")


def _take_out(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    return take_out(build, layout_name, str(finding.part))


def _add_vessel(build: Build, layout_name: str, finding: Finding) -> Edit | None:
    return add_vessel(build, layout_name, str(finding.part))


_FIXES: dict[str, Callable[[Build, str, Finding], Edit | None]] = {
    "take_out": _take_out,
    "add_vessel": _add_vessel,
    "reroute": _reroute,
    "lower": _lower,
    "on_floor": _on_floor,
    "other_lie": _other_lie,
    "move_inside": _move_inside,
    "swap_ports": _swap_ports,
    "turn_round": _turn_round,
    "least_radius": _radius,
    "fitting_radius": _fitting_radius,
    "elbow": _elbow,
    "lower_corners": _corners_within,
    "raise_corners": _corners_within,
}
