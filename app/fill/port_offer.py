"""A button that puts a port where it helps most, and the sentence that says what it would bring."""

from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtCore import Qt, QThreadPool, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from app import figures
from app.asker import Asker
from app.theme import STEP
from loopsim.build import Build
from loopsim.errors import LoopsimError
from loopsim.studies.fill import PortProposal

__all__ = ["PortOffer", "PortQuestion"]

Propose = Callable[[Build, str], PortProposal | None]


class PortQuestion(NamedTuple):
    """In which layout a port is sought, and how."""

    build: Build
    layout: str
    propose: Propose


class PortOffer(QWidget):
    """Asks for a proposal in a worker, and offers its edit once it is there.

    Signals
    -------
    wanted(Edit)
        The button was pressed.
    failed(Exception)
    """

    wanted = Signal(object)
    failed = Signal(object)

    def __init__(self, text: str) -> None:
        super().__init__()
        self.proposal: PortProposal | None = None
        self.asked: PortQuestion | None = None
        self._pool = QThreadPool(self, maxThreadCount=1)
        self._asker = Asker(lambda question: question.propose(*question[:2]), self._pool, self, is_quick=False)
        self.button = QPushButton(text, self, enabled=False)
        self.words = QLabel(self, wordWrap=True)
        self.words.setProperty("tone", "soft")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(STEP)
        row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.words, 1)
        self._asker.answered.connect(self._on_answered)
        self.button.clicked.connect(self._on_clicked)

    def seek(self, question: PortQuestion | None) -> None:
        """Offer what is proposed for a question; nothing without one."""
        self.asked, self.proposal = question, None
        self.button.setEnabled(False)
        self.words.setText("" if question is None else "a place is being sought")
        if question is not None:
            self._asker.ask(question)

    def close_down(self) -> None:
        """Seek nothing more, and wait for what is under way."""
        self._asker.close()
        self._pool.waitForDone()

    def _on_answered(self, question: PortQuestion, result: object) -> None:
        if question is not self.asked:
            return
        self.proposal = result if isinstance(result, PortProposal) else None
        self.button.setEnabled(self.proposal is not None and self.proposal.helps)
        if self.proposal is not None:
            self.words.setText(figures.unbroken(figures.capitalised(self.proposal.sentence)))
        elif isinstance(result, Exception):
            self.words.setText(str(result) if isinstance(result, LoopsimError) else "no place could be worked out")
            if not isinstance(result, LoopsimError):
                self.failed.emit(result)
        else:
            self.words.setText("no tube here has room for one: make a straight stretch longer")

    def _on_clicked(self) -> None:
        if self.proposal is not None:
            self.wanted.emit(self.proposal.edit)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
