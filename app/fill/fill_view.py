"""Filling: the steps with their moments, what they need, what stands in the way, and what was measured."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app import figures
from app.chooser_row import chooser_row
from app.document import Document
from app.field_editors import QuietBox
from app.fill.fall_row import FallRow
from app.fill.layout_fields import LayoutFields
from app.fill.marks import Moment
from app.fill.moment_row import MomentRow, moment_words
from app.fill.plans import Plans
from app.fill.port_offer import PortOffer, PortQuestion
from app.fill.steps import Step, StepList
from app.fill.warning_rows import WarningRows
from app.theme import STEP, Type, font
from loopsim.build.ticks import ticked
from loopsim.network import HeightGraph
from loopsim.parts import part_of
from loopsim.studies.fill import FillPlan, FillSnapshot, fill_proposal
from loopsim.studies.words import duration
from loopsim.units import to_si

__all__ = ["FillView", "headline", "line"]

_USUAL = "the usual opening"


class FillView(QWidget):
    """Follows the plans.

    Signals
    -------
    chosen(frozenset of str)
    edit_wanted(Edit)
    moment_changed()
    failed(Exception)
    """

    chosen = Signal(object)
    edit_wanted = Signal(object)
    moment_changed = Signal()
    failed = Signal(object)

    def __init__(self, document: Document, plans: Plans) -> None:
        super().__init__()
        self.document, self.plans = document, plans
        self.openings = QuietBox(self)
        self.openings.addItem(_USUAL)
        self.openings.setAccessibleName("where it is poured in")
        self.openings.setSizeAdjustPolicy(QuietBox.SizeAdjustPolicy.AdjustToContents)
        self.moments = MomentRow()
        self.steps = StepList("steps of filling")
        self.warnings = WarningRows()
        self.offer = PortOffer("Put in a fill port")
        self.fall = FallRow()
        self.measured = LayoutFields(document, ("poured_ml", "bleed_minutes"))
        self.inside, self.gravity, self.note = (QLabel(wordWrap=True) for _ in range(3))
        self.note.setProperty("tone", "soft")
        self._names: list[str | None] = [None]
        self._lay_out()
        self.openings.activated.connect(lambda number: plans.pour_at(self._names[number]))
        self.moments.moved.connect(self._on_moved)
        self.steps.step_chosen.connect(self.moments.go_to)
        self.steps.ticked.connect(self._on_ticked)
        self.warnings.chosen.connect(self.chosen)
        self.offer.wanted.connect(self.edit_wanted)
        self.offer.failed.connect(self.failed)

    @property
    def moment(self) -> Moment | None:
        """The moment in view; None while the plan is older than the sketch."""
        filled, now, asked = self.plans.filled, self.moments.snapshot, self.plans.question
        if filled is None or now is None or asked is None or self.plans.is_old:
            return None
        if asked.build is not self.document.build:
            return None
        return Moment(filled.graph, now, moment_words(self.document.build, now))

    def refresh(self) -> None:
        """Follow the plans."""
        filled, is_old = self.plans.filled, self.plans.is_old
        plan = filled.plan if filled is not None else None
        steps = plan.steps if plan is not None else ()
        if not is_old:
            self._offer_openings(filled.graph if filled is not None else None)
            self.moments.show_snapshots(self.document.build, plan.snapshots if plan is not None else ())
            self._seek_port()
        told = [Step(each.number, figures.told(each.sentence), each.key) for each in steps]
        self.steps.show_steps(told, self.document.layout.filled_steps, is_old)
        self.warnings.show_warnings(plan.warnings if plan is not None else ())
        for widget in (self.moments, self.steps, self.steps_title, self.measured, self.measured_title, self.note):
            widget.setVisible(plan is not None)
        self.measured.refresh()
        self._show_words(plan)
        self.moment_changed.emit()

    def _on_ticked(self, key: str, is_done: bool) -> None:
        build, keys = self.document.build, [each.key for each in self.steps.steps]
        self.edit_wanted.emit(ticked(build, self.document.layout.name, "filled_steps", key, keys, is_done))

    def close_down(self) -> None:
        """Work out nothing more."""
        self.offer.close_down()

    def _show_words(self, plan: FillPlan | None) -> None:
        told = (*plan.pumps, *plan.starts) if plan is not None else ()
        self.gravity.setText(figures.unbroken("\n".join(figures.sentence(each.sentence) for each in told)))
        self.gravity_title.setVisible(bool(told))
        poured = self.document.layout.poured_ml
        self.inside.setVisible(plan is not None and poured is not None)
        self.fall.setVisible(plan is not None and plan.level_fall is not None)
        if plan is not None:
            self.fall.show_fall(plan.level_fall)
            self.note.setText(figures.unbroken(_bleeding(plan)))
        if plan is not None and poured is not None:
            self.inside.setText(figures.unbroken(_inside(plan, to_si(poured, "ml"))))

    def _seek_port(self) -> None:
        """A fill port is offered where there is none yet, or no opening at all."""
        build, layout = self.document.build, self.document.layout
        has_port = any(build.part(each).kind_name() == "fill_port" for each in layout.placements)
        self.offer.setVisible(not has_port)
        asked = self.plans.question
        if has_port or asked is None:
            self.offer.seek(None)
        elif self.offer.asked is None or self.offer.asked.build is not asked.build:
            self.offer.seek(PortQuestion(asked.build, asked.layout, fill_proposal))

    def _offer_openings(self, graph: HeightGraph | None) -> None:
        build = self.document.build
        names = [] if graph is None else [each for each, kind in graph.openings.items() if kind != "open"]
        words = [build.part(part_of(name)).name for name in names]
        self._names = [None, *names]
        if [self.openings.itemText(number) for number in range(1, self.openings.count())] != words:
            self.openings.clear()
            self.openings.addItems([_USUAL, *words])
        at = self._names.index(self.plans.opening) if self.plans.opening in self._names else 0
        self.openings.setCurrentIndex(at)

    def _on_moved(self, now: FillSnapshot) -> None:
        self.steps.choose(now.step)
        self.moment_changed.emit()

    def _lay_out(self) -> None:
        self.steps_title = _heading("Steps")
        self.gravity_title = _heading("What gravity floods, and whether the pumps start from there")
        self.measured_title = _heading("What you measured")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, STEP, 0)
        column.setSpacing(STEP)
        column.addLayout(chooser_row("Pour in at", self.openings))
        for widget in (
            self.moments,
            self.steps_title,
            self.steps,
            self.note,
            self.warnings,
            self.offer,
            self.gravity_title,
            self.gravity,
            self.measured_title,
            self.measured,
            self.inside,
            self.fall,
        ):
            column.addWidget(widget)
        column.addStretch(1)
        column.setAlignment(Qt.AlignmentFlag.AlignTop)


def headline(plan: FillPlan) -> str:
    """How much, how often, how long."""
    if not plan.is_complete:
        return f"Filling ends with {figures.amount(plan.air_left, 'ml')} of air inside: a pump would run dry"
    tops = {0: "no topping up", 1: "one top-up"}.get(plan.top_ups, f"{plan.top_ups} top-ups")
    return f"Pour in {figures.amount(plan.poured, 'ml')}, {tops}"


def line(plan: FillPlan) -> str:
    """What it takes, and what stays inside."""
    takes = ((plan.pouring, "pouring"), (plan.pumping, "pumping"))
    time = " and ".join(f"{duration(seconds)} of {what}" for seconds, what in takes if seconds > 0)
    time = f"{time}, bleeding aside" if time else "Nothing is poured or pumped"
    left = f"{figures.amount(plan.air_left, 'ml')} of air are expected to stay of {figures.amount(plan.capacity, 'ml')}"
    return f"{time}. {left}. Mix {figures.amount(plan.mix.volume, 'ml')}: {plan.mix.coolant}."


def _bleeding(plan: FillPlan) -> str:
    usual = " to ".join(duration(each) for each in plan.bleeding_practice)
    own = "" if plan.bleeding is None else f" Your own time: {duration(plan.bleeding)}."
    return f"No published data tell how long bleeding takes; usual are {usual} (common practice).{own}"


def _inside(plan: FillPlan, poured: float) -> str:
    """What the measured volume says of air inside."""
    air = plan.air_inside(poured)
    if air < 0:
        more = figures.amount(-air, "ml")
        return f"That is {more} more than the loop holds as drawn: check the level, and what was spilt."
    expected = f"the plan expects {figures.amount(plan.air_left, 'ml')}"
    return f"With the vessel at its level as drawn, {figures.amount(air, 'ml')} of air are still inside; {expected}."


def _heading(text: str) -> QLabel:
    label = QLabel(text)
    label.setFont(font(Type.PLAIN, bold=True))
    return label
