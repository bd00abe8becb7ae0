"""What a case does to the pumps' curves and to the grade line, beside the healthy machine."""

from dataclasses import replace

from PySide6.QtGui import QShowEvent

from app.answer import Answer
from app.curve_panel import CurvePanel
from app.grade_panel import GradePanel
from loopsim.build import Build
from loopsim.studies import FailureOutcome, PumpPlot
from loopsim.studies.struck import struck_plots

__all__ = ["CaseCurves", "CaseGrade"]

_AFTER = "after the failure"


class CaseCurves(CurvePanel):
    """The pumps' plot: with every pump stopped in turn, or with the case in view alone.

    Out of sight it waits until it is looked at again.
    """

    def __init__(self) -> None:
        super().__init__(shows_stopped=True)
        self._case: FailureOutcome | None = None
        self._drawn: tuple[PumpPlot, FailureOutcome, PumpPlot] | None = None

    def show_answer(self, answer: Answer, build: Build) -> None:
        """Show the curves at the temperatures at which what is left was worked out."""
        self._show_liquid(answer.stopped_plots, answer.stopped_is_old, build)

    def show_case(self, case: FailureOutcome | None) -> None:
        """Show a case's curves in place of the stopped pumps'; None shows these again."""
        if case is not self._case:
            self._case = case
            if self.isVisible():
                self._on_picked()

    def plot_at(self, number: int) -> PumpPlot:
        plot, case = super().plot_at(number), self._case
        if case is None or not self.isVisible():
            return plot
        if self._drawn is None or self._drawn[0] is not plot or self._drawn[1] is not case:
            (struck,) = struck_plots([plot], case.situation, _AFTER, case.heat)
            self._drawn = plot, case, replace(plot, stopped=() if struck is None else (struck,))
        return self._drawn[2]

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._on_picked()


class CaseGrade(GradePanel):
    """The grade line with and without the case in view."""

    def __init__(self) -> None:
        super().__init__(has_table=False)
