"""Draining: the steps, what stays where, and a drain port where it lets out most."""

from collections.abc import Iterator
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app import figures
from app.answer_table import AnswerTable, Row
from app.document import Document
from app.fill.plans import Plans
from app.fill.port_offer import PortOffer, PortQuestion
from app.fill.steps import Step, StepList
from app.fill.warning_rows import WarningRows
from app.theme import STEP, Type, font
from loopsim.build import Build
from loopsim.build.ticks import ticked
from loopsim.studies.fill import DrainPlan, PortProposal, Where, drain_proposal

__all__ = ["DrainView", "headline", "line"]

LITTLE = 2e-6  # what holds less has no row of its own [m3]
_HEADINGS = ("low point", "left\n{ml}", "of it blown\nfree, {ml}", "up to\n{mm}")


class DrainView(QWidget):
    """Follows the plans.

    Signals
    -------
    chosen(frozenset of str)
    edit_wanted(Edit)
    failed(Exception)
    """

    chosen = Signal(object)
    edit_wanted = Signal(object)
    failed = Signal(object)

    def __init__(self, document: Document, plans: Plans) -> None:
        super().__init__()
        self.document, self.plans = document, plans
        self.steps = StepList("steps of draining")
        self.warnings = WarningRows()
        self.title = QLabel("What does not run off")
        self.title.setFont(font(Type.PLAIN, bold=True))
        self.table = AnswerTable(_HEADINGS, all_rows=True, is_fine=True)
        self.table.setAccessibleName("low points")
        self.offer = PortOffer("Put in a drain port")
        for widget in (self.title, self.offer):
            widget.hide()
        self._near: Where | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, STEP, 0)
        column.setSpacing(STEP)
        for widget in (self.steps, self.title, self.table, self.offer, self.warnings):
            column.addWidget(widget)
        column.addStretch(1)
        column.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.table.chosen.connect(self._on_chosen)
        self.steps.ticked.connect(self._on_ticked)
        self.warnings.chosen.connect(self.chosen)
        self.offer.wanted.connect(self.edit_wanted)
        self.offer.failed.connect(self.failed)

    def refresh(self) -> None:
        """Follow the plans."""
        found, is_old = self.plans.drained, self.plans.is_old
        steps = found.steps if found is not None else ()
        told = [Step(each.number, figures.told(each.sentence), each.key) for each in steps]
        self.steps.show_steps(told, self.document.layout.drained_steps, is_old)
        rows = [*_rows(found)]
        self.table.show_rows(rows, is_old)
        self.warnings.show_warnings(found.warnings if found is not None else ())
        self.steps.setVisible(found is not None)
        self.title.setVisible(bool(rows))
        self.offer.setVisible(found is not None or bool(self.plans.problem("drain")))
        self._seek(self._near)

    def choose(self, ids: frozenset[str]) -> None:
        """Follow the selection."""
        self.table.choose(ids)

    def _on_ticked(self, key: str, is_done: bool) -> None:
        build, keys = self.document.build, [each.key for each in self.steps.steps]
        self.edit_wanted.emit(ticked(build, self.document.layout.name, "drained_steps", key, keys, is_done))

    def close_down(self) -> None:
        """Work out nothing more."""
        self.offer.close_down()

    def _on_chosen(self, ids: frozenset[str]) -> None:
        found = self.plans.drained
        points = found.drain.low_points if found is not None else ()
        held = (each for low in points for each in low.held)
        self._near = next((each.at for each in held if each.at.item in ids), None)
        self._seek(self._near)
        self.chosen.emit(ids)

    def _seek(self, near: Where | None) -> None:
        """A port near the low point chosen, else wherever it lets out most."""
        asked = self.plans.question
        if asked is None or self.plans.is_old or self.plans.is_working:
            self.offer.seek(None)
            return
        question = PortQuestion(asked.build, asked.layout, partial(_propose, low=near))
        if not _is_same(self.offer.asked, question, near):
            self.offer.seek(question)


def headline(found: DrainPlan) -> str:
    """What leaves and what stays."""
    drain = found.drain
    if drain.drained <= 0:
        return "Nothing runs off by gravity"
    return f"{figures.amount(drain.drained, 'ml')} run off, {figures.amount(drain.stays, 'ml')} stay inside"


def line(found: DrainPlan) -> str:
    """How that adds up, and what to have at hand."""
    drain = found.drain
    blown, inside, vessels = (figures.amount(each, "ml") for each in (drain.blown_free, drain.held, drain.collect))
    return (
        f"With {blown} that blowing through may free, these are the {inside} that its filling leaves inside. Have "
        f"vessels for {vessels}: what may be blown free counts, and a tenth is for what is spilt."
    )


def _propose(build: Build, layout: str, low: Where | None) -> PortProposal | None:
    return drain_proposal(build, layout, low)


def _is_same(asked: PortQuestion | None, question: PortQuestion, near: Where | None) -> bool:
    if asked is None or asked.build is not question.build or asked.layout != question.layout:
        return False
    return getattr(asked.propose, "keywords", {}).get("low") == near


def _rows(found: DrainPlan | None) -> Iterator[Row]:
    """Parts and runs in which liquid stays, the most first; little ones together, so that the column adds up."""
    points = found.drain.low_points if found is not None else ()
    held = sorted(((low.level, each) for low in points for each in low.held), key=lambda each: -each[1].volume)
    little = [each for _, each in held if each.volume < LITTLE]
    for level, each in held[: len(held) - len(little)]:
        cells = each.at.name, *(figures.number(size, "ml") for size in (each.volume, each.blown_free))
        yield Row(each.at.item, (*cells, figures.number(level, "mm")))
    if little:
        sums = (sum(each.volume for each in little), sum(each.blown_free for each in little))
        yield Row("", (f"{len(little)} with less", *(figures.number(size, "ml") for size in sums), ""))
