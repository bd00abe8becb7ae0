"""Solving: the flow at which a network settles, and the temperatures that go with it."""

from loopsim.solve.coupled import Coupled, Heating, solve_coupled
from loopsim.solve.flow import solve_flow, solve_variants
from loopsim.solve.heat import Temperatures, solve_heat
from loopsim.solve.results import FlowResult, FlowVariants

__all__ = [
    "Coupled",
    "FlowResult",
    "FlowVariants",
    "Heating",
    "Temperatures",
    "solve_coupled",
    "solve_flow",
    "solve_heat",
    "solve_variants",
]
