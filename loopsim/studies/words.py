"""What the studies call nothing, and how their sentences write flows, times, volumes and lengths."""

from collections.abc import Sequence

from loopsim.studies.sentence import quantity
from loopsim.units import from_si

__all__ = ["NO_FLOW", "WORTH_SAYING", "duration", "flow_decimals", "l_h", "listed", "millilitres", "millimetres"]

NO_FLOW = 1e-9  # below 4 mL/h nothing flows [m3/s]
_FEW = 10 / 3.6e6  # below ten litres an hour a tenth is told [m3/s]
WORTH_SAYING = 0.5 / 3.6e6  # below half a litre an hour nothing worth a sentence flows [m3/s]


def l_h(flow: float) -> str:
    """A flow in a sentence, without its direction: ``"48 L/h"``, ``"5.6 L/h"`` from m3/s."""
    return quantity(abs(flow), "l_h", flow_decimals(flow))


def flow_decimals(flow: float) -> int:
    """Decimals of a flow in litres an hour, in sentences and tables alike; `flow` is in m3/s."""
    return 1 if NO_FLOW < abs(flow) < _FEW else 0


def millilitres(volume: float) -> str:
    """A volume in a sentence, no more digits than it deserves: ``"0.4 mL"``, ``"35 mL"``."""
    return quantity(volume, "ml", 1 if from_si(volume, "ml") < 2 else 0)


def millimetres(length: float) -> str:
    """A length in a sentence: ``"26 mm"``."""
    return quantity(length, "mm")


def duration(seconds: float) -> str:
    """A time in a sentence: ``"0.4 s"``, ``"31 s"``, ``"4 min 12 s"``, ``"2 h 5 min"``."""
    if seconds < 9.95:
        return f"{seconds:.1f} s"
    whole = round(seconds)
    if whole < 3600:
        minutes, rest = divmod(whole, 60)
        return " ".join(each for each in (f"{minutes} min" if minutes else "", f"{rest} s" if rest else "") if each)
    hours, minutes = divmod(round(seconds / 60), 60)
    return f"{hours} h {minutes} min" if minutes else f"{hours} h"


def listed(names: Sequence[str]) -> str:
    """Names in a sentence: ``"A, B and C"``."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
