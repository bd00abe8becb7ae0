"""What textbooks pose: pipes of given friction factor, heads that go with the square of the flow, machines on them."""

import math
from collections.abc import Sequence

from loopsim.elements import Element, PowerLaw
from loopsim.media import State
from loopsim.network import Network
from loopsim.solve import FlowResult, solve_flow
from loopsim.units import GRAVITY

__all__ = ["WATER", "darcy", "lift", "losses", "square_law"]

WATER = State(998.2, 1.002e-3)


def lift(
    machines: Sequence[Sequence[Element]], system: Element, static_head: float = 0.0, state: State = WATER
) -> FlowResult:
    """Pumps or fans from a lower to a higher place: each inner sequence in series, the sequences side by side."""
    network = Network(state)
    network.add_junction("low", pressure=0.0)
    network.add_junction("delivery")
    network.add_junction("high", elevation=static_head, pressure=0.0)
    for row, chain in enumerate(machines):
        names = ["low", *(f"between {row} {step}" for step in range(1, len(chain))), "delivery"]
        for name in names[1:-1]:
            network.add_junction(name)
        for step, machine in enumerate(chain):
            network.add_element(f"pump {row} {step}", names[step], names[step + 1], machine)
    network.add_element("system", "delivery", "high", system)
    return solve_flow(network)


def darcy(state: State, f: float, length: float, diameter: float, extra: float = 0.0) -> PowerLaw:
    """A pipe of fixed Darcy friction factor, with `extra` velocity heads."""
    return losses(state, f * length / diameter + extra, diameter)


def losses(state: State, velocity_heads: float, diameter: float) -> PowerLaw:
    """So many velocity heads of a bore."""
    return PowerLaw(velocity_heads * 8 * state.density / (math.pi**2 * diameter**4))


def square_law(state: State, head_coefficient: float) -> PowerLaw:
    """``H = k Q|Q|`` with k in m / (m3/s)^2."""
    return PowerLaw(head_coefficient * state.density * GRAVITY)
