"""What the program knows of the build in view, tier by tier, and to which build it belongs."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from loopsim.studies import AirPlot, Failures, HeatPoint, OperatingPoint, PumpPlot

__all__ = ["Answer", "CaseHeat"]


@dataclass(frozen=True)
class CaseHeat:
    """Heat and air at one load case, the plots of its fans, and what stays there with each pump stopped."""

    point: HeatPoint
    air: tuple[AirPlot, ...] = ()
    failures: Failures | None = None
    plots: tuple[PumpPlot, ...] = ()  # of the pumps, at the temperatures of those failures
    bands: Mapping[str, float] = field(default_factory=dict)  # half widths of 95 %, by the keys of the figures


@dataclass(frozen=True)
class Answer:
    """Results for one build and layout.

    Attributes
    ----------
    revision : int
        Revision of the build that was solved.
    layout : str
        Name of the layout.
    point : OperatingPoint or None
        None where the sketch cannot be solved yet; `problem` says why.
    plots : tuple of PumpPlot
        Curves; of an earlier build while `plots_revision` differs from `revision` (shown dimmed).
    failures : Failures or None
        Each pump stopped, at the coolant's stated temperature; the same holds for them.
    plots_revision : int
    problem : str
        A plain sentence, empty where the layout is solved.
    heat : tuple of CaseHeat
        One for each load case; of an earlier build while `heat_revision` differs from `revision`.
    heat_revision : int
    heat_problem : str
        A plain sentence, empty where heat could be worked out.
    case : str
        Name of the load case in view; where there is none of this name, the first is.
    """

    revision: int
    layout: str
    point: OperatingPoint | None
    plots: tuple[PumpPlot, ...] = ()
    failures: Failures | None = None
    plots_revision: int = 0
    problem: str = ""
    heat: tuple[CaseHeat, ...] = ()
    heat_revision: int = 0
    heat_problem: str = ""
    case: str = ""

    @property
    def curves_are_old(self) -> bool:
        """True while curves and failures belong to an earlier build."""
        return self.plots_revision != self.revision

    @property
    def heat_is_old(self) -> bool:
        """True while heat and air belong to an earlier build."""
        return self.heat_revision != self.revision

    @property
    def stopped(self) -> Failures | None:
        """Each pump stopped: at the temperatures found there where heat could be worked out, else at those stated."""
        found = self._with_stopped
        return self.failures if found is None else found.failures

    @property
    def stopped_plots(self) -> tuple[PumpPlot, ...]:
        """The pumps' curves at the same temperatures as `stopped`."""
        found = self._with_stopped
        return self.plots if found is None else found.plots

    @property
    def stopped_as_stated(self) -> bool:
        """True while what is left is that at the temperatures stated for the coolants: none are found yet."""
        return self._with_stopped is None

    @property
    def _with_stopped(self) -> CaseHeat | None:
        return next((each for each in (self.in_view, *self.heat) if each and each.failures), None)

    @property
    def stopped_is_old(self) -> bool:
        """True while `stopped` belongs to an earlier build."""
        return self.heat_is_old if self.heat else self.curves_are_old

    @property
    def flow_band(self) -> float:
        """Half width of the band of the loop flow, 0 while none is known [m3/s]."""
        case = self.in_view
        if case is None or self.point is None or self.heat_is_old or self.point.stopped != case.point.point.stopped:
            return 0.0
        return case.bands.get("flow_l_h", 0.0)

    @property
    def in_view(self) -> CaseHeat | None:
        """Heat and air at the load case in view; None before they are worked out."""
        return next((each for each in self.heat if each.point.case.name == self.case), next(iter(self.heat), None))
