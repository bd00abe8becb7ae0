"""What a press or a double click means in the plan while nothing is under way, by what lies there."""

from PySide6.QtCore import Qt

from app.plan.arrange import with_groups
from app.plan.drawing import DrawRun
from app.plan.ending import MoveEnd
from app.plan.gesture import Gesture, Pointer, RubberBand
from app.plan.handles import Hit
from app.plan.hits import hit_at
from app.plan.moving import MoveCorner, MoveParts, MoveStretch
from app.plan.noting import MoveNote
from app.plan.surface import Surface
from app.plan.turning import TurnPart
from loopsim.build.edits import Edit
from loopsim.build.run_edits import insert_corner, toggle_turn

__all__ = ["cursor_over", "taken", "works_on_run"]

_CURSORS = {
    "port": Qt.CursorShape.CrossCursor,
    "corner": Qt.CursorShape.SizeAllCursor,
    "end": Qt.CursorShape.SizeAllCursor,
    "turn": Qt.CursorShape.SizeAllCursor,
    "part": Qt.CursorShape.PointingHandCursor,
    "run": Qt.CursorShape.PointingHandCursor,
}


def cursor_over(hit: Hit | None) -> Qt.CursorShape:
    """The cursor that says what a press would do."""
    return _CURSORS[hit.kind] if hit else Qt.CursorShape.ArrowCursor


def taken(plan: Surface, at: Pointer) -> Gesture | None:
    """The gesture that a press begins; None where it shows a finding and is done."""
    mark = plan.mark_at(at.pixel)
    if mark is not None:
        plan.pointing.show(mark)
        return None
    note = plan.note_at(at.pixel)
    plan.select_note(note.id if note else "")
    if note is not None:
        return MoveNote(plan, note)
    return _taken_hit(plan, hit_at(plan.scene(), at.point, plan.pixel_mm), at)


def works_on_run(plan: Surface, at: Pointer) -> bool:
    """A double click: on a run another corner, on a corner bend, elbow or mitre; False anywhere else."""
    hit = hit_at(plan.scene(), at.point, plan.pixel_mm)
    name = plan.document.layout.name
    if hit is not None and hit.kind == "corner":
        plan.do(lambda: toggle_turn(plan.document.build, name, hit.id, hit.corner))
        plan.select_corner((hit.id, hit.corner))
    elif hit is not None and hit.kind == "run":
        _insert_corner(plan, hit.id, name, at)
    else:
        return False
    return True


def _taken_hit(plan: Surface, hit: Hit | None, at: Pointer) -> Gesture:
    kind = hit.kind if hit is not None else ""
    if kind == "port":
        return DrawRun(plan, hit)
    if kind == "turn":
        return TurnPart(plan, hit.id)
    if kind == "end":
        return MoveEnd(plan, hit.id, hit.end)
    plan.select_corner((hit.id, hit.corner) if kind == "corner" else None)
    if kind == "corner":
        return MoveCorner(plan, hit.id, hit.corner)
    return RubberBand(plan) if hit is None else _held(plan, hit, at)


def _held(plan: Surface, hit: Hit, at: Pointer) -> Gesture:
    """Select a part or run, and hold it ready to be moved."""
    before, lets_go = plan.document.selection, None
    chosen = frozenset((hit.id,)) if at.is_free else with_groups((hit.id,), plan)
    if hit.id not in before:
        plan.document.select((before if at.is_adding else frozenset()) | chosen)
    else:
        lets_go = before - chosen if at.is_adding else chosen
    if hit.kind == "part":
        return MoveParts(plan, hit.id, lets_go)
    return MoveStretch(plan, hit.id, at, lets_go)


def _insert_corner(plan: Surface, run_id: str, name: str, at: Pointer) -> None:
    made: list[int] = []

    def insert() -> Edit:
        edit, index = insert_corner(plan.document.build, name, run_id, at.on_grid)
        made.append(index)
        return edit

    if plan.do(insert):
        plan.document.select((run_id,))
        plan.select_corner((run_id, made[0]))
