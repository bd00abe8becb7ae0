"""A study that is worked out on request: the button that starts and stops it, and a line that says how far it is."""

from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QLabel, QPushButton, QWidget

from app.stepwise import Stepwise, Study
from loopsim.errors import LoopsimError

__all__ = ["OnRequest"]


class OnRequest(QObject):
    """One study with its button and its line, for a view to place.

    Parameters
    ----------
    study : callable
        As for `Stepwise`.
    caption : str
        What the button says while nothing is under way.
    name : str
        What the study is called where it breaks down.
    parent : QWidget

    Signals
    -------
    wanted()
        The button was pressed to start.
    came(question, item)
        The next item.
    changed()
        Started, stopped or ended: what is said of it has to be said anew.
    refused(str)
        It broke down.
    """

    wanted = Signal()
    came = Signal(object, object)
    changed = Signal()
    refused = Signal(str)

    def __init__(self, study: Study, caption: str, name: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.button, self.words = QPushButton(caption, parent), QLabel(parent, wordWrap=True)
        self.words.setProperty("tone", "soft")
        self._caption, self._name = caption, name
        self._work = Stepwise(study, self)
        self._work.came.connect(self.came)
        self._work.ended.connect(self._on_ended)
        self.button.clicked.connect(self._on_button)

    @property
    def is_working(self) -> bool:
        """True while items may still come."""
        return self._work.is_working

    def start(self, question: Any) -> None:
        """Begin with a question, and let go of the one under way."""
        self._work.start(question)
        self._tell_changed()

    def close(self) -> None:
        """Work out nothing more."""
        self._work.close()

    def say(self, text: str) -> None:
        """Say how far it is, or what is missing; nothing takes no room."""
        self.words.setText(text)
        self.words.setVisible(bool(text))

    def _on_button(self) -> None:
        if self.is_working:
            self._work.stop()
            self._tell_changed()
        else:
            self.wanted.emit()

    def _on_ended(self, _: object, error: Exception | None) -> None:
        self._tell_changed()
        if error is not None:
            self.say(str(error))
            if not isinstance(error, LoopsimError):
                self.refused.emit(f"{self._name} broke down: {error}")

    def _tell_changed(self) -> None:
        self.button.setText("Stop" if self.is_working else self._caption)
        self.changed.emit()
