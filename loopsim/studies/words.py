"""What the studies call nothing, and how their sentences write a flow."""

from loopsim.units import from_si

__all__ = ["NO_FLOW", "l_h"]

NO_FLOW = 1e-9  # below 4 mL/h nothing flows [m3/s]


def l_h(flow: float) -> str:
    """A flow in a sentence, without its direction: ``"48 L/h"`` from m3/s."""
    return f"{abs(from_si(flow, 'l_h')):.0f} L/h"
