"""Pump curves against the system curve, as arrays for plotting."""

from collections.abc import Iterator, Sequence

from loopsim.build import Build
from loopsim.network import Circuit, LoopNetwork, Network, assemble
from loopsim.parts import Pump
from loopsim.studies.group_curves import Machines, machine_plots
from loopsim.studies.results import PumpPlot
from loopsim.studies.uncertain import liquid_drops

__all__ = ["pump_plots"]


def pump_plots(build: Build, layout_name: str | None = None) -> tuple[PumpPlot, ...]:
    """One plot for the group that the pumps form, or one for each pump, saying why.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.

    Returns
    -------
    tuple of PumpPlot
        Empty where there is no pump in a closed loop.

    Raises
    ------
    SketchError
        If there is no such layout.
    """
    loop = assemble(build, build.layout(layout_name))
    pumps = [part_id for part_id in loop.layout.placements if isinstance(build.part(part_id), Pump)]
    return tuple(plot for circuit in loop.circuits for plot in _plots_of(loop, circuit, pumps))


def _plots_of(loop: LoopNetwork, circuit: Circuit, pumps: Sequence[str]) -> Iterator[PumpPlot]:
    """The plots of one circuit, whose liquid is the measure of its heads."""
    names = {pump: loop.build.part(pump).name for pump in pumps if pump in circuit.body.links}
    if not names:
        return

    def without(stopped: str) -> Network:
        return _only(assemble(loop.build, loop.layout, {stopped}), circuit)

    yield from machine_plots(Machines(_only(loop, circuit), names, without, "pumps", "loop", liquid_drops(loop)))


def _only(loop: LoopNetwork, circuit: Circuit) -> Network:
    """The network of one circuit."""
    return loop.network.part_of(circuit.body.links)
