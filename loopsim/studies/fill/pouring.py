"""How fast liquid runs into an opening."""

from math import pi, sqrt

from loopsim.media import STANDARD_AIR_DENSITY, State
from loopsim.units import GRAVITY

__all__ = ["FUNNEL_HEAD", "HAND_FLOW", "counter_flow", "funnel_flow", "outflow_time"]

HAND_FLOW = 50e-6  # a steady hand pours about 3 L/min; common practice [m3/s]
FUNNEL_HEAD = 0.05  # of liquid kept in a funnel above the neck; a guess [m]
NECK_LOSS = 1.5  # in velocity heads: in from the funnel and out into the bore; handbook values of a sharp edge
FLOODING = 0.725  # constant of the flooding correlation for ends with sharp edges
OUTFLOW = 0.6  # discharge coefficient of a short neck; handbook value of a sharp edge


def counter_flow(bore: float, state: State) -> float:
    """Most liquid that runs down a neck while as much air comes up through it [m3/s].

    Parameters
    ----------
    bore : float
        Of the neck, upright [m].
    state : State
        Of the liquid.

    References
    ----------
    Flooding in upright tubes, ``sqrt(jg*) + sqrt(jl*) = 0.725`` with ``j* = j sqrt(rho / (g D (rho_l - rho_g)))``:
    G. B. Wallis, One-dimensional Two-phase Flow (1969), from memory; small bores hold a plug and pass less. Checked in
    tests/studies/fill/test_pouring.py.
    """
    lift = GRAVITY * bore * (state.density - STANDARD_AIR_DENSITY)
    roots = (state.density / lift) ** 0.25 + (STANDARD_AIR_DENSITY / lift) ** 0.25
    return float(pi / 4 * bore**2 * (FLOODING / roots) ** 2)


def funnel_flow(bore: float, state: State, air_leaves_elsewhere: bool) -> float:
    """Flow from a funnel through the neck under it, no faster than a hand pours [m3/s].

    Parameters
    ----------
    bore : float
        Of the neck [m].
    state : State
        Of the liquid.
    air_leaves_elsewhere : bool
        False where the air comes up through the same neck.
    """
    if not air_leaves_elsewhere:
        return min(counter_flow(bore, state), HAND_FLOW)
    return min(pi / 4 * bore**2 * sqrt(2 * GRAVITY * FUNNEL_HEAD / NECK_LOSS), HAND_FLOW)


def outflow_time(volume: float, bore: float, head: float) -> float:
    """Time in which a volume runs out under a head that sinks to nothing: twice that under the full head [s].

    Parameters
    ----------
    volume : float
        [m3].
    bore : float
        Of the opening [m].
    head : float
        Of liquid above it at the start [m].

    References
    ----------
    Torricelli's law for a vessel of even width. Checked in tests/studies/fill/test_pouring.py.
    """
    full = OUTFLOW * pi / 4 * bore**2 * sqrt(2 * GRAVITY * head) if head > 0 else 0.0
    return 2 * volume / full if full > 0 else float("inf")
