"""Three steps for whoever opens the program for the first time; they tick themselves off and can be put away."""

from collections.abc import Callable

from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton

from app.document import Document
from app.theme import CONTROL, STEP, Type, font

__all__ = ["FirstSteps"]

_KEY = "window/first_steps_seen"

# What to do, and how it is known to be done: by the words of the edit, or because another build is open.
_STEPS: tuple[tuple[str, Callable[[str, bool], bool]], ...] = (
    ("This sample is solved. Drag a part: flow and curves follow.", lambda words, _: words.startswith("Move")),
    ("Click a part, then Enter: its sheet. Every change can be undone.", lambda words, _: words.startswith("Change")),
    ("Begin your own machine with Ctrl+N. It asks for the room only.", lambda _, is_new: is_new),
)


class FirstSteps(QFrame):
    """A line of three above the plan, so that it hides nothing of it."""

    def __init__(self, document: Document, settings: QSettings) -> None:
        super().__init__(objectName="header")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.document, self._settings = document, settings
        self.done = [False] * len(_STEPS)
        self.lines = [QLabel(self, wordWrap=True, textFormat=Qt.TextFormat.PlainText) for _ in _STEPS]
        self.away = QPushButton("Put away", self)
        self.away.setMinimumHeight(CONTROL)
        self.away.clicked.connect(self._put_away)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * STEP, 4, 2 * STEP, 4)
        row.setSpacing(2 * STEP)
        for line in self.lines:
            line.setFont(font(Type.SMALL))
            row.addWidget(line, 1)
        row.addWidget(self.away)
        self.setAccessibleName("first steps")
        document.history.undoTextChanged.connect(self._on_step)
        document.path_changed.connect(self._on_opened)
        self.hide()

    def offer(self) -> None:
        """Show them, unless they have been put away or gone through before."""
        if not self._settings.value(_KEY, False, bool):
            self._refresh()
            self.show()

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
