"""The search field of the drawer."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

__all__ = ["SearchLine"]


class SearchLine(QLineEdit):
    """A search field: Esc empties it, Return takes the best answer, the down arrow goes on to the answers."""

    entered = Signal()
    left_down = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent, placeholderText="find a part", clearButtonEnabled=True)
        self.setAccessibleName("Find a part by words of its name, size or help")
        self.setToolTip("Words of a name, a size or a help text; Return places the marked one.")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.text():
            self.clear()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit()
        elif event.key() == Qt.Key.Key_Down:
            self.left_down.emit()
        else:
            super().keyPressEvent(event)
