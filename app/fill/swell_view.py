"""Swell: how far the coolant grows, vented or sealed, and what a sealed loop must bear."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app import figures
from app.answer import Answer
from app.answer_table import AnswerTable, Row
from app.theme import STEP
from loopsim.studies.fill import SWELL_CAUTIONS, CircuitSwell, swell_sheet

__all__ = ["SwellView", "headline", "line"]

_HEADINGS = ("circuit", "hottest\n{c}", "swell\n{ml}", "sealed, hot\n{bar}", "allowed\n{bar}", "")
_SAID = {
    "holds": "The swell has room",
    "overflows": "A vessel overflows when the coolant is hot",
    "too high": "Hot, the sealed loop stands above what its parts bear",
    "bursts": "The sealed loop bursts when it warms",
    "nowhere to go": "The swell has nowhere to go",
}
_HARM = list(_SAID)  # from the least on


class SwellView(QWidget):
    """Follows flow and heat.

    Signals
    -------
    chosen(frozenset of str)
    """

    chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.found: tuple[CircuitSwell, ...] = ()
        self.is_old = False
        self.cautions = QLabel("\n".join(f"! {each}" for each in SWELL_CAUTIONS), wordWrap=True)
        self.cautions.setProperty("tone", "amber")
        self.table = AnswerTable(_HEADINGS, words=(0, 5), all_rows=True, is_fine=True)
        self.table.setAccessibleName("swell of each circuit")
        self.words = QLabel(wordWrap=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, STEP, 0)
        column.setSpacing(STEP)
        for widget in (self.cautions, self.table, self.words):
            column.addWidget(widget)
        column.addStretch(1)
        column.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.table.chosen.connect(self.chosen)

    def show_answer(self, answer: Answer) -> None:
        """Follow an answer; how hot it gets is that of all load cases, once they are worked out."""
        self.is_old = bool(self.found) and answer.heat_is_old
        if answer.point is not None and not answer.heat_is_old:
            self.found = swell_sheet(answer.point, [each.point for each in answer.heat])
        elif answer.point is None:
            self.found = ()
        self._show()

    def choose(self, ids: frozenset[str]) -> None:
        """Follow the selection."""
        self.table.choose(ids)

    def _show(self) -> None:
        self.table.show_rows((_row(each) for each in self.found), self.is_old)
        said = (figures.sentence(each) for circuit in self.found for each in circuit.sentences)
        self.words.setText(figures.unbroken("\n".join(said)))


def headline(found: tuple[CircuitSwell, ...]) -> str:
    """The worst of all circuits."""
    return _SAID[max((each.verdict for each in found), key=_HARM.index, default="holds")]


def line(found: tuple[CircuitSwell, ...]) -> str:
    """By how much, and up to which temperature."""
    degrees = figures.label("c")
    said = [f"{each.name}: {figures.amount(each.swell, 'ml')} up to {_whole(each.hot_c)} {degrees}" for each in found]
    return f"{'; '.join(said)}. Whether a vessel is vented or sealed stands among its data." if said else ""


def _whole(temperature: float) -> str:
    return f"{figures.in_own(temperature, 'c'):.0f}"


def _row(found: CircuitSwell) -> Row:
    hot = "bursts" if found.hot == float("inf") else figures.number(found.hot, "bar")
    cells = (
        found.name,
        _whole(found.hot_c),
        figures.number(found.swell, "ml"),
        hot if found.cushion is not None else f"({hot})",
        figures.number(found.most, "bar"),
        found.verdict,
    )
    item = found.cushion or next((each.vessel for each in found.rises), "")
    return Row(item, cells, found.verdict != "holds", "rust")
