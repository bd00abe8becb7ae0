"""The closed set of elements that the network solver knows.

An element says how much pressure a flow costs: ``dp(flow)``, start minus end, a strictly rising function of the flow,
defined for both directions, together with its slope. Elements hold SI values and know nothing of a drawing.

Many elements of one class are evaluated at once through their `bank`, an object with one method
``evaluate(flow, density, viscosity)``; a single one through `Element.dp`.
"""

from loopsim.elements.base import Bank, Element
from loopsim.elements.friction import friction_factor, velocity, wall_drop
from loopsim.elements.leg import Leg, Legs, TeeLaw
from loopsim.elements.power_law import PowerLaw
from loopsim.elements.pump import Pump, StoppedPump
from loopsim.elements.restriction import Restriction
from loopsim.elements.tube import Tube

__all__ = [
    "Bank",
    "Element",
    "Leg",
    "Legs",
    "PowerLaw",
    "Pump",
    "Restriction",
    "StoppedPump",
    "TeeLaw",
    "Tube",
    "friction_factor",
    "velocity",
    "wall_drop",
]
