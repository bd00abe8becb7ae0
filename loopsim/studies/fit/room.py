"""Whether parts and tubes stay within the room: lid, floor, outline, reserved spaces."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Enclosure
from loopsim.geometry import TubeBody, overlapping, to_box
from loopsim.geometry.place import Lie
from loopsim.geometry.polygon import holds
from loopsim.studies.fit.drawing import Drawing, DrawnRun, Standing, spot_words
from loopsim.studies.fit.openings import within
from loopsim.studies.results import Finding
from loopsim.studies.sentence import datum

__all__ = ["room_findings"]

_SLACK_MM = 1e-6
_LIES: tuple[Lie, ...] = ("flat", "on edge", "ports up")


def room_findings(drawing: Drawing) -> Iterator[Finding]:
    """What is too high for the lid, in the floor, outside of the outline, or in a reserved space."""
    lid = drawing.enclosure.clear_height_mm + _SLACK_MM
    for stands in drawing.standing:
        if stands.box.high > lid or stands.box.low < 0:
            yield from _part_heights(drawing, stands)
    low, high = drawing.run_bounds
    for number in np.flatnonzero((high[:, 2] > lid) | (low[:, 2] < -_SLACK_MM)):
        yield from _run_heights(drawing, drawing.runs[number])
    outside = _parts_outside(drawing)
    for stands in outside:
        text = f"{stands.part.name} stands partly outside the enclosure"
        yield Finding("outside", stands.part.id, text, False, "move it inside", "move_inside")
    for drawn in _runs_outside(drawing, {stands.part.id for stands in outside}):
        text = f"{drawing.name_of(drawn.run)} leaves the enclosure"
        remedy = "lead it inside the walls, or cut a hole where it passes"
        yield Finding("outside", drawn.run.id, text, False, remedy, "reroute")
    yield from _in_reserved(drawing)


def _part_heights(drawing: Drawing, stands: Standing) -> Iterator[Finding]:
    part, lid = stands.part, drawing.enclosure.clear_height_mm
    if stands.box.high > lid + _SLACK_MM:
        text = f"{part.name} reaches {datum(stands.box.high, 'mm')}, the lid is at {datum(lid, 'mm')}"
        yield Finding("too_high", part.id, text, False, *_lower(stands, lid))
    if stands.box.low < 0:
        text = f"{part.name} stands {datum(-stands.box.low, 'mm')} below the floor"
        yield Finding("too_low", part.id, text, False, "set it on the floor", "on_floor")


def _lower(stands: Standing, lid: float) -> tuple[str, str]:
    """What makes a part low enough, in words and as a code."""
    tall = stands.box.high - stands.box.low
    if tall <= lid:
        return f"lower it by {datum(stands.box.high - lid, 'mm', 3)}", "lower"
    low = [lie for lie in _LIES if stands.part.outline.lying(lie).height_mm <= lid]
    if low:
        return f"lay it {'flat' if low[0] == 'flat' else f'so that it is {low[0]}'}", "other_lie"
    return f"choose a lower part, or raise the lid to {datum(tall, 'mm', 3)}", ""


def _run_heights(drawing: Drawing, drawn: DrawnRun) -> Iterator[Finding]:
    indoors = _indoors(drawing, drawn)
    lid, top, bottom = drawing.enclosure.clear_height_mm, indoors.high[2], indoors.low[2]
    if top > lid + _SLACK_MM:
        text = f"{drawing.name_of(drawn.run)} reaches {datum(round(top), 'mm')}, the lid is at {datum(lid, 'mm')}"
        yield Finding(
            "too_high", drawn.run.id, text, False, "lower its corners, or the ports that it joins", "lower_corners"
        )
    if bottom < -_SLACK_MM:
        text = f"{drawing.name_of(drawn.run)} would pass {datum(round(-bottom), 'mm')} into the floor"
        yield Finding(
            "too_low", drawn.run.id, text, False, "raise its corners, or the ports that it joins", "raise_corners"
        )


def _parts_outside(drawing: Drawing) -> list[Standing]:
    """Parts that the outline does not hold; those that are clear of a plain rectangle's sides need no closer look."""
    suspect = [drawing.standing[number] for number in _not_surely_inside(drawing, *drawing.box_bounds)]
    if not suspect:
        return []
    corners = [stands.part.outline.corners(stands.placement.place_of(stands.part)) for stands in suspect]
    inside = holds(drawing.enclosure.corners, np.array(corners, dtype=float)[:, :, :2])
    return [stands for stands, fits in zip(suspect, inside, strict=True) if not fits]


def _runs_outside(drawing: Drawing, outside: set[str]) -> Iterator[DrawnRun]:
    """Tubes that leave the outline; those at parts that stand outside themselves are not said twice."""
    for number in _not_surely_inside(drawing, *drawing.run_bounds):
        drawn = drawing.runs[number]
        if outside.intersection(drawn.ends):
            continue
        if not drawn.path.keep("inside", _is_inside, _indoors(drawing, drawn), drawing.enclosure):
            yield drawn


def _not_surely_inside(drawing: Drawing, low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.intp]:
    """Numbers of the things that reach over the room's rectangle; of all where the room has an outline of its own."""
    room = drawing.enclosure
    if room.outline:
        return np.arange(len(low))
    beyond = (low[:, :2] < -_SLACK_MM) | (high[:, :2] > (room.length_mm + _SLACK_MM, room.width_mm + _SLACK_MM))
    return np.flatnonzero(beyond.any(axis=1))


def _indoors(drawing: Drawing, drawn: DrawnRun) -> TubeBody:
    """What of a tube must stay in the room; kept with its path, as long as the tube and the room are the same."""
    body: TubeBody = drawn.path.keep("indoors", within, drawn.body, drawing.enclosure)
    return body


def _is_inside(indoors: TubeBody, enclosure: Enclosure) -> bool:
    return bool(holds(enclosure.corners, _quads(indoors)).all())


def _quads(body: TubeBody) -> NDArray[np.float64]:
    """The strips in plan that a tube's straight pieces take, counter-clockwise, shape (n, 4, 2)."""
    a, b = body.starts[:, :2], body.ends[:, :2]
    along = b - a
    length = np.linalg.norm(along, axis=1, keepdims=True)
    along = np.where(length > 0, along / np.where(length > 0, length, 1.0), (1.0, 0.0))
    side = body.radius_mm * np.stack((-along[:, 1], along[:, 0]), axis=1)
    return np.stack((a - side, b - side, b + side, a + side), axis=1)


def _in_reserved(drawing: Drawing) -> Iterator[Finding]:
    kept = [space for space in drawing.layout.reserved if space.rule == "keep clear"]
    if not kept:
        return
    boxes = [drawing.space_box(space) for space in kept]
    if drawing.standing:
        for i, j in np.argwhere(overlapping([stands.box for stands in drawing.standing], boxes)):
            part = drawing.standing[i].part
            text = f"{part.name} stands in the reserved space {kept[j].name}"
            yield Finding("reserved", part.id, text, False, "move it out of there", "")
    for drawn in drawing.runs:
        for space, box in zip(kept, boxes, strict=True):
            near = to_box(drawn.body, box)
            if near is not None and near.distance_mm < drawn.body.radius_mm - _SLACK_MM:
                text = f"{drawing.name_of(drawn.run)} passes the reserved space {space.name} {spot_words(near.at)}"
                yield Finding("reserved", drawn.run.id, text, False, "lead it round", "reroute", near.at)
