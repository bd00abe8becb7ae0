"""The line at the top: what is open, whether it is saved, and which layout is in view."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from app.document import Document
from app.layout_tabs import LayoutTabs
from app.theme import STEP, Type, font

__all__ = ["Header"]


class Header(QWidget):
    """Name of the build, "edited", and a tab for each layout."""

    def __init__(self, document: Document) -> None:
        super().__init__(objectName="header")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.document = document
        self.name, self.edited = QLabel(self), QLabel("edited", self)
        self.name.setFont(font(Type.LARGE, bold=True))
        self.edited.setProperty("tone", "soft")
        self.layouts = LayoutTabs(document, self)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * STEP, 4, 2 * STEP, 0)
        row.setSpacing(STEP)
        for widget in (self.name, self.edited):
            row.addWidget(widget, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addSpacing(2 * STEP)
        row.addWidget(self.layouts, 1, Qt.AlignmentFlag.AlignBottom)
        document.build_changed.connect(self._on_changed)
        document.clean_changed.connect(self._on_changed)
        document.path_changed.connect(self._on_changed)
        self._on_changed()

    def _on_changed(self, *_: object) -> None:
        self.name.setText(self.document.title)
        self.edited.setVisible(not self.document.history.isClean())
