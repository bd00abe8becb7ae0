"""Figures with no more digits than they deserve."""

__all__ = ["with_band"]


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
