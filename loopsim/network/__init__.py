"""Flow networks: junctions and elements, how a layout becomes one, and what its graph tells."""

from loopsim.network.air import ROOM, AirNetwork, assemble_air
from loopsim.network.assemble import Circuit, LoopNetwork, assemble
from loopsim.network.bodies import Body, bodies
from loopsim.network.flow_network import Junction, Link, Meeting, Network
from loopsim.network.heat_network import HeatNetwork
from loopsim.network.heights import LEVEL, HeightGraph, Opening, Tilt, height_graph
from loopsim.network.joined import Joined
from loopsim.network.pockets import Pocket, bottlenecks, bottlenecks_one_way, pockets, volume_above
from loopsim.network.pump_group import Branch, Gap, PumpGroup, pump_group, single_pump
from loopsim.network.rings import in_rings, in_use
from loopsim.network.thermal import ThermalNetwork, assemble_thermal

__all__ = [
    "LEVEL",
    "ROOM",
    "AirNetwork",
    "Body",
    "Branch",
    "Circuit",
    "Gap",
    "HeatNetwork",
    "HeightGraph",
    "Joined",
    "Junction",
    "Link",
    "LoopNetwork",
    "Meeting",
    "Network",
    "Opening",
    "Pocket",
    "PumpGroup",
    "ThermalNetwork",
    "Tilt",
    "assemble",
    "assemble_air",
    "assemble_thermal",
    "bodies",
    "bottlenecks",
    "bottlenecks_one_way",
    "height_graph",
    "in_rings",
    "in_use",
    "pockets",
    "pump_group",
    "single_pump",
    "volume_above",
]
