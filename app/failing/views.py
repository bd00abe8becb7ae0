"""What a case does to the pumps' curves and to the grade line, beside the healthy machine."""

from dataclasses import replace

from PySide6.QtGui import QShowEvent

from app.curve_panel import CurvePanel
from app.grade_panel import GradePanel
from loopsim.studies import FailureOutcome, PumpPlot
from loopsim.studies.struck import struck_plots
from loopsim.studies.words import NO_FLOW

__all__ = ["CaseCurves", "CaseGrade"]

_AFTER = "after the failure"
_BY_PUMPS = "after it, by the pumps alone"


class CaseCurves(CurvePanel):
    """The pumps' plot: with every pump stopped in turn, or with the case in view alone.

    Out of sight it waits until it is looked at again.
    """

    def __init__(self) -> None:
        super().__init__(shows_stopped=True)
        self._case: FailureOutcome | None = None
        self._drawn: tuple[PumpPlot, FailureOutcome, PumpPlot] | None = None

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
            (struck,) = struck_plots([plot], case.situation, _AFTER)
            if struck is not None and _warmth_drives(case):
                struck = replace(struck, name=_BY_PUMPS)
            self._drawn = plot, case, replace(plot, stopped=() if struck is None else (struck,))
        return self._drawn[2]

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._on_picked()


class CaseGrade(GradePanel):
    """The grade line with and without the case in view."""

    def __init__(self) -> None:
        super().__init__(has_table=False)


def _warmth_drives(case: FailureOutcome) -> bool:
    """True where something flows although no pump runs: the curves know coolant of one temperature only."""
    return case.flow > NO_FLOW and all(pump.state != "running" for pump in case.point.pumps)
