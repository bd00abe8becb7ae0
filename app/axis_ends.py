"""Where an axis that begins at zero ends: at a round number that does not change at every step of a drag."""

import math
from typing import NamedTuple

__all__ = ["End", "round_end"]


class End(NamedTuple):
    """End of an axis, and the distance of its ticks."""

    end: float
    step: float


_NO_AXIS = End(0.0, 0.0)


def round_end(largest: float, now: End = _NO_AXIS) -> End:
    """End of an axis that shows values from 0 to `largest`.

    The end `now` stays while the values still fit and fill at least half of the axis. Steps are 1, 2 or 5 times a power
    of ten, so that a step's first digit writes every figure of the axis.
    """
    if not largest > 0 or not math.isfinite(largest):
        return now if now.end > 0 else End(1.0, 0.5)
    if 0.5 * now.end <= largest <= now.end:
        return now
    power = 10.0 ** math.floor(math.log10(largest / 5))
    step = next(size * power for size in (1, 2, 5, 10) if size * power * 6 >= largest * 1.02)
    return End(math.ceil(largest * 1.02 / step) * step, step)
