"""What the program knows of the build in view, tier by tier, and to which build it belongs."""

from dataclasses import dataclass

from loopsim.studies import Failures, OperatingPoint, PumpPlot

__all__ = ["Answer"]


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
    """

    revision: int
    layout: str
    point: OperatingPoint | None
    plots: tuple[PumpPlot, ...] = ()
    failures: Failures | None = None
    plots_revision: int = 0
    problem: str = ""

    @property
    def curves_are_old(self) -> bool:
        """True while curves and failures belong to an earlier build."""
        return self.plots_revision != self.revision
