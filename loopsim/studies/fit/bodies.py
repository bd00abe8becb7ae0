"""What is where something else already is: parts over parts, tubes through parts, tubes through tubes.

What was found is kept with the tube, sentence and all: in a drag most of it is found again.
"""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

import numpy as np

from loopsim.geometry import Approach, TubeBody, overlapping, to_box, to_tube
from loopsim.studies.fit.drawing import Drawing, DrawnRun, Standing, spot_words
from loopsim.studies.results import Finding
from loopsim.studies.sentence import datum

__all__ = ["body_findings"]

PRESSED_MM = 0.5  # soft tubes that lie against each other or a part are fine


def body_findings(drawing: Drawing) -> Iterator[Finding]:
    """Parts that reach into each other, tubes through parts, and tubes that cross at one height."""
    yield from _part_over_part(drawing)
    yield from _through_parts(drawing)
    yield from _tubes_meet(drawing)


def _part_over_part(drawing: Drawing) -> Iterator[Finding]:
    for i, j in np.argwhere(np.triu(overlapping(drawing.boxes, drawing.boxes), 1)):
        one, other = drawing.standing[i].part, drawing.standing[j].part
        text = f"{one.name} and {other.name} stand in each other's place"
        yield Finding("part_over_part", one.id, text, False, "move them apart", "", others=(other.id,))


def _through_parts(drawing: Drawing) -> Iterator[Finding]:
    lows, highs = drawing.run_bounds
    box_lows, box_highs = drawing.box_bounds
    near = ((lows[:, None] < box_highs[None]) & (highs[:, None] > box_lows[None])).all(axis=-1)
    for i, j in np.argwhere(near).tolist():
        drawn, stands = drawing.runs[i], drawing.standing[j]
        approach = _kept(drawn.body, stands.part.id, stands.box, partial(_box_approach, drawn, stands))
        if approach is not None and approach.distance_mm < drawn.body.radius_mm - PRESSED_MM:
            name, part = drawing.name_of(drawn.run), stands.part
            yield drawn.path.keep(f"through {part.id}", _through, approach, drawn.run.id, name, part.id, part.name)


def _through(approach: Approach, run_id: str, name: str, part_id: str, part_name: str) -> Finding:
    text = f"{name} passes through {part_name} {spot_words(approach.at)}"
    remedy = f"lead it round {part_name}, or over it"
    return Finding("through_part", run_id, text, False, remedy, "reroute", approach.at, (part_id,))


def _box_approach(drawn: DrawnRun, stands: Standing) -> Approach | None:
    """How near a run comes to a part; where it belongs to the part, beyond the stretch by which it leaves its port."""
    beyond = None
    for at_end in (0, -1):
        if drawn.ends[at_end] == stands.part.id:
            port, corner = (np.array(drawn.path.spots[each]) for each in ((0, 1) if at_end == 0 else (-1, -2)))
            beyond = port, float(np.linalg.norm(corner - port)) + 1e-6
    return to_box(drawn.body, stands.box, beyond)


def _tubes_meet(drawing: Drawing) -> Iterator[Finding]:
    lows, highs = drawing.run_bounds
    near = ((lows[:, None] < highs[None]) & (highs[:, None] > lows[None])).all(axis=-1)
    for i, j in np.argwhere(np.triu(near, 1)).tolist():
        one, other = drawing.runs[i], drawing.runs[j]
        approach = _kept(one.body, other.run.id, other.body, partial(to_tube, one.body, other.body))
        needed = one.body.radius_mm + other.body.radius_mm
        if approach is not None and approach.distance_mm < needed - PRESSED_MM:
            names, ids = (drawing.name_of(one.run), drawing.name_of(other.run)), (one.run.id, other.run.id)
            yield one.path.keep(f"meets {other.run.id}", _meeting, approach, needed, ids, names)


def _meeting(approach: Approach, needed: float, ids: tuple[str, str], names: tuple[str, str]) -> Finding:
    text = (
        f"{names[0]} and {names[1]} meet {spot_words(approach.at)}: their middles "
        f"are {datum(round(approach.distance_mm), 'mm')} apart, {datum(needed, 'mm', 3)} are needed"
    )
    rise = needed - abs(approach.at.height_mm - approach.other.height_mm)
    remedy = f"raise one of them there by {datum(round(rise), 'mm')}, or lead it round"
    return Finding("tubes_meet", ids[0], text, False, remedy, "reroute", approach.at, ids[1:])


def _kept(body: TubeBody, other_id: str, other: Any, work_out: Callable[[], Approach | None]) -> Approach | None:
    """What is known of a tube against another thing, as long as both are as they were."""
    known = body.known.get(other_id)
    if known is None or not (known[0] is other or known[0] == other):
        known = body.known[other_id] = (other, work_out())
    approach: Approach | None = known[1]
    return approach
