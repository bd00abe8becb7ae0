"""Solving: the flow that a network settles at."""

from loopsim.solve.flow import FlowResult, FlowVariants, solve_flow, solve_variants

__all__ = ["FlowResult", "FlowVariants", "solve_flow", "solve_variants"]
