"""Part kinds: what a builder can place.

One file per kind holds its data, ports, elements, symbol and fields. A new kind is a new file here with one class
below `Part`; it is found by itself, and editor, file format, report and command line pick it up.
"""

from importlib import import_module
from pkgutil import iter_modules

from loopsim.parts.base import FlowPath, Part, Port, Setting
from loopsim.parts.block import Block
from loopsim.parts.junction import Junction
from loopsim.parts.pump import Pump
from loopsim.parts.radiator import Radiator
from loopsim.parts.reservoir import Reservoir
from loopsim.parts.tube_run import Corner, Tube, TubeRun

for _module in iter_modules(__path__):
    import_module(f"{__name__}.{_module.name}")

KINDS: dict[str, type[Part]] = {kind.kind_name(): kind for kind in Part.__subclasses__()}

__all__ = [
    "KINDS",
    "Block",
    "Corner",
    "FlowPath",
    "Junction",
    "Part",
    "Port",
    "Pump",
    "Radiator",
    "Reservoir",
    "Setting",
    "Tube",
    "TubeRun",
]
