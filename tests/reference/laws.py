"""Elements as textbooks state them: a pipe of given friction factor, a head that goes with the square of the flow."""

import math

from loopsim.elements import PowerLaw
from loopsim.media import State
from loopsim.units import GRAVITY

__all__ = ["darcy", "losses", "square_law"]


def darcy(state: State, f: float, length: float, diameter: float, extra: float = 0.0) -> PowerLaw:
    """A pipe of fixed Darcy friction factor, with `extra` velocity heads."""
    return losses(state, f * length / diameter + extra, diameter)


def losses(state: State, velocity_heads: float, diameter: float) -> PowerLaw:
    """So many velocity heads of a bore."""
    return PowerLaw(velocity_heads * 8 * state.density / (math.pi**2 * diameter**4))


def square_law(state: State, head_coefficient: float) -> PowerLaw:
    """``H = k Q|Q|`` with k in m / (m3/s)^2."""
    return PowerLaw(head_coefficient * state.density * GRAVITY)
