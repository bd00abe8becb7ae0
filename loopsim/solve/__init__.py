"""Solving: the flow at which a network settles, and the temperatures that go with it."""

from loopsim.solve.coupled import Coupled, solve_coupled
from loopsim.solve.course import AirWatch, Course, Watch
from loopsim.solve.flow import solve_flow, solve_variants
from loopsim.solve.heat import Temperatures, solve_heat
from loopsim.solve.lumps import Component, Lumps, Metal
from loopsim.solve.rates import Rates
from loopsim.solve.results import FlowResult, FlowVariants
from loopsim.solve.transient import solve_transient
from loopsim.solve.transport import Heating, Streams, Transport

__all__ = [
    "AirWatch",
    "Component",
    "Coupled",
    "Course",
    "FlowResult",
    "FlowVariants",
    "Heating",
    "Lumps",
    "Metal",
    "Rates",
    "Streams",
    "Temperatures",
    "Transport",
    "Watch",
    "solve_coupled",
    "solve_flow",
    "solve_heat",
    "solve_transient",
    "solve_variants",
]
