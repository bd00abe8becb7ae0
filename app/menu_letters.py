"""While a menu is open its letters choose in it, and are no keys of the plan."""

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QMenu

__all__ = ["letters_first"]

_PLAIN = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier


class _Letters(QObject):
    """An open menu leaves the keyboard with the plan, whose single letters would be found as shortcuts first."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        is_asked = event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent)
        if is_asked and event.modifiers() in _PLAIN and event.text():
            event.accept()
            return True
        return super().eventFilter(watched, event)


def letters_first(menu: QMenu) -> None:
    """Let the letters of a menu choose in it, whichever keys the plan has."""
    menu.installEventFilter(_Letters(menu))
