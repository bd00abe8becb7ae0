"""What the program knows of the build in view, tier by tier, and to which build it belongs."""

from dataclasses import dataclass

from loopsim.studies import AirPlot, Failures, HeatPoint, OperatingPoint, PumpPlot

__all__ = ["Answer", "CaseHeat"]


@dataclass(frozen=True)
class CaseHeat:
    """Heat and air at one load case, and the plots of its fans."""

    point: HeatPoint
    air: tuple[AirPlot, ...] = ()


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
        The same holds for them.
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
    def in_view(self) -> CaseHeat | None:
        """Heat and air at the load case in view; None before they are worked out."""
        return next((each for each in self.heat if each.point.case.name == self.case), next(iter(self.heat), None))
