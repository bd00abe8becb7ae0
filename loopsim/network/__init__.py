"""Flow networks: junctions and elements, how a layout becomes one, and what its graph tells."""

from loopsim.network.air import ROOM, AirNetwork, assemble_air
from loopsim.network.assemble import Circuit, LoopNetwork, assemble
from loopsim.network.bodies import Body, bodies
from loopsim.network.flow_network import Junction, Link, Meeting, Network
from loopsim.network.heat_network import HeatNetwork
from loopsim.network.pump_group import Branch, Gap, PumpGroup, pump_group, single_pump
from loopsim.network.thermal import ThermalNetwork, assemble_thermal

__all__ = [
    "ROOM",
    "AirNetwork",
    "Body",
    "Branch",
    "Circuit",
    "Gap",
    "HeatNetwork",
    "Junction",
    "Link",
    "LoopNetwork",
    "Meeting",
    "Network",
    "PumpGroup",
    "ThermalNetwork",
    "assemble",
    "assemble_air",
    "assemble_thermal",
    "bodies",
    "pump_group",
    "single_pump",
]
