"""Flow networks: junctions and elements, how a layout becomes one, and what its graph tells."""

from loopsim.network.assemble import Circuit, LoopNetwork, assemble
from loopsim.network.bodies import Body, bodies
from loopsim.network.flow_network import Junction, Link, Meeting, Network
from loopsim.network.pump_group import Branch, Gap, PumpGroup, pump_group, single_pump

__all__ = [
    "Body",
    "Branch",
    "Circuit",
    "Gap",
    "Junction",
    "Link",
    "LoopNetwork",
    "Meeting",
    "Network",
    "PumpGroup",
    "assemble",
    "bodies",
    "pump_group",
    "single_pump",
]
