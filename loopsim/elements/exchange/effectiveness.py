"""How much of the possible heat an exchanger passes: effectiveness against number of transfer units."""

import math
from collections.abc import Callable
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.errors import PartDataError, did_you_mean

__all__ = ["ARRANGEMENTS", "MOST_UNITS", "Arrangement", "effectiveness", "law_of", "transfer_units"]

FloatArray = NDArray[np.float64]

Arrangement = Literal[
    "counterflow", "parallel flow", "cross flow", "cross flow, smaller mixed", "cross flow, larger mixed", "one shell"
]
ARRANGEMENTS: tuple[str, ...] = get_args(Arrangement)

MOST_UNITS = 1e3  # transfer units up to which `transfer_units` looks; real cores have less than 10

_LARGEST_COUNT = 1e3  # mean of the smaller count up to which the series of the cross flow is summed
_TINY = 1e-200  # instead of 0 below a fraction's line and in a logarithm
_COUNTS = np.arange(1, 2001)  # more than the series ever sums
_LOG_FACTORIALS = np.cumsum(np.log(_COUNTS))
_HALVINGS = 60  # of a stretch of the logarithm; the last digit is reached before


def effectiveness(ntu: ArrayLike, ratio: ArrayLike, arrangement: Arrangement = "cross flow") -> FloatArray:
    """Heat passed over the most that any exchanger could pass between these two streams.

    Exact for streams of constant heat capacity and one UA all over. ``"cross flow"`` has both streams unmixed (they
    run in many channels side by side). Rises with `ntu`, falls with `ratio`; 0 at no transfer units.

    Parameters
    ----------
    ntu : array_like, shape (...)
        Transfer units, UA over the smaller heat capacity rate, at least 0.
    ratio : array_like, broadcast against `ntu`
        Smaller over larger heat capacity rate, 0 to 1; 0 is a side that boils or does not warm.
    arrangement : str
        One of `ARRANGEMENTS`. The two with one side mixed say whether that is the side of the smaller or the larger
        heat capacity rate; ``"one shell"`` is one shell pass with two, four, ... tube passes.

    Returns
    -------
    ndarray, shape (...)
        0 to 1.

    Raises
    ------
    PartDataError
        If the arrangement is unknown, or a number out of its range.

    References
    ----------
    R. K. Shah and D. P. Sekulić, Fundamentals of Heat Exchanger Design, Wiley 2003, table 3.4. Cross flow: the series
    of J. L. Mason, Proc. 2nd US Nat. Congress of Applied Mechanics, 1955. Checked in tests/elements against `ht`.
    """
    law = law_of(arrangement)
    ntu, ratio = np.asarray(ntu, dtype=float), np.asarray(ratio, dtype=float)
    if not ((ntu >= 0).all() and (ratio >= 0).all() and (ratio <= 1).all()):
        raise PartDataError(
            f"{arrangement}: needs transfer units of at least 0 and a ratio of heat capacity rates from 0 to 1, "
            f"got {np.min(ntu):g} and {np.min(ratio):g} to {np.max(ratio):g}"
        )
    return np.asarray(law(ntu, ratio))


def transfer_units(
    effectiveness_wanted: ArrayLike, ratio: ArrayLike, arrangement: Arrangement = "cross flow"
) -> FloatArray:
    """Transfer units at which an exchanger reaches an effectiveness: the inverse of `effectiveness`.

    Parameters
    ----------
    effectiveness_wanted : array_like, shape (...)
        At least 0 and below what the arrangement can reach at `ratio`.
    ratio : array_like, broadcast against it
        Smaller over larger heat capacity rate, 0 to 1.
    arrangement : str
        One of `ARRANGEMENTS`.

    Returns
    -------
    ndarray, shape (...)
        At most `MOST_UNITS`.

    Raises
    ------
    PartDataError
        If no exchanger of this arrangement reaches the effectiveness.
    """
    law = law_of(arrangement)
    wanted, ratio = np.broadcast_arrays(np.asarray(effectiveness_wanted, dtype=float), np.asarray(ratio, dtype=float))
    limit = effectiveness(MOST_UNITS, ratio, arrangement)
    if not np.all((wanted >= 0) & (wanted < limit)):
        raise PartDataError(
            f"{arrangement}: the effectiveness must lie from 0 to below {np.min(limit):.3g} at a ratio of heat "
            f"capacity rates of {np.max(ratio):.3g}, got {np.min(wanted):.3g} to {np.max(wanted):.3g}"
        )
    return _inverse(law, wanted, ratio)


def _inverse(law: Callable[[FloatArray, FloatArray], FloatArray], wanted: FloatArray, ratio: FloatArray) -> FloatArray:
    """By halving the logarithm of ntu; below `wanted` itself no effectiveness lies, for it never exceeds ntu."""
    low, high = np.log(np.maximum(wanted, _TINY)), np.full(wanted.shape, np.log(MOST_UNITS))
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        short = law(np.exp(middle), ratio) < wanted
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return np.where(wanted > 0, np.exp((low + high) / 2), 0.0)


def _counterflow(ntu: FloatArray, ratio: FloatArray) -> FloatArray:
    """Written so that balanced streams (ratio 1) need no case of their own."""
    unbalance = np.maximum(1 - ratio, 1e-14)
    units = -np.expm1(-ntu * unbalance) / unbalance
    return units / (1 + ratio * units)


def _parallel_flow(ntu: FloatArray, ratio: FloatArray) -> FloatArray:
    return -np.expm1(-ntu * (1 + ratio)) / (1 + ratio)


def _cross_flow(ntu: FloatArray, ratio: FloatArray) -> FloatArray:
    """Mason's series, which is the mean of the smaller of two Poisson counts over the mean of the second.

    With counts of mean `ntu` and ``ratio * ntu``, its terms are the chances that both exceed n. Beyond a second mean
    of 1000 it is held there, which costs at most 0.018 of effectiveness, at a ratio of 1. A first mean so far above
    the second that it is sure to be the larger may as well lie nearer.
    """
    ratio = np.maximum(ratio, 1e-12)
    second = np.minimum(ratio * ntu, _LARGEST_COUNT)
    first = np.minimum(second / ratio, second + 12 * np.sqrt(second) + 40)
    means = np.maximum(np.stack((first, second))[..., None], _TINY)
    most = float(means.max(initial=0.0))
    terms = int(most + 12 * math.sqrt(most) + 20)
    chance = np.exp(_COUNTS[:terms] * np.log(means) - means - _LOG_FACTORIALS[:terms])
    above = chance[..., ::-1].cumsum(axis=-1)  # chance that a count exceeds terms - 1, ..., 1, 0; small ones first
    both: FloatArray = (above[0] * above[1]).sum(axis=-1)
    return both / np.maximum(second, _TINY)


def _smaller_mixed(ntu: FloatArray, ratio: FloatArray) -> FloatArray:
    ratio = np.maximum(ratio, 1e-12)
    return -np.expm1(np.expm1(-ratio * ntu) / ratio)


def _larger_mixed(ntu: FloatArray, ratio: FloatArray) -> FloatArray:
    ratio = np.maximum(ratio, 1e-12)
    return -np.expm1(ratio * np.expm1(-ntu)) / ratio


def _one_shell(ntu: FloatArray, ratio: FloatArray) -> FloatArray:
    root = np.sqrt(1 + ratio**2)
    passed = -np.expm1(-ntu * root)
    result: FloatArray = 2 * passed / ((1 + ratio) * passed + root * (2 - passed))
    return result


_LAWS: dict[str, Callable[[FloatArray, FloatArray], FloatArray]] = dict(
    zip(
        ARRANGEMENTS,
        (_counterflow, _parallel_flow, _cross_flow, _smaller_mixed, _larger_mixed, _one_shell),
        strict=True,
    )
)


def law_of(arrangement: str) -> Callable[[FloatArray, FloatArray], FloatArray]:
    """Effectiveness of an arrangement against transfer units and ratio, which it does not check; for inner loops."""
    if arrangement not in _LAWS:
        known, hint = ", ".join(ARRANGEMENTS), did_you_mean(arrangement, ARRANGEMENTS)
        raise PartDataError(
            f"exchanger: unknown arrangement {arrangement!r}; known are {known}{hint}",
            field="arrangement",
        )
    return _LAWS[arrangement]
