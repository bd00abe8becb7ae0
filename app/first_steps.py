"""Three steps for whoever opens the program for the first time; they tick themselves off and can be put away."""

from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton

from app.document import Document
from app.theme import CONTROL, STEP, Type, font

__all__ = ["FirstSteps"]

_KEY = "window/first_steps_seen"

# What to do, and with which word the edit begins by which it is known to be done. With the last one they all go: the
# sample of which they speak is not open any more.
_STEPS = (
    ("This sample is solved. Drag a part: flow and curves follow.", "Move"),
    ("Click a part, then Enter: its sheet. Every change can be undone.", "Change"),
    ("Begin your own machine with Ctrl+N. It asks for the room only.", ""),
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
        self.away.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a click leaves the keyboard where it is
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
        if self.isVisible():
            done_now = (bool(word) and words.startswith(word) for _, word in _STEPS)
            self.done = [was or now for was, now in zip(self.done, done_now, strict=True)]
            self._refresh()

    def _on_opened(self) -> None:
        if self.isVisible() and self.document.path is None and not self.document.layout.placed:
            self._put_away()

    def _refresh(self) -> None:
        for number, (line, done) in enumerate(zip(self.lines, self.done, strict=True)):
            mark = "done" if done else f"{number + 1}"
            line.setText(f"{mark}  {_STEPS[number][0]}")
            line.setEnabled(not done)

    def _put_away(self) -> None:
        self._settings.setValue(_KEY, True)
        self.hide()
