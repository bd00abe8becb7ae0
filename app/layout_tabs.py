"""The layouts of the build as tabs: brought into view, added, copied, named, put in order, removed."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QPoint, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QLineEdit, QMenu, QTabBar, QToolButton, QWidget

from app.document import Document
from app.menu_letters import letters_first
from app.theme import CONTROL, STEP
from loopsim.build import layout_edits
from loopsim.build.edits import Edit

__all__ = ["LayoutTabs"]

_LEAST_NAME_PX = 120


class LayoutTabs(QWidget):
    """A tab for each layout, and a way to another one.

    Signals
    -------
    refused(str)
        Why something cannot be done.
    """

    refused = Signal(str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self._held = object()  # one drag of a tab is one step back
        self.bar = QTabBar(self, expanding=False, drawBase=False, movable=True)
        self.bar.setAccessibleName("layout in view")
        self.bar.setUsesScrollButtons(True)
        self.another = QToolButton(self, text="+", popupMode=QToolButton.ToolButtonPopupMode.InstantPopup)
        self.another.setAccessibleName("another layout")
        self.another.setToolTip("Another layout of the same machine: empty, or a copy of the one in view")
        self.another.setMinimumSize(CONTROL, CONTROL)
        choices = QMenu(self.another)
        for words, action in (("&Copy of this one", self.copy), ("&Empty", self.add)):
            choices.addAction(words).triggered.connect(lambda _checked=False, action=action: action())
        self.another.setMenu(choices)
        self._keyboard: QWidget | None = None  # where it was before a name was typed
        self.line = QLineEdit(self.bar, visible=False)
        self.line.setAccessibleName("name of the layout")
        self.line.installEventFilter(self)
        self.line.editingFinished.connect(self._on_named)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(STEP // 2)
        row.addWidget(self.bar)
        row.addWidget(self.another, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addStretch(1)
        self.bar.installEventFilter(self)
        self.bar.currentChanged.connect(self._on_tab)
        self.bar.tabMoved.connect(self._on_moved)
        document.build_changed.connect(self.refresh)
        document.layout_changed.connect(self.refresh)
        self.refresh()

    @property
    def names(self) -> list[str]:
        """The tabs' words, from left to right."""
        return [self.bar.tabText(number) for number in range(self.bar.count())]

    def refresh(self, *_: object) -> None:
        """Bring the tabs in step with the document."""
        names = [layout.name for layout in self.document.build.layouts]
        self.bar.blockSignals(True)
        if self.names != names:
            self.line.hide()
            while self.bar.count():
                self.bar.removeTab(0)
            for name in names:
                self.bar.addTab(name)
        self.bar.setCurrentIndex(names.index(self.document.layout.name))
        self.bar.blockSignals(False)

    def add(self) -> None:
        """An empty layout, in view."""
        name = layout_edits.free_layout_name(self.document.build, "new layout")
        self._make(lambda: layout_edits.add_layout(self.document.build, name), name)

    def copy(self) -> None:
        """A copy of the layout in view, brought into view."""
        of = self.document.layout.name
        name = layout_edits.free_layout_name(self.document.build, f"{of} copy")
        self._make(lambda: layout_edits.copy_layout(self.document.build, of, name), name)

    def rename(self) -> None:
        """Let the builder type another name into the tab in view."""
        place = self.bar.tabRect(self.bar.currentIndex())
        place.setWidth(max(place.width(), _LEAST_NAME_PX))
        self.line.setGeometry(place)
        self.line.setText(self.document.layout.name)
        self.line.selectAll()
        self._keyboard = QApplication.focusWidget()
        self.line.show()
        self.line.setFocus()

    def remove(self) -> None:
        """Take the layout in view away; undo brings it back."""
        number = self.bar.currentIndex()
        if self._do(lambda: layout_edits.remove_layout(self.document.build, self.document.layout.name)):
            self.document.view_layout(self.names[min(number, self.bar.count() - 1)])

    def shift(self, by: int) -> None:
        """Move the tab in view to the right, or to the left."""
        names, here = self.names, self.bar.currentIndex()
        there = here + by
        if 0 <= there < len(names):
            names[here], names[there] = names[there], names[here]
            self._do(lambda: layout_edits.order_layouts(self.document.build, tuple(names)))

    def view_next(self, by: int) -> None:
        """Bring the layout to the right into view, or that to the left."""
        self.document.view_layout(self.names[(self.bar.currentIndex() + by) % self.bar.count()])

    def eventFilter(self, watched: QWidget, event: QEvent) -> bool:
        if watched is self.line:
            return self._gives_up(event)
        if event.type() == QEvent.Type.MouseButtonPress:
            self._held = object()
        if isinstance(event, QMouseEvent) and event.type() == QEvent.Type.MouseButtonDblClick:
            if self.bar.tabAt(event.position().toPoint()) >= 0:
                self.rename()
            return True
        if isinstance(event, QContextMenuEvent):
            self._show_menu(event.pos(), event.globalPos())
            return True
        return super().eventFilter(watched, event)

    def _gives_up(self, event: QEvent) -> bool:
        """Esc leaves the name as it was."""
        is_escape = isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape
        if is_escape and event.type() in (QEvent.Type.KeyPress, QEvent.Type.ShortcutOverride):
            self.line.setText(self.document.layout.name)
            self._leave_line()
            event.accept()
        return bool(is_escape)

    def _show_menu(self, at: QPoint, on_screen: QPoint) -> None:
        if self.bar.tabAt(at) >= 0:
            self.bar.setCurrentIndex(self.bar.tabAt(at))
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        letters_first(menu)
        self.fill(menu)
        menu.popup(on_screen)

    def commands(self) -> list[tuple[str, Callable[[], object], str]]:
        """What can be done with layouts: words, action, keys."""
        return [
            ("&Copy this layout", self.copy, "Ctrl+L"),
            ("Add an &empty layout", self.add, "Ctrl+Shift+L"),
            ("Re&name this layout", self.rename, "F2"),
            ("Move it to the &left", lambda: self.shift(-1), "Ctrl+Shift+PgUp"),
            ("Move it to the &right", lambda: self.shift(1), "Ctrl+Shift+PgDown"),
            ("Re&move this layout", self.remove, ""),
            ("View the ne&xt one", lambda: self.view_next(1), "Ctrl+PgDown"),
            ("View the one &before", lambda: self.view_next(-1), "Ctrl+PgUp"),
        ]

    def fill(self, menu: QMenu) -> None:
        """The commands without their keys, which belong to the menu bar."""
        for words, action, _ in self.commands()[:6]:
            menu.addAction(words).triggered.connect(lambda _checked=False, action=action: action())

    def _make(self, make: Callable[[], Edit], name: str) -> None:
        """Make a layout, bring it into view, and let the builder name it."""
        if self._do(make):
            self.document.view_layout(name)
            self.rename()

    def _do(self, make: Callable[[], Edit]) -> bool:
        return self.document.attempt(make, self.refused.emit)

    def _on_tab(self, number: int) -> None:
        if number >= 0:
            self.document.view_layout(self.bar.tabText(number))

    def _on_moved(self, *_: int) -> None:
        """A tab was dragged; while the button is down it may move on, all as one step."""
        names = tuple(self.names)
        self.document.do(layout_edits.order_layouts(self.document.build, names), self._held)

    def _leave_line(self) -> None:
        """The keyboard goes back to where it was, if nothing else has taken it."""
        had_keyboard, keyboard = self.line.hasFocus(), self._keyboard
        self.line.hide()
        if had_keyboard and keyboard is not None:
            keyboard.setFocus()

    def _on_named(self) -> None:
        before, wanted = self.document.layout.name, self.line.text().strip()
        if self.line.isHidden():
            return
        self._leave_line()
        if wanted and wanted != before:
            self._do(lambda: layout_edits.rename_layout(self.document.build, before, wanted))
