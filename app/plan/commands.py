"""What the keyboard does to the selection."""

from collections.abc import Callable

from PySide6.QtCore import Qt

from app.plan.arrange import with_groups
from app.plan.changes import remove
from app.plan.ending import MoveEnd
from app.plan.surface import Surface
from loopsim.build import Note, edits, ground_edits
from loopsim.build.arranging import move_parts
from loopsim.build.edits import Edit
from loopsim.build.joining import End
from loopsim.build.run_edits import corner_after, pull_corner, remove_corner, toggle_turn
from loopsim.build.taking_out import take_out
from loopsim.studies.fit import proposed_corners

__all__ = ["ARROWS", "Commands"]

ARROWS = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, 1.0),
    Qt.Key.Key_Down: (0.0, -1.0),
}


class Commands:
    """Edits of the selected parts and runs, each one step back."""

    def __init__(self, plan: Surface) -> None:
        self._plan, self._document = plan, plan.document
        self._held = object()  # a held arrow key is one step

    @property
    def parts(self) -> list[str]:
        """Ids of the selected parts, in the order of the layout."""
        return [part for part in self._document.layout.placements if part in self._document.selection]

    @property
    def run(self) -> str:
        """Id of the one selected run, empty if there is none or there are several."""
        runs = [run for run in self._document.layout.runs_by_id if run in self._document.selection]
        return runs[0] if len(runs) == 1 else ""

    def nudge(self, dx_mm: float, dy_mm: float, is_repeat: bool) -> None:
        """Move the selected corner or note, or else the selected parts, a little."""
        self._held = self._held if is_repeat else object()
        build, name, corner = self._document.build, self._document.layout.name, self._plan.selected_corner
        if corner is not None:
            self._keep_corner(lambda: pull_corner(build, name, *corner, dx_mm, dy_mm, free=False), self._held)
        elif (note := self._note()) is not None:
            place = {"x_mm": round(note.x_mm + dx_mm, 1), "y_mm": round(note.y_mm + dy_mm, 1)}
            self._plan.do(lambda: ground_edits.change_note(build, name, note.id, **place), self._held)
        elif parts := self._plan.arrange.movable():
            self._plan.do(lambda: move_parts(build, name, parts, dx_mm, dy_mm), self._held)

    def delete(self) -> None:
        """Remove the selected corner or note, or else everything that is selected."""
        build, name, corner = self._document.build, self._document.layout.name, self._plan.selected_corner
        note = self._plan.selected_note
        if note:
            self._plan.select_note("")
            self._plan.do(lambda: ground_edits.remove_note(build, name, note))
        elif corner is not None:
            self._plan.select_corner(None)
            self._plan.do(lambda: remove_corner(build, name, *corner))
        elif self._document.selection:
            self._plan.do(lambda: remove(build, name, self._document.selection))

    def take_out(self) -> None:
        """Take the selected part out of its line, and make one run of the two on it."""
        build, name = self._document.build, self._document.layout.name
        if len(self.parts) == 1:
            (part,) = self.parts
            self._plan.do(lambda: take_out(build, name, part))
        else:
            self._plan.message.emit("Select one part that stands in a line of tube, to take it out.")

    def next_corner(self, step: int) -> None:
        """Select the next corner of the selected run, or the one before."""
        run_id = self.run
        corners = len(self._document.layout.run(run_id).corners) if run_id else 0
        if corners:
            corner = self._plan.selected_corner
            index = (0 if step > 0 else -1) if corner is None else corner[1] + step
            self._plan.select_corner((run_id, index % corners))

    def insert_corner(self) -> None:
        """A corner half way along the stretch after the selected corner, or along the run's longest stretch."""
        run_id, build, name = self.run, self._document.build, self._document.layout.name
        if run_id:
            corner = self._plan.selected_corner
            made: list[int] = []

            def insert() -> Edit:
                edit, index = corner_after(build, name, run_id, corner[1] if corner else None)
                made.append(index)
                return edit

            if self._plan.do(insert):
                self._plan.select_corner((run_id, made[0]))

    def next_turn(self) -> None:
        """Make the selected corner an elbow, a mitre, or a bend again."""
        build, name, corner = self._document.build, self._document.layout.name, self._plan.selected_corner
        if corner is not None:
            self._keep_corner(lambda: toggle_turn(build, name, *corner))

    def _keep_corner(self, make: Callable[[], Edit], gesture: object = None) -> None:
        """Make an edit that leaves the corners' numbers as they are."""
        corner = self._plan.selected_corner
        self._plan.do(make, gesture)
        self._plan.select_corner(corner)

    def propose_way(self) -> None:
        """Lead the selected run by the shortest way that is clear of all that stands there."""
        run_id, build, name = self.run, self._document.build, self._document.layout.name
        if run_id:
            corners = proposed_corners(build, build.layout(name), run_id)
            words = build.run_name(build.layout(name).run(run_id))
            if corners is None:
                self._plan.message.emit(f"There is no clear way at this height from {words}: draw it by hand.")
            else:
                edit = edits.change_run(build, name, run_id, corners=corners)
                self._plan.do(lambda: edit._replace(text=f"Lead tube run {words} another way"))

    def lead_end(self, which: End) -> None:
        """Take an end of the selected run into the hand, to lead it to another port."""
        if self.run:
            gesture = MoveEnd(self._plan, self.run, which)
            self._plan.hand.begin(gesture, self._plan.pointer_at(gesture.begins_at))

    def select_all(self) -> None:
        """Select every part and run."""
        layout = self._document.layout
        self._document.select((*layout.placements, *layout.runs_by_id))

    def select_next(self, step: int) -> None:
        """Select the next part, run or note after the selected one, or the one before."""
        layout, selection, selected_note = self._document.layout, self._document.selection, self._plan.selected_note
        notes = () if "notes" in self._plan.scene().dimmed else layout.notes
        things = [(item, "") for item in (*layout.placements, *layout.runs_by_id)] + [("", note.id) for note in notes]
        is_chosen = [item in selection if item else note == selected_note for item, note in things]
        at = [index for index, chosen in enumerate(is_chosen) if chosen]
        if things:
            first = (at[-1 if step > 0 else 0] + step) if at else (0 if step > 0 else -1)
            item, note = things[first % len(things)]
            self._plan.select_note(note)
            self._document.select(with_groups((item,), self._plan) if item else ())

    def _note(self) -> Note | None:
        """The selected note."""
        return next((note for note in self._document.layout.notes if note.id == self._plan.selected_note), None)
