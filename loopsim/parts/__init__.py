"""Part kinds: what a builder can place.

One file per kind holds its data, ports, elements, symbol and fields. A new kind is a new file here with one class
below `Part`, or below `DryPart` or one of the bases in `fitting`; it is found by itself, and editor, file format,
report and command line pick it up.
"""

from collections.abc import Iterator
from importlib import import_module
from pkgutil import iter_modules

from loopsim.parts.air_component import AirComponent
from loopsim.parts.air_filter import AirFilter
from loopsim.parts.base import FAMILIES, ID_PATTERN, LAYERS, AirPath, DryPart, FlowPath, Part, Port, Setting, Wetted
from loopsim.parts.bleed_port import BleedPort
from loopsim.parts.block import Block, Load
from loopsim.parts.branching import Branching
from loopsim.parts.channel_plate import ChannelPlate, PlateChannel
from loopsim.parts.check_valve import CheckValve
from loopsim.parts.cover import Cover
from loopsim.parts.cross import Cross
from loopsim.parts.drain_port import DrainPort
from loopsim.parts.elbow import Elbow
from loopsim.parts.expansion_vessel import ExpansionVessel
from loopsim.parts.fan import Fan
from loopsim.parts.fill_port import FillPort
from loopsim.parts.filter import Filter
from loopsim.parts.fitting import CappedTee, SidePort
from loopsim.parts.flow_meter import FlowMeter
from loopsim.parts.grille import Grille
from loopsim.parts.inner import InnerPath, Inside
from loopsim.parts.liquid_exchanger import LiquidExchanger
from loopsim.parts.manifold import Manifold
from loopsim.parts.pump import Pump
from loopsim.parts.quick_disconnect import QuickDisconnect
from loopsim.parts.radiator import Radiator
from loopsim.parts.reducer import Reducer
from loopsim.parts.reservoir import Reservoir
from loopsim.parts.supply import EfficiencyCurve, EfficiencyPoint, FedPart, Supply
from loopsim.parts.tee import Tee
from loopsim.parts.tube_run import Corner, Tube, TubeRun, part_of
from loopsim.parts.valve import KvCurve, KvPoint, Valve

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")


def _kinds_below(base: type[Part]) -> Iterator[type[Part]]:
    """Every class that names its kind; those without are bases of several."""
    for each in base.__subclasses__():
        if "kind" in each.model_fields:
            yield each
        yield from _kinds_below(each)


KINDS: dict[str, type[Part]] = {
    kind.kind_name(): kind for kind in sorted(_kinds_below(Part), key=lambda kind: kind.title)
}

__all__ = [
    "FAMILIES",
    "ID_PATTERN",
    "KINDS",
    "LAYERS",
    "AirComponent",
    "AirFilter",
    "AirPath",
    "BleedPort",
    "Block",
    "Branching",
    "CappedTee",
    "ChannelPlate",
    "CheckValve",
    "Corner",
    "Cover",
    "Cross",
    "DrainPort",
    "DryPart",
    "EfficiencyCurve",
    "EfficiencyPoint",
    "Elbow",
    "ExpansionVessel",
    "Fan",
    "FedPart",
    "FillPort",
    "Filter",
    "FlowMeter",
    "FlowPath",
    "Grille",
    "InnerPath",
    "Inside",
    "KvCurve",
    "KvPoint",
    "LiquidExchanger",
    "Load",
    "Manifold",
    "Part",
    "PlateChannel",
    "Port",
    "Pump",
    "QuickDisconnect",
    "Radiator",
    "Reducer",
    "Reservoir",
    "Setting",
    "SidePort",
    "Supply",
    "Tee",
    "Tube",
    "TubeRun",
    "Valve",
    "Wetted",
    "part_of",
]
