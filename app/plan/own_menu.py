"""What is in the menu that a right click brings up: the commands for what lies there, and no others."""

from collections.abc import Iterable

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from app.document import Document

__all__ = ["ON", "actions_on", "fill"]

ON = "on"  # property of a command: of "part", "run" and "paper", those that have it in their menu


def actions_on(actions: Iterable[QAction], document: Document) -> list[QAction]:
    """Those of the commands that do something to what is selected; with nothing selected, those of the bare paper."""
    chosen, layout = document.selection, document.layout
    kinds = {"part" if item in layout.placements else "run" for item in chosen} or {"paper"}
    return [action for action in actions if kinds.intersection(str(action.property(ON) or "").split())]


def fill(menu: QMenu, actions: Iterable[QAction]) -> None:
    """Show these in a menu that owns none of them; to clear it would take them from Python where they belong."""
    for action in menu.actions():
        menu.removeAction(action)
    menu.addActions([*actions])
