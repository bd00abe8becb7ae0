"""A strip in the window that asks something without standing in the way: a sentence, and what can be done about it."""

from collections.abc import Callable
from dataclasses import dataclass, field

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from app.tab_order import tab_in_order
from app.theme import CONTROL, STEP

__all__ = ["Offer", "OfferStrip"]


@dataclass
class Offer:
    """One question.

    Attributes
    ----------
    key : str
        A later offer of the same key takes its place.
    text : str
    ways : dict of str to callable
        What the buttons say, and what each does.
    """

    key: str
    text: str
    ways: dict[str, Callable[[], object]] = field(default_factory=dict)


class OfferStrip(QWidget):
    """Shows one offer at a time, in the order in which they came; each waits until it is answered."""

    def __init__(self) -> None:
        super().__init__(objectName="message")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.label = QLabel(self, wordWrap=True, textFormat=Qt.TextFormat.PlainText)
        self._offers: list[Offer] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(2 * STEP, 4, 2 * STEP, 4)
        self._row.setSpacing(STEP)
        self._row.addWidget(self.label, 1)
        self.buttons: list[QPushButton] = []
        self.hide()

    @property
    def text(self) -> str:
        """What is asked now; empty when nothing is."""
        return self._offers[0].text if self._offers else ""

    def ask(self, offer: Offer) -> None:
        """Ask once those before are answered."""
        self._offers = [each for each in self._offers if each.key != offer.key] + [offer]
        self._show()

    def withdraw(self, *keys: str) -> None:
        """These questions have answered themselves."""
        kept = [each for each in self._offers if each.key not in keys]
        if len(kept) != len(self._offers):
            self._offers = kept
            self._show()

    def answer(self, way: str) -> None:
        """Do what a button of the present offer says."""
        action = self._offers.pop(0).ways[way]
        self._show()
        action()

    def _show(self) -> None:
        for button in self.buttons:
            self._row.removeWidget(button)
            button.deleteLater()
        ways = self._offers[0].ways if self._offers else {}
        self.buttons = [self._button(words) for words in ways]
        tab_in_order(self.label, *self.buttons)
        self.label.setText(self.text)
        self.setVisible(bool(self._offers))

    def _button(self, words: str) -> QPushButton:
        button = QPushButton(words, self)
        button.setMinimumHeight(CONTROL)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a click leaves the keyboard where it is
        button.clicked.connect(lambda: self.answer(words))
        self._row.addWidget(button)
        return button
