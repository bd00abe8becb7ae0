"""The order in which Tab goes, where it is not the order in which widgets were made."""

from itertools import pairwise

from PySide6.QtWidgets import QWidget

__all__ = ["tab_in_order"]


def tab_in_order(*widgets: QWidget) -> None:
    """Let Tab go from each of some widgets of one window to the next.

    While they stand in no window yet, the last and the first are neighbours, too: nothing moves across that seam.
    """
    for before, after in pairwise(widgets):
        QWidget.setTabOrder(before, after)
