"""Three steps for whoever opens the program for the first time; they tick themselves off and can be put away."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QSettings, Qt
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QVBoxLayout, QWidget

from app.document import Document
from app.theme import CONTROL, STEP, Type, font

__all__ = ["FirstSteps"]

_KEY = "window/first_steps_seen"
_WIDTH = 272

# What to do, and how it is known to be done: by the words of the edit, or because another build is open.
_STEPS: tuple[tuple[str, Callable[[str, bool], bool]], ...] = (
    ("This sample is solved. Drag a part: flow and curves follow.", lambda words, _: words.startswith("Move")),
    ("Click a part, then Enter: its sheet. Every change can be undone.", lambda words, _: words.startswith("Change")),
    ("Begin your own machine with Ctrl+N. It asks for the room only.", lambda _, is_new: is_new),
)


class FirstSteps(QFrame):
    """A card over the upper right of the plan."""

    def __init__(self, plan: QWidget, document: Document, settings: QSettings) -> None:
        super().__init__(plan, objectName="hint")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.document, self._plan, self._settings = document, plan, settings
        self.done = [False] * len(_STEPS)
        self.lines = [QLabel(self, wordWrap=True, textFormat=Qt.TextFormat.PlainText) for _ in _STEPS]
        self.away = QPushButton("Put away", self)
        self.away.setMinimumHeight(CONTROL)
        self.away.clicked.connect(self._put_away)
        column = QVBoxLayout(self)
        column.setSpacing(STEP // 2)
        for line in self.lines:
            line.setFont(font(Type.SMALL))
            column.addWidget(line)
        column.addWidget(self.away, 0, Qt.AlignmentFlag.AlignRight)
        self.setFixedWidth(_WIDTH)
        self.setAccessibleName("first steps")
        plan.installEventFilter(self)
        document.history.undoTextChanged.connect(self._on_step)
        document.path_changed.connect(self._on_opened)
        self.hide()

    def offer(self) -> None:
        """Show them, unless they have been put away or gone through before."""
        if not self._settings.value(_KEY, False, bool):
            self._refresh()
            self.show()
            self._settle()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            self._settle()
        return super().eventFilter(watched, event)

    def _on_step(self, words: str) -> None:
        self._tick(words, False)

    def _on_opened(self) -> None:
        self._tick("", self.document.path is None and not self.document.layout.placed)

    def _tick(self, words: str, is_new: bool) -> None:
        if self.isVisible():
            self.done = [was or is_done(words, is_new) for was, (_, is_done) in zip(self.done, _STEPS, strict=True)]
            self._refresh()
            if all(self.done):
                self._put_away()

    def _refresh(self) -> None:
        for number, (line, done) in enumerate(zip(self.lines, self.done, strict=True)):
            mark = "done" if done else f"{number + 1}"
            line.setText(f"{mark}  {_STEPS[number][0]}")
            line.setEnabled(not done)

    def _put_away(self) -> None:
        self._settings.setValue(_KEY, True)
        self.hide()

    def _settle(self) -> None:
        self.adjustSize()
        self.move(self._plan.width() - self.width() - 2 * STEP, 5 * STEP)
