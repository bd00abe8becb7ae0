"""What a key means in the plan while no gesture is under way."""

from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from app.plan.arrange import Arrange
from app.plan.commands import ARROWS, Commands
from app.plan.noting import MoveNote
from app.plan.pointing import Pointing
from app.plan.set_height import SetHeight
from app.plan.surface import Surface

__all__ = ["MENU_MODIFIERS", "pressed"]

MENU_MODIFIERS = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.MetaModifier
_ZOOM = 1.25


class Keyed(Surface, Protocol):
    """A plan with all that its keys call for."""

    commands: Commands
    arrange: Arrange
    pointing: Pointing

    def draw_run(self) -> None:
        """Begin to draw a run."""

    def place_again(self) -> None:
        """Begin to place one more."""

    def measure(self) -> None:
        """Begin to measure."""

    def write_note(self) -> None:
        """Begin to write a note."""

    def zoom_by(self, factor: float) -> None:
        """Show it larger, or smaller."""


Key = Qt.Key
_PLAIN: dict[Qt.Key, Callable[[Keyed, bool], object]] = {
    Key.Key_F: lambda plan, _: plan.fit(),
    Key.Key_R: lambda plan, shift: plan.arrange.rotate(-90.0 if shift else 90.0),
    Key.Key_P: lambda plan, _: plan.place_again(),
    Key.Key_X: lambda plan, shift: plan.arrange.mirror("y" if shift else "x"),
    Key.Key_L: lambda plan, _: plan.arrange.tip(),
    Key.Key_K: lambda plan, _: plan.arrange.toggle_lock(),
    Key.Key_G: lambda plan, shift: plan.arrange.ungroup() if shift else plan.arrange.group(),
    Key.Key_T: lambda plan, shift: plan.commands.propose_way() if shift else plan.draw_run(),
    Key.Key_Delete: lambda plan, _: plan.commands.delete(),
    Key.Key_Backspace: lambda plan, shift: plan.commands.take_out() if shift else plan.commands.delete(),
    Key.Key_Escape: lambda plan, _: plan.document.select(()),
    Key.Key_PageDown: lambda plan, _: plan.commands.select_next(1),
    Key.Key_PageUp: lambda plan, _: plan.commands.select_next(-1),
    Key.Key_Period: lambda plan, _: plan.commands.next_corner(1),
    Key.Key_Comma: lambda plan, _: plan.commands.next_corner(-1),
    Key.Key_Insert: lambda plan, _: plan.commands.insert_corner(),
    Key.Key_E: lambda plan, _: plan.commands.next_turn(),
    Key.Key_Return: lambda plan, _: _rewrite_note(plan),
    Key.Key_Enter: lambda plan, _: _rewrite_note(plan),
    Key.Key_M: lambda plan, _: plan.measure(),
    Key.Key_N: lambda plan, _: plan.write_note(),
    Key.Key_J: lambda plan, shift: plan.pointing.mend() if shift else plan.pointing.go(1),
    Key.Key_W: lambda plan, shift: plan.commands.lead_end("start" if shift else "end"),
    Key.Key_Plus: lambda plan, _: plan.zoom_by(_ZOOM),
    Key.Key_Equal: lambda plan, _: plan.zoom_by(_ZOOM),
    Key.Key_Minus: lambda plan, _: plan.zoom_by(1.0 / _ZOOM),
}


def _rewrite_note(plan: Keyed) -> None:
    """Open the line of the selected note, if there is one."""
    for note in plan.document.layout.notes:
        if note.id == plan.selected_note:
            MoveNote.rewrite(plan, note)


def pressed(plan: Keyed, event: QKeyEvent) -> bool:
    """Do what a key means; False if it means nothing here."""
    key, shift = Qt.Key(event.key()), bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
    if event.modifiers() & MENU_MODIFIERS:
        return False
    if key in ARROWS:
        dx, dy = ARROWS[key]
        step = 10.0 if shift else 1.0
        plan.commands.nudge(dx * step, dy * step, event.isAutoRepeat())
    elif SetHeight.can_begin(plan, key):
        plan.hand.begin(SetHeight(plan, key))
    elif key in _PLAIN:
        _PLAIN[key](plan, shift)
    else:
        return False
    return True
