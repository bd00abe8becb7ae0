"""Going from one part of the window to the next by one key, and back to what had the keyboard there."""

from collections.abc import Sequence

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid

__all__ = ["Panes"]


class Panes(QObject):
    """Parts of a window in the order in which they are read.

    Parameters
    ----------
    panes : sequence of QWidget
    """

    def __init__(self, panes: Sequence[QWidget], parent: QObject) -> None:
        super().__init__(parent)
        self.panes = list(panes)
        self._last: dict[QWidget, QWidget] = {}  # what had the keyboard in each
        QApplication.instance().focusChanged.connect(self._on_focus)

    def go(self, by: int) -> None:
        """Give the keyboard to the next pane in which something takes it, or to the one before."""
        at = self._pane_of(QApplication.focusWidget())
        here = self.panes.index(at) if at is not None else (-1 if by > 0 else 0)
        for step in range(1, len(self.panes) + 1):
            pane = self.panes[(here + by * step) % len(self.panes)]
            target = self._target(pane)
            if target is not None:
                target.setFocus(Qt.FocusReason.TabFocusReason)
                return

    def _target(self, pane: QWidget) -> QWidget | None:
        """What had the keyboard last, or the first that takes it."""
        last = self._last.get(pane)
        inside = [last] if last is not None and isValid(last) else []
        inside += [pane, *_in_chain(pane)]
        return next((each for each in inside if _takes_keys(each)), None)

    def _pane_of(self, widget: QWidget | None) -> QWidget | None:
        return next((pane for pane in self.panes if widget is pane or _holds(pane, widget)), None)

    def _on_focus(self, _: QWidget | None, now: QWidget | None) -> None:
        pane = self._pane_of(now)
        if pane is not None and now is not None:
            self._last[pane] = now


def _holds(pane: QWidget, widget: QWidget | None) -> bool:
    return widget is not None and pane.isAncestorOf(widget)


def _in_chain(pane: QWidget) -> list[QWidget]:
    """Everything in a pane in the order of Tab."""
    found, at = [], pane.nextInFocusChain()
    while at is not pane and len(found) < 2000:
        if pane.isAncestorOf(at):
            found.append(at)
        at = at.nextInFocusChain()
    return found


def _takes_keys(widget: QWidget) -> bool:
    has_policy = bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus) and widget.focusProxy() is None
    return has_policy and widget.isVisible() and widget.isEnabled()
