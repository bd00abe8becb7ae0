"""The closed set of elements that the network solver knows.

An element says how much pressure a flow costs: ``dp(flow)``, start minus end, a strictly rising function of the flow,
defined for both directions, together with its slope. Elements hold SI values and know nothing of a drawing.

Many elements of one class are evaluated at once through their `bank`, an object with one method
``evaluate(flow, density, viscosity)``; a single one through `Element.dp`.
"""

from loopsim.elements.base import Bank, Element
from loopsim.elements.block_cooling import BlockCooling
from loopsim.elements.channel import Channel, laminar_friction_constant
from loopsim.elements.check_valve import CheckValve, OpeningState
from loopsim.elements.exchange import Exchanger, Film
from loopsim.elements.friction import friction_factor, velocity, wall_drop
from loopsim.elements.leg import Leg, Legs
from loopsim.elements.losses import narrowing_loss, widening_loss
from loopsim.elements.meeting_law import CrossLaw, MeetingLaw, TeeLaw
from loopsim.elements.opening import Opening
from loopsim.elements.power_law import PowerLaw
from loopsim.elements.pump import STANDING_BAND, Pump, StoppedPump
from loopsim.elements.restriction import Restriction
from loopsim.elements.tube import Tube
from loopsim.elements.turns import FittingLoss, bend_loss, elbow_loss, flattened_area, mitre_loss
from loopsim.elements.valve import Valve, kv_from_cv
from loopsim.elements.viscous_pump import viscosity_parameter, viscous_head_factor

__all__ = [
    "STANDING_BAND",
    "Bank",
    "BlockCooling",
    "Channel",
    "CheckValve",
    "CrossLaw",
    "Element",
    "Exchanger",
    "Film",
    "FittingLoss",
    "Leg",
    "Legs",
    "MeetingLaw",
    "Opening",
    "OpeningState",
    "PowerLaw",
    "Pump",
    "Restriction",
    "StoppedPump",
    "TeeLaw",
    "Tube",
    "Valve",
    "bend_loss",
    "elbow_loss",
    "flattened_area",
    "friction_factor",
    "kv_from_cv",
    "laminar_friction_constant",
    "mitre_loss",
    "narrowing_loss",
    "velocity",
    "viscosity_parameter",
    "viscous_head_factor",
    "wall_drop",
    "widening_loss",
]
