"""Covers: home-made vessels and plates of clear plastic under test pressure, as advice."""

from math import isfinite

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app import figures
from app.answer_table import AnswerTable, Row
from app.chooser_row import chooser_row
from app.document import Document
from app.field_editors import QuietBox
from app.measures import measures
from app.theme import STEP, Type, font
from loopsim.studies.fill import COVER_CAUTIONS, CoverAdvice, CoverCheck, covers

__all__ = ["CoversView", "headline", "line"]

_HEADINGS = ("what", "found", "asked for", "margin", "")
_TONES = {"fine": "good", "for the test only": "amber", "change": "rust"}
_SIGNS = {"fine": "✓", "for the test only": "?", "change": "×"}
_SAID = {
    "fine": "Clear plastic: nothing to change",
    "for the test only": "Clear plastic: strong enough for the test only",
    "change": "Clear plastic: something should be changed",
}
_HARM = list(_SAID)  # from the least on


class CoversView(QWidget):
    """One vessel or plate at a time; its sizes stand among its data.

    Signals
    -------
    opened(str)
        Id of the part whose data are asked for.
    """

    opened = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.found: tuple[CoverAdvice, ...] = ()
        self.standing = 0.0
        self._rests_on: tuple[object, ...] = ()
        self.cautions = QLabel("\n".join(f"! {each}" for each in COVER_CAUTIONS), wordWrap=True)
        self.cautions.setProperty("tone", "amber")
        self.parts = QuietBox(self)
        self.parts.setAccessibleName("vessel or plate")
        self.parts.setSizeAdjustPolicy(QuietBox.SizeAdjustPolicy.AdjustToContents)
        self.data = QPushButton("Its data")
        self.data.setToolTip("Material, lid, bolts, gasket and threads, under the heading cover")
        self.table = AnswerTable(_HEADINGS, words=(0, 2, 4), all_rows=True, is_fine=True)
        self.table.setAccessibleName("checks of the cover")
        self.words, self.sources = QLabel(wordWrap=True), QLabel(wordWrap=True)
        self.sources.setProperty("tone", "soft")
        self.sources.setFont(font(Type.SMALL))
        self._lay_out()
        self.parts.activated.connect(lambda _: self._show_part())
        self.data.clicked.connect(self._on_data)
        document.build_changed.connect(self.refresh)
        document.layout_changed.connect(self.refresh)
        measures.changed.connect(self.refresh)

    def refresh(self, *_: object) -> None:
        """Follow the build while in view."""
        if self.isVisible():
            self._read()

    def stand_at(self, pressure: float) -> None:
        """The gauge pressure of a sealed loop when hot [Pa]."""
        if pressure != self.standing:
            self.standing = pressure
            self.refresh()

    def choose(self, ids: frozenset[str]) -> None:
        """Follow the selection."""
        number = next((number for number, each in enumerate(self.found) if each.part in ids), None)
        if number is not None and number != self.parts.currentIndex():
            self.parts.setCurrentIndex(number)
            self._show_part()

    def showEvent(self, event: object) -> None:
        super().showEvent(event)
        self._read()

    @property
    def advice(self) -> CoverAdvice | None:
        """The one in view."""
        number = self.parts.currentIndex()
        return self.found[number] if 0 <= number < len(self.found) else None

    def _read(self) -> None:
        layout = self.document.layout
        parts = [self.document.build.part(each) for each in layout.placements]
        rests_on = (measures.system, layout.name, self.standing, parts)
        if rests_on == self._rests_on:  # a move changes nothing here
            return
        self._rests_on = rests_on
        before = self.advice
        self.found = covers(self.document.build, self.document.layout.name, standing=self.standing)
        names = [each.name for each in self.found]
        if [self.parts.itemText(number) for number in range(self.parts.count())] != names:
            self.parts.clear()
            self.parts.addItems(names)
            same = (number for number, each in enumerate(self.found) if before and each.part == before.part)
            self.parts.setCurrentIndex(next(same, 0))
        self._show_part()

    def _show_part(self) -> None:
        advice = self.advice
        checks = advice.checks if advice is not None else ()
        self.table.show_rows((_row(each) for each in checks), False)
        self.table.setVisible(bool(checks))
        self.data.setEnabled(advice is not None)
        self.words.setText(figures.unbroken(_words(advice)))
        self.sources.setText("\n".join(f"Source: {each}." for each in dict.fromkeys(each.source for each in checks)))

    def _on_data(self) -> None:
        if self.advice is not None:
            self.opened.emit(self.advice.part)

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setSpacing(STEP)
        head.addLayout(chooser_row("Advice on", self.parts), 1)
        head.addWidget(self.data)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, STEP, 0)
        column.setSpacing(STEP)
        column.addWidget(self.cautions)
        column.addLayout(head)
        for widget in (self.table, self.words, self.sources):
            column.addWidget(widget)
        column.addStretch(1)
        column.setAlignment(Qt.AlignmentFlag.AlignTop)


def headline(found: tuple[CoverAdvice, ...]) -> str:
    """The worst of all."""
    judged = [each.verdict for each in found if each.checks]
    return _SAID[max(judged, key=_HARM.index)] if judged else "No clear plastic to judge"


def line(found: tuple[CoverAdvice, ...]) -> str:
    """Under which pressure, and how sure the sizes are."""
    judged = [each for each in found if each.checks]
    if not judged:
        return "A reservoir or a channel plate of acrylic or polycarbonate is judged here."
    guess = "; sizes that are a guess are marked so among the part's data" if any(e.is_guess for e in judged) else ""
    return f"Under the {figures.amount(judged[0].pressure, 'bar')} of the leak test{guess}. Advice, not a certificate."


def _words(advice: CoverAdvice | None) -> str:
    if advice is None:
        return ""
    if not advice.checks:
        return f"{advice.name} is made of {advice.material}: nothing can be said of it."
    return "\n".join(_sentence(each) for each in advice.checks)


def _sentence(check: CoverCheck) -> str:
    return f"{figures.sentence(check.sentence)} {figures.sentence(check.remedy)}".strip()


def _row(check: CoverCheck) -> Row:
    margin = f"{check.margin:.1f}" if isfinite(check.margin) else figures.NONE
    asked = figures.told(check.asked).replace("at most", "≤").replace("at least", "≥")
    cells = (check.what, figures.told(check.found), asked, margin, f"{_SIGNS[check.verdict]} {check.verdict}")
    return Row("", cells, check.verdict != "fine", _TONES[check.verdict])
