"""What the keyboard does to the selection."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from app.plan.changes import move_parts, remove, remove_corner, rotate_parts

if TYPE_CHECKING:
    from app.plan.view import PlanView

__all__ = ["ARROWS", "Commands"]

ARROWS = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, 1.0),
    Qt.Key.Key_Down: (0.0, -1.0),
}


class Commands:
    """Edits of the selected parts and runs, each one step back."""

    def __init__(self, plan: "PlanView") -> None:
        self._plan, self._document = plan, plan.document
        self._held = object()  # a held arrow key is one step

    @property
    def parts(self) -> list[str]:
        """Ids of the selected parts, in the order of the layout."""
        return [part for part in self._document.layout.placements if part in self._document.selection]

    def nudge(self, dx_mm: float, dy_mm: float, is_repeat: bool) -> None:
        """Move the selected parts a little."""
        self._held = self._held if is_repeat else object()
        if self.parts:
            build, name = self._document.build, self._document.layout.name
            self._plan.do(lambda: move_parts(build, name, self.parts, dx_mm, dy_mm), self._held)

    def rotate(self, by_deg: float) -> None:
        """Turn the selected parts, counter-clockwise."""
        if self.parts:
            build, name = self._document.build, self._document.layout.name
            self._plan.do(lambda: rotate_parts(build, name, self.parts, by_deg))

    def delete(self) -> None:
        """Remove the selected corner, or else everything that is selected."""
        build, name, corner = self._document.build, self._document.layout.name, self._plan.selected_corner
        if corner is not None:
            self._plan.select_corner(None)
            self._plan.do(lambda: remove_corner(build, name, *corner))
        elif self._document.selection:
            self._plan.do(lambda: remove(build, name, self._document.selection))

    def select_all(self) -> None:
        """Select every part and run."""
        layout = self._document.layout
        self._document.select((*layout.placements, *layout.runs_by_id))

    def select_next(self, step: int) -> None:
        """Select the next part or run after the selected one, or the one before."""
        ids = [*self._document.layout.placements, *self._document.layout.runs_by_id]
        at = [index for index, each in enumerate(ids) if each in self._document.selection]
        if ids:
            first = (at[-1 if step > 0 else 0] + step) if at else (0 if step > 0 else -1)
            self._document.select((ids[first % len(ids)],))
