"""A row of names of which one is in view; it shows only where there are several."""

from collections.abc import Sequence

from PySide6.QtWidgets import QTabBar, QWidget

__all__ = ["Picker"]


class Picker(QTabBar):
    """Tabs that are offered anew with every answer, and keep the one in view while the names stay."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent, expanding=False, drawBase=False, visible=False)
        self.setAccessibleName(name)

    @property
    def at(self) -> int:
        """Number of the one in view."""
        return max(self.currentIndex(), 0)

    def offer(self, names: Sequence[str]) -> None:
        """Offer these names, without word of a change."""
        if [self.tabText(number) for number in range(self.count())] != list(names):
            self.blockSignals(True)
            while self.count():
                self.removeTab(0)
            for name in names:
                self.addTab(name)
            self.blockSignals(False)
        self.setVisible(len(names) > 1)
