"""How loud a machine is."""

import math
from collections.abc import Iterable

__all__ = ["incoherent_sum"]


def incoherent_sum(levels: Iterable[float]) -> float | None:
    """Level of several sources together, whose phases have nothing to do with one another.

    For fans and pumps that all stand about as far from the ear as the point for which their levels hold. Equal fans
    that drift in and out of step beat, up to 3 dB above this; walls and furniture reflect. So it is an estimate.

    Parameters
    ----------
    levels : iterable of float
        Of each source at the same distance [dB or dB(A)].

    Returns
    -------
    float or None
        [dB or dB(A)]; None where there is no source.

    References
    ----------
    ``10 log10(sum 10^(L/10))``, as in every textbook of acoustics. Checked in tests/reference/test_sound.py.
    """
    powers = [10 ** (level / 10) for level in levels]
    return 10 * math.log10(sum(powers)) if powers else None
