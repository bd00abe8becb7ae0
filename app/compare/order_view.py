"""In which order, and what beside what: arrangements looked for, shown as small drawings, one taken as a layout."""

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app import figures
from app.bench_page import dim
from app.compare.on_request import OnRequest
from app.compare.order_list import OrderList, figures_of
from app.compare.subjects import Subject, is_same
from app.document import Document
from app.field_editors import QuietBox
from app.measures import measures
from app.tab_order import tab_in_order
from app.theme import STEP, Type, font
from loopsim.studies.arranging import FIRST, Arrangement, Looking, each_arrangement, ranked, ranking_words, taken

__all__ = ["KEPT", "OrderView"]

KEPT = 10  # shown at most
_WHAT = (
    "Tries the blocks and radiators of the layout in view in every order, one after the other and beside each other, "
    "where they stand; tubes are led anew. Pumps and reservoir keep their places and what joins them."
)
_SIGNS = "→ is after, ‖ is beside. "


class Asked(NamedTuple):
    """A layout, and whether parts may be passed the other way."""

    subject: Subject
    turns: bool


def searches(asked: Asked) -> Iterator[Looking]:
    """The study that answers, step by step."""
    return each_arrangement(asked.subject.build, asked.subject.layout, turns=asked.turns)


class OrderView(QWidget):
    """A search on request, the ten best of what it has found so far, and a way to take one as a new layout.

    Signals
    -------
    refused(str)
        Why something could not be done.
    """

    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.asked: Asked | None = None
        self.as_drawn: Arrangement | None = None
        self.found: list[Arrangement] = []
        self.step: Looking | None = None
        self.first = QuietBox(self)
        self.first.addItems(list(FIRST))
        self.first.setAccessibleName("figure that comes first")
        self.turns = QCheckBox("parts may be entered by either port", self, checked=True)
        self.search = OnRequest(searches, "Look for orders", "The search for orders", self)
        self.now, self.detail, self.how = (QLabel(self, wordWrap=True) for _ in range(3))
        self.list = OrderList()
        self.take = QPushButton("Take as a new layout", self)
        self._lay_out()
        self._connect()
        self._show()

    def close_work(self) -> None:
        """Work out nothing more."""
        self.search.close()

    def ask(self) -> None:
        """Look through the layout in view."""
        self.asked = Asked(Subject(self.document.build, self.document.layout.name), self.turns.isChecked())
        self.as_drawn, self.step, self.found = None, None, []
        self.search.start(self.asked)

    def take_chosen(self) -> None:
        """Make the chosen arrangement a layout of its own, and bring it into view."""
        chosen = self.list.in_view
        if chosen is None or self._is_old():
            return
        edit, name = taken(self.document.build, chosen)
        if self.document.attempt(lambda: edit, self.refused.emit):
            self.document.view_layout(name)

    def _is_old(self) -> bool:
        """True where the layout that was looked through is not as it was."""
        if self.asked is None:
            return False
        before = self.asked.subject
        return not is_same(before, Subject(self.document.build, before.layout))

    def _show(self, *_: object) -> None:
        old, first = self._is_old(), FIRST[self.first.currentIndex()]
        self.list.show_rows(ranked(self.found, first)[:KEPT], old)
        self.list.setVisible(bool(self.found))
        self.search.say(self._progress(old))
        self.now.setText("" if self.as_drawn is None else f"As drawn: {figures_of(self.as_drawn)}.")
        dim(self.now, old)
        self.how.setText(_SIGNS + ranking_words(first) if self.found else _WHAT)
        self._show_chosen()

    def _show_chosen(self, *_: object) -> None:
        chosen = self.list.in_view
        self.take.setVisible(bool(self.found))
        self.take.setEnabled(chosen is not None and not self._is_old())
        self.detail.setText("" if chosen is None else figures.unbroken(_details(chosen)))
        self.detail.setVisible(bool(self.detail.text()))

    def _progress(self, old: bool) -> str:
        name = "" if self.asked is None else self.asked.subject.layout
        if self.search.is_working:
            stage = "beginning" if self.step is None else f"{self.step.stage}, {self.step.done} of {self.step.of}"
            return f"{name}: {stage}"
        if self.asked is None or self.as_drawn is None:
            return ""
        count = f"{len(self.found)} found" if self.found else "no other order can be drawn"
        return f"{name}: {count}{' (sketch before)' if old else ''}"

    def _on_came(self, _: object, step: Looking) -> None:
        self.step = step
        if step.found is None:
            self.search.say(self._progress(self._is_old()))
            return
        if step.found.plan is None:
            self.as_drawn = step.found
        else:
            self.found.append(step.found)
        self._show()

    def _connect(self) -> None:
        self.search.wanted.connect(self.ask)
        measures.changed.connect(self._show)
        self.search.came.connect(self._on_came)
        self.search.changed.connect(self._show)
        self.search.refused.connect(self.refused)
        self.first.currentIndexChanged.connect(self._show)
        self.list.chosen.connect(self._show_chosen)
        self.list.doubleClicked.connect(lambda _: self.take_chosen())
        self.take.clicked.connect(self.take_chosen)
        self.document.build_changed.connect(self._show)

    def _lay_out(self) -> None:
        label = QLabel("Best first by", self)
        for soft in (label, self.how):
            soft.setProperty("tone", "soft")
        self.how.setFont(font(Type.SMALL))
        row = QHBoxLayout()
        row.setSpacing(STEP)
        for widget in (label, self.first):
            row.addWidget(widget)
        row.addStretch(1)
        row.addWidget(self.search.button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, STEP // 2, 0, 0)
        column.setSpacing(STEP)
        column.addLayout(row)
        for widget in (self.turns, self.search.words, self.now, self.list, self.detail, self.take, self.how):
            column.addWidget(widget, 1 if widget is self.list else 0)
        column.setAlignment(self.take, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(0)
        tab_in_order(self.first, self.turns, self.search.button, self.list, self.take)


def _details(chosen: Arrangement) -> str:
    """What a builder should know of one before taking it."""
    fittings = {0: "No fittings", 1: "1 fitting"}.get(chosen.fittings, f"{chosen.fittings} fittings")
    told = [f"{fittings}; {chosen.keeps_air or 'none'} of its high points may keep air while it runs."]
    if chosen.turned:
        told.append(f"Passed the other way than drawn: {', '.join(chosen.turned)}.")
    told += [figures.sentence(finding.text) for finding in chosen.problems]
    told += [f"{each.name} is past its limit." for each in chosen.heat.components if not each.holds]
    return " ".join(told)
