"""Solving: the flow that a network settles at."""

from loopsim.solve.flow import solve_flow, solve_variants
from loopsim.solve.results import FlowResult, FlowVariants

__all__ = ["FlowResult", "FlowVariants", "solve_flow", "solve_variants"]
