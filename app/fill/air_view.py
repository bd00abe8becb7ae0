"""Air: every high point and whether the flow clears it, a bleed port where it helps, and tilting."""

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app import figures
from app.answer import Answer
from app.answer_table import AnswerTable, Row
from app.chooser_row import chooser_row
from app.document import Document
from app.field_editors import QuietBox
from app.fill.air_watch import AirWatch
from app.fill.marks import ROLES, SIGNS
from app.fill.plans import Plans
from app.fill.port_offer import PortOffer, PortQuestion
from app.fill.tilt_view import TiltView
from app.theme import STEP, Type, font
from loopsim.studies.fill import AirMap, HighPoint, bleed_proposal

__all__ = ["AirView", "headline", "line"]

_HEADINGS = ("high point", "at most\n{ml}", "up to\n{mm}", "flow\n{m_s}", "clears\nabove", "running")
_ALL = "all pumps running"


class AirView(QWidget):
    """Follows the air map.

    Signals
    -------
    chosen(frozenset of str)
    edit_wanted(Edit)
    failed(Exception)
    """

    chosen = Signal(object)
    edit_wanted = Signal(object)
    failed = Signal(object)

    def __init__(self, document: Document, watch: AirWatch, plans: Plans) -> None:
        super().__init__()
        self.document, self.watch = document, watch
        self.pumps = QuietBox(self)
        self.pumps.setAccessibleName("which pumps run")
        self.pumps.setSizeAdjustPolicy(QuietBox.SizeAdjustPolicy.AdjustToContents)
        self.table = AnswerTable(_HEADINGS, words=(0, 5), all_rows=True, is_fine=True)
        self.table.setAccessibleName("high points")
        self.sentence = QLabel(wordWrap=True)
        self.offer = PortOffer("Put a bleed port there")
        self.offer.hide()
        self.tilting = TiltView(document, plans)
        self.sources = QLabel(wordWrap=True)
        self.sources.setProperty("tone", "soft")
        self.sources.setFont(font(Type.SMALL))
        self._states: list[frozenset[str]] = []
        self._at: HighPoint | None = None
        self._lay_out()
        self.pumps.activated.connect(lambda number: watch.stop_pumps(self._states[number]))
        self.table.chosen.connect(self._on_chosen)
        self.offer.wanted.connect(self.edit_wanted)
        self.offer.failed.connect(self.failed)
        self.tilting.failed.connect(self.failed)

    def show_answer(self, answer: Answer) -> None:
        """Offer the pumps that are there."""
        pumps = [] if answer.point is None else [(each.id, each.name) for each in answer.point.pumps]
        states = {_ALL: frozenset()} | {f"{name} stopped": frozenset((pump,)) for pump, name in pumps}
        if len(pumps) > 1:
            states["all pumps stopped"] = frozenset(pump for pump, _ in pumps)
        if [self.pumps.itemText(number) for number in range(self.pumps.count())] != list(states):
            self.pumps.clear()
            self.pumps.addItems(list(states))
        self._states = list(states.values())

    def refresh(self) -> None:
        """Follow the watch."""
        found, is_old = self.watch.found, self.watch.is_old
        if self.watch.stopped in self._states:
            self.pumps.setCurrentIndex(self._states.index(self.watch.stopped))
        points = found.points if found is not None else ()
        self.table.show_rows((_row(point) for point in points), is_old)
        self.sources.setText(f"Speeds: {'; '.join(found.sources)}" if found is not None else "")
        if not is_old:
            self._choose_point(self._same(points) or _worst(found))
        else:
            self.offer.seek(None)

    def choose(self, ids: frozenset[str]) -> None:
        """Follow the selection."""
        found = self.watch.found
        self.table.choose(ids)
        point = next((each for each in (found.points if found is not None else ()) if each.at.item in ids), None)
        if point is not None and point is not self._at:
            self._choose_point(point)

    def close_down(self) -> None:
        """Work out nothing more."""
        self.offer.close_down()
        self.tilting.close_down()

    def _choose_point(self, point: HighPoint | None) -> None:
        self._at = point
        self.sentence.setText("" if point is None else figures.unbroken(figures.sentence(point.sentence)))
        takes_port = point is not None and point.takes_port
        self.offer.setVisible(takes_port)
        if not takes_port:
            self.offer.seek(None)
        else:
            build, layout = self.document.build, self.document.layout.name
            self.offer.seek(PortQuestion(build, layout, partial(_propose, high=point)))

    def _same(self, points: tuple[HighPoint, ...]) -> HighPoint | None:
        """The point that was in view, in a new map."""
        place = self._at.at.place if self._at is not None else ""
        return next((each for each in points if each.at.place == place), None)

    def _on_chosen(self, ids: frozenset[str]) -> None:
        self.chosen.emit(ids)
        self.choose(ids)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, STEP, 0)
        column.setSpacing(STEP)
        column.addLayout(chooser_row("Shown with", self.pumps))
        for widget in (self.table, self.sentence, self.offer, self.tilting, self.sources):
            column.addWidget(widget)
        column.addStretch(1)
        column.setAlignment(Qt.AlignmentFlag.AlignTop)


def headline(found: AirMap) -> str:
    """What stays, in one sentence."""
    stays = found.lasting
    may = sum(point.gas for point in found.points if point.verdict == "may clear")
    if not found.points:
        return "Air finds its way out everywhere"
    if stays <= 0 and may <= 0:
        return "The running flow clears every high point"
    said = [f"{figures.amount(stays, 'ml')} of air stay"] if stays > 0 else []
    said += [f"{figures.amount(may, 'ml')} may clear"] if may > 0 else []
    return f"Up to {', '.join(said)}"


def line(found: AirMap) -> str:
    """Of how much, and what that means."""
    share = found.gas / found.capacity if found.capacity > 0 else 0.0
    return (
        f"{len(found.points)} high points hold up to {figures.amount(found.gas, 'ml')}, {figures.percent(share)} % of "
        f"{figures.amount(found.capacity, 'ml')}. Published speeds are a spread: within it, a point may clear."
    )


def _propose(build: object, layout: str, high: HighPoint) -> object:
    return bleed_proposal(build, layout, high)


def _worst(found: AirMap | None) -> HighPoint | None:
    if found is None or not found.points:
        return None
    return next(iter(found.stays), found.points[0])


def _row(point: HighPoint) -> Row:
    speed = figures.number(point.speed, "m_s") if point.speed > 0 else "0"
    spread = figures.number(point.clears_above if point.clears_above > 0 else None, "m_s")
    cells = (
        point.at.name,
        figures.number(point.gas, "ml"),
        figures.number(point.height, "mm"),
        speed,
        spread,
        f"{SIGNS[point.verdict]} {point.verdict}",
    )
    return Row(point.at.item, cells, point.verdict != "clears", ROLES[point.verdict])
