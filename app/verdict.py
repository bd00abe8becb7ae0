"""The line at the bottom that never scrolls: the four answers a builder looks for first."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QGraphicsOpacityEffect, QHBoxLayout, QVBoxLayout, QWidget

from app import figures, words
from app.answer import Answer, CaseHeat
from app.cut_label import CutLabel
from app.document import Document
from app.fill.marks import Marks
from app.focus_mark import paint_focus_mark
from app.heat import heat_words
from app.theme import STEP, Type, themes

if TYPE_CHECKING:  # filling is loaded late, so that a start stays near the cost of an empty window
    from loopsim.studies.fill import AirMap

__all__ = ["Verdict"]

_INSET = 4  # between an answer and the mark that it has the keyboard [px]
_LITTLE_AIR = 2e-6  # less, all high points together, is not worth a word [m3]
_OLD = 0.5  # opacity of an answer that belongs to an earlier sketch


class Verdict(QWidget):
    """Flow, flow with one pump stopped, the component nearest to its limit (or what takes most pressure), warnings."""

    opened = Signal(str)  # the bench on which an answer is explained
    chosen = Signal(object)  # ids of the parts that it speaks of

    def __init__(self, document: Document) -> None:
        super().__init__(objectName="verdict")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.document = document
        self._shown: Answer | None = None
        self._before: Answer | None = None  # when the gesture under way began
        self._air: AirMap | None = None
        self.flow = _Figure("Flow")
        self.stopped = _Figure("Failures")
        self.warmest = _Figure("Heat")
        self.largest = _Figure("Flow")
        self.warnings = _Figure("Draw")
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * STEP - _INSET, STEP, 2 * STEP - _INSET, STEP)
        row.setSpacing(4 * STEP - 2 * _INSET)
        self._figures = (self.flow, self.stopped, self.warmest, self.largest, self.warnings)
        for figure in self._figures:
            row.addWidget(figure, 4 if figure is self.warnings else 3)
            figure.asked.connect(self._on_asked)

    def show_answer(self, answer: Answer) -> None:
        """Show an answer; while a gesture is under way, with what has changed since it began."""
        self._shown = answer
        missing = words.unsolved(answer, self.document.build, self.document.layout)
        self._show_flow(answer, missing)
        self._show_stopped(answer, missing)
        self._show_warmest(answer)
        self._show_largest(answer)
        self._show_warnings(answer)
        self._settle()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._settle()

    def _settle(self) -> None:
        """All answers large, or all plain where one would be cut."""
        values = [figure.value for figure in self._figures if figure.isVisibleTo(self)]
        size = Type.LARGE if all(value.fits(Type.LARGE) for value in values) else Type.PLAIN
        for figure in self._figures:
            figure.value.wear(size)

    def show_air(self, marks: Marks | None) -> None:
        """Know of the air that stays in high points: a loop is not in order while some does."""
        self._air = None if marks is None else marks.air
        if self._shown is not None:
            self._show_warnings(self._shown)

    def compare_from_here(self, begins: bool) -> None:
        """A gesture has begun, from which changes are counted, or has ended."""
        self._before = self._shown if begins else None
        if not begins and self._shown is not None:
            self.show_answer(self._shown)

    def _on_asked(self, bench: str, ids: frozenset[str]) -> None:
        if ids:
            self.chosen.emit(ids)
        self.opened.emit(bench)

    def _show_flow(self, answer: Answer, missing: tuple[str, str] | None) -> None:
        if answer.point is None or missing is not None:
            self.flow.say(figures.NONE, missing[0].lower() if missing else "flow")
        else:
            stopped = [self.document.build.part(pump).name for pump in sorted(answer.point.stopped)]
            what = f"flow with {' and '.join(stopped)} stopped" if stopped else f"flow{words.flow_at(answer)}"
            self.flow.say(f"{words.loop_flow(answer)}{self._flow_change(answer)}", what)

    def _flow_change(self, answer: Answer) -> str:
        """By how much the flow differs from that before the gesture under way; empty where it does not."""
        before = self._before.point if self._before is not None else None
        if before is None or answer.point is None:
            return ""
        change = figures.change(answer.point.loop_flow - before.loop_flow, "l_h", 0)
        return f" ({change})" if change else ""

    def _heat_change(self, worst: CaseHeat) -> str:
        """The same of the temperature of the component nearest to its limit."""
        before = heat_words.worst_case(self._before) if self._before is not None else None
        if before is None or (before.point.case, before.point.warmest.part) != (
            worst.point.case,
            worst.point.warmest.part,
        ):
            return ""
        now, then = worst.point.warmest.temperature, before.point.warmest.temperature
        change = figures.change(now - then, "k", 1) if now is not None and then is not None else ""
        return f" ({change} {figures.label('k')})" if change else ""

    def _show_stopped(self, answer: Answer, missing: tuple[str, str] | None) -> None:
        """What one pump less leaves; nothing, while nothing flows yet."""
        failures = answer.stopped if missing is None else None
        worst = failures.worst if failures is not None else None
        if failures is None or worst is None:
            self.stopped.say(figures.NONE, "one pump stopped")
            return
        flow = figures.amount(worst.flow, "l_h")
        words_ = "one pump stopped" if len(failures.cases) > 1 else "the only pump stopped"
        text = f"{flow} · {figures.percent(worst.share)} %"
        self.stopped.say(text, words_, frozenset({worst.stopped}), old=answer.stopped_is_old)

    def _show_warmest(self, answer: Answer) -> None:
        """The component nearest to its limit at any load case; where nothing is heated, pressure counts."""
        worst = heat_words.worst_case(answer)
        self.warmest.setVisible(worst is not None)
        self.largest.setVisible(worst is None)
        if worst is None:
            return
        component = worst.point.warmest
        text, name = heat_words.verdict(worst)
        where = f", {worst.point.case.name}" if len(answer.heat) > 1 else ""
        tone = "band" if component.holds else "band rust"
        self.warmest.say(
            f"{text}{self._heat_change(worst)}", f"{name}{where}", frozenset({component.part}), answer.heat_is_old, tone
        )

    def _show_largest(self, answer: Answer) -> None:
        budget = answer.point.budget if answer.point is not None else ()
        if not budget:
            self.largest.say(figures.NONE, "largest pressure drop")
            return
        most = budget[0]
        text = f"{figures.amount(abs(most.dp), 'kpa')} · {figures.percent(most.share)} %"
        self.largest.say(text, f"of the pressure: {most.name}", frozenset({most.id}))

    def _show_warnings(self, answer: Answer) -> None:
        warnings, marks = words.findings_of(answer), words.findings_of(answer, quiet=True)
        air = None if self._air is None or self._air.lasting < _LITTLE_AIR else self._air
        self.warnings.bench = "Draw" if warnings or marks or air is None else "Fill"
        if warnings:
            ids = frozenset({warnings[0].part} - {None})
            self.warnings.say(f"{len(warnings)} to look at", figures.told(warnings[0].text), ids, tone="band amber")
        elif marks:
            ids = frozenset({marks[0].part} - {None})
            self.warnings.say("still drawing", figures.told(marks[0].text), ids)
        elif answer.point is not None and air is not None:
            most = figures.amount(air.lasting, "ml")
            self.warnings.say(f"up to {most} of air stay", "else no warnings in this layout", tone="band amber")
        elif answer.point is not None:
            self.warnings.say("no warnings", "in this layout")
        else:
            self.warnings.say(figures.NONE, "warnings")


class _Figure(QWidget):
    """An answer in a few words, and below it what it is; a click, or Return, leads to the bench that explains it."""

    asked = Signal(str, object)

    def __init__(self, bench: str) -> None:
        super().__init__()
        self.bench, self.ids = bench, frozenset()
        self.value, self.what = CutLabel(Type.LARGE, bold=True), CutLabel(Type.SMALL)
        self.value.setProperty("tone", "band")
        self.what.setProperty("tone", "band soft")
        self._veil = QGraphicsOpacityEffect(self, opacity=_OLD, enabled=False)
        self.setGraphicsEffect(self._veil)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # a click leaves the keyboard where it is
        self.setAccessibleDescription(f"leads to the bench {bench}")
        column = QVBoxLayout(self)
        column.setContentsMargins(_INSET, 0, _INSET, 0)
        column.setSpacing(0)
        column.addWidget(self.value)
        column.addWidget(self.what)

    def say(
        self, value: str, what: str, ids: frozenset[str] = frozenset(), old: bool = False, tone: str = "band"
    ) -> None:
        """Show an answer; `old` dims it and says so."""
        self.ids = ids
        self.value.set_whole(figures.localised(value))
        self.what.set_whole(figures.localised(f"{what} (sketch before)" if old else what))
        self.setAccessibleName(f"{self.what.whole}: {self.value.whole}")
        self._veil.setEnabled(old)
        if self.value.property("tone") != tone:
            self.value.setProperty("tone", tone)
            self.value.style().polish(self.value)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton and self.rect().contains(event.position().toPoint()):
            self.asked.emit(self.bench, self.ids)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.asked.emit(self.bench, self.ids)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002
        paint_focus_mark(QPainter(self), self, themes.current.band_ink)
