"""Pump curves against the system curve, as arrays for plotting."""

from collections.abc import Iterator, Mapping, Sequence

from loopsim.build import Build
from loopsim.media import State
from loopsim.network import Circuit, LoopNetwork, Network, assemble
from loopsim.parts import Pump
from loopsim.studies.group_curves import Machines, machine_plots
from loopsim.studies.results import Failures, PumpPlot
from loopsim.studies.uncertain import liquid_drops

__all__ = ["pump_plots"]


def pump_plots(build: Build, layout_name: str | None = None, failures: Failures | None = None) -> tuple[PumpPlot, ...]:
    """One plot for the group that the pumps form, or one for each pump, saying why.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    failures : Failures, optional
        Of the same layout: its curves are those at the same temperatures, so that they cross where these flows are.
        Without them the temperatures stated for the coolants count.

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
    if failures is not None:
        loop.network.states.update(failures.states)
    warm = {case.stopped: case.states for case in failures.cases} if failures is not None else {}
    return tuple(plot for circuit in loop.circuits for plot in _plots_of(loop, circuit, pumps, warm))


def _plots_of(
    loop: LoopNetwork, circuit: Circuit, pumps: Sequence[str], warm: Mapping[str, Mapping[str, State]]
) -> Iterator[PumpPlot]:
    """The plots of one circuit, whose liquid is the measure of its heads; `warm`: what flows with each pump stopped."""
    names = {pump: loop.build.part(pump).name for pump in pumps if pump in circuit.body.links}
    if not names:
        return

    def without(stopped: str) -> Network:
        struck = assemble(loop.build, loop.layout, {stopped})
        struck.network.states.update(warm.get(stopped, {}))
        return _only(struck, circuit)

    yield from machine_plots(Machines(_only(loop, circuit), names, without, "pumps", "loop", liquid_drops(loop)))


def _only(loop: LoopNetwork, circuit: Circuit) -> Network:
    """The network of one circuit."""
    return loop.network.part_of(circuit.body.links)
