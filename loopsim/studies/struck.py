"""A failure on the plots of the healthy machine's pumps."""

from collections.abc import Sequence

from loopsim.network import assemble
from loopsim.parts import Pump
from loopsim.studies.failing.catalogue import Situation
from loopsim.studies.group_curves import struck_case
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.results import PumpPlot, StoppedCase

__all__ = ["struck_plots"]


def struck_plots(
    plots: Sequence[PumpPlot], struck: Situation, title: str, heat: HeatPoint | None = None
) -> tuple[StoppedCase | None, ...]:
    """Combined curve, system curve and their crossing after a failure, for each plot of the healthy layout.

    Parameters
    ----------
    plots : sequence of PumpPlot
        As `pump_plots` gives them.
    struck : Situation
        The machine as the failure leaves it.
    title : str
        What has failed.
    heat : HeatPoint, optional
        In which it comes to rest: its temperatures count; without it those stated in the build.

    Returns
    -------
    tuple of StoppedCase or None
        None where the pumps of a plot do not act between two common points any more.
    """
    layout = struck.layout
    pumps = {part_id for part_id in struck.stopped if isinstance(struck.build.part(part_id), Pump)}
    loop = assemble(struck.build, layout, pumps)
    if heat is not None:
        loop.network.states.update(heat.coupled.thermal.loop.network.states)
    bodies = [loop.network.part_of(circuit.body.links) for circuit in loop.circuits]
    found = (next((body for body in bodies if set(plot.pumps) <= body.links.keys()), None) for plot in plots)
    return tuple(
        None if body is None else struck_case(plot, body, title) for plot, body in zip(plots, found, strict=True)
    )
