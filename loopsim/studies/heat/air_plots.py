"""Fan curves against the resistance that they blow against, as arrays for plotting."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loopsim.elements import Pump
from loopsim.network import Network, assemble_air
from loopsim.studies.group_curves import Machines, machine_plots
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.results import PumpPlot
from loopsim.studies.uncertain import air_drops
from loopsim.units import GRAVITY

__all__ = ["AirPlot", "air_plots"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class AirPlot:
    """The fans of one group.

    Attributes
    ----------
    curves : PumpPlot
        Heads are those of a column of the room's air.
    density : float
        Of that air [kg/m3].
    """

    curves: PumpPlot
    density: float

    def pressure(self, head: FloatArray | float) -> FloatArray | float:
        """A head of the plot as a pressure [m] -> [Pa]."""
        return self.density * GRAVITY * head


def air_plots(heat: HeatPoint) -> tuple[AirPlot, ...]:
    """The combined curve of the fans against the combined resistance, and the same with each fan stopped in turn.

    The air is as warm everywhere as the solved layout has it, also where a fan is stopped: with less air it would be
    warmer by a few kelvin, which moves its flow by less than a per cent.

    Parameters
    ----------
    heat : HeatPoint

    Returns
    -------
    tuple of AirPlot
        One for the group that the fans form between two spaces, or one for each fan, saying why; empty where no fan
        turns, or none has both sides of it in different spaces.
    """
    air, layout = heat.coupled.thermal.air, heat.point.layout
    links = air.network.links
    turning = [fan.id for fan in heat.fans if fan.id in links and isinstance(links[fan.id].element, Pump)]
    if not turning:
        return ()
    outside = air.network.state

    def without(stopped: str) -> Network:
        network = assemble_air(heat.point.build, layout, outside, {*air.stopped, stopped}).network
        network.states = dict(air.network.states)
        return network

    names = {fan.id: fan.name for fan in heat.fans if fan.id in turning}
    uncertain = air_drops(heat.coupled.thermal.loop, air)
    machines = Machines(air.network, names, without, "fans", "resistance", uncertain)
    return tuple(AirPlot(plot, outside.density) for plot in machine_plots(machines))
