"""What the studies call nothing, and how their sentences write flows, times, volumes and lengths."""

from collections.abc import Sequence

from loopsim.units import from_si

__all__ = ["NO_FLOW", "WORTH_SAYING", "duration", "l_h", "listed", "millilitres", "millimetres", "with_band"]

NO_FLOW = 1e-9  # below 4 mL/h nothing flows [m3/s]
WORTH_SAYING = 0.5 / 3.6e6  # below half a litre an hour a sentence in whole litres would say 0 [m3/s]


def l_h(flow: float) -> str:
    """A flow in a sentence, without its direction: ``"48 L/h"`` from m3/s."""
    return f"{abs(from_si(flow, 'l_h')):.0f} L/h"


def with_band(value: float, half: float = 0.0, decimals: int | None = None) -> str:
    """A figure with no more digits than its band allows: ``"330 ± 20"``, ``"31.5 ± 1.8"``.

    One digit of the band is kept, two where the first is a 1, and the value is rounded to the same place; common
    practice. Without a band, to `decimals`, or to three digits at most where that is not given.
    """
    if not half > 0:
        decimals = decimals if decimals is not None else 1 if abs(value) < 10 else 0
        return _minus(f"{value:.{decimals}f}")
    mantissa, _, exponent = f"{half:.1e}".partition("e")
    place = mantissa.startswith("1") - int(exponent)
    return _minus(f"{round(value, place):.{max(place, 0)}f} ± {round(half, place):.{max(place, 0)}f}")


def _minus(text: str) -> str:
    """With a true minus, and none before a zero."""
    return text.removeprefix("-") if float(text.split()[0]) == 0 else text.replace("-", "−")


def millilitres(volume: float) -> str:
    """A volume in a sentence, no more digits than it deserves: ``"0.4 mL"``, ``"35 mL"``."""
    value = from_si(volume, "ml")
    return f"{value:.1f} mL" if value < 2 else f"{value:.0f} mL"


def millimetres(length: float) -> str:
    """A length in a sentence: ``"26 mm"``."""
    return f"{from_si(length, 'mm'):.0f} mm"


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
