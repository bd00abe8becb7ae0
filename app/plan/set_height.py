"""A height typed for what is selected, without a field to click."""

from PySide6.QtCore import Qt

from app.plan.gesture import Gesture, Pointer
from app.plan.surface import Surface
from app.plan.typed_number import TypedNumber
from loopsim.build.arranging import raise_parts
from loopsim.build.edits import Edit
from loopsim.build.run_edits import set_corner_height

__all__ = ["SetHeight"]

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class SetHeight(Gesture):
    """Digits, then Enter: the height of the selected corner, of all corners of the selected runs, or of the parts."""

    follows_clicks = True

    def __init__(self, plan: Surface, first: Qt.Key) -> None:
        super().__init__(plan)
        self._corner = plan.selected_corner
        self._typed = TypedNumber()
        self._typed.key(first)

    @staticmethod
    def can_begin(plan: Surface, key: Qt.Key) -> bool:
        """True if something that has a height is selected, and a number begins with the key."""
        return TypedNumber.begins_with(key) and bool(plan.document.selection)

    def start(self, at: Pointer) -> None:  # noqa: ARG002
        self.plan.message.emit("Enter sets this height, Esc leaves it as it was.")

    def press(self, at: Pointer) -> None:
        """A click takes what was typed, as Enter does; what is no length is told, and stays to be mended."""
        if self._typed.refusal:
            self.plan.message.emit(self._typed.refusal)
        else:
            self.finish(at)

    def release(self, at: Pointer) -> None:
        """The button came up from a click elsewhere; nothing to do."""

    def finish(self, at: Pointer) -> None:
        height = self._typed.take()
        if height is not None:
            self.do(lambda: self._edit(height))
            self.plan.select_corner(self._corner)
        super().finish(at)

    def key(self, key: Qt.Key) -> bool:
        if key in _ENTER:
            self.press(self.plan.hand.at)
            return True
        return self._typed.key(key)

    def words(self) -> str:
        what = "corner" if self._corner else "height"
        return f"{what}: {self._typed.words} up"

    def _edit(self, height_mm: float) -> Edit:
        document = self.plan.document
        build, name = document.build, document.layout.name
        if self._corner is not None:
            return set_corner_height(build, name, self._corner[0], height_mm, self._corner[1])
        edit = raise_parts(build, name, self.plan.commands.parts, height_mm)
        runs = [run for run in document.layout.runs_by_id if run in document.selection]
        for run_id in runs:
            text = edit.text
            edit = set_corner_height(edit.build, name, run_id, height_mm)
            edit = edit._replace(text=text or edit.text)
        return edit
