"""What an arrangement would give, before it is drawn.

Estimates decide only which arrangements are drawn and in what order; what is shown of one is solved from its drawing.
"""

from typing import NamedTuple

from loopsim.studies.arranging.laid_curves import LaidCurves
from loopsim.studies.arranging.once_round import OnceRound
from loopsim.studies.arranging.plans import Plan
from loopsim.studies.arranging.ways import BareLayout
from loopsim.studies.heat.results import HeatPoint

__all__ = ["Estimate", "Estimator"]


class Estimate(NamedTuple):
    """What is expected of a plan: flow [m3/s], and the least margin [K], None where there is none."""

    flow: float
    margin: float | None


class Estimator:
    """Estimates for the plans of one loop.

    Parameters
    ----------
    bare : BareLayout
    heat : HeatPoint
        The layout as drawn, at the load case that counts.
    """

    def __init__(self, bare: BareLayout, heat: HeatPoint) -> None:
        self.curves = LaidCurves(bare, heat)
        self.round = OnceRound(heat, self.curves.state)

    def of(self, plan: Plan) -> Estimate:
        """Flow and margin to be expected of a plan."""
        flow = self.curves.flow(plan)
        return Estimate(flow, self.round.margin(plan.steps, flow, dict(self.curves.flows(plan.steps, flow))))
