"""Which arrangement is better, said so that a builder can check it."""

from collections.abc import Callable, Iterable, Sequence
from typing import Literal, get_args

from loopsim.studies.arranging.results import Arrangement

__all__ = ["FIRST", "First", "beats", "ranked", "ranking_words"]

First = Literal["margin", "flow", "tube", "high points"]
FIRST: tuple[First, ...] = get_args(First)

_BEST: dict[First, str] = {
    "margin": "largest margin",
    "flow": "largest flow",
    "tube": "least tube",
    "high points": "fewest high points",
}
_NONE = -1e9  # a margin of what does not settle

# Each figure so that more is better, in steps below which two are as good: 1 L/h, 0.1 K, 1 cm, one high point.
_FIGURES: dict[First, Callable[[Arrangement], float]] = {
    "margin": lambda found: round((_NONE if found.margin is None else found.margin) / 0.1),
    "flow": lambda found: round(found.flow * 3.6e6),
    "tube": lambda found: -round(found.tube / 0.01),
    "high points": lambda found: -found.high_points,
}


def ranked(found: Iterable[Arrangement], first: First = "margin") -> tuple[Arrangement, ...]:
    """Arrangements, the best first.

    Those that fit and hold every limit stand before the others. Of either, those that no other one betters stand
    first: one betters another if it is at least as good in flow, margin, tube and high points, and better in one. Then
    counts the figure that is to come first, and where that is the same margin, flow, tube and high points.

    Parameters
    ----------
    found : iterable of Arrangement
    first : str
        ``"margin"``, ``"flow"``, ``"tube"`` or ``"high points"``.
    """
    every = list(found)
    order = (first, *(each for each in FIRST if each != first))

    def place(each: Arrangement) -> tuple[bool, bool, list[float]]:
        rivals = (other for other in every if other.is_sound == each.is_sound)
        is_bettered = any(beats(other, each) for other in rivals)
        return not each.is_sound, is_bettered, [-_FIGURES[name](each) for name in order]

    return tuple(sorted(every, key=place))


def ranking_words(first: First) -> str:
    """How arrangements are ranked, in a sentence."""
    return (
        "First stand those that fit and hold every limit; among them first those that no other betters in flow, "
        f"margin, tube and high points together; then the {_BEST[first]} first."
    )


def beats(one: Arrangement, other: Arrangement) -> bool:
    """True if one is at least as good as another in every figure, and better in one."""
    return dominates(figures(one), figures(other))


def figures(found: Arrangement) -> tuple[float, ...]:
    """Margin, flow, tube and high points in steps, so that more is better."""
    return tuple(read(found) for read in _FIGURES.values())


def dominates(one: Sequence[float], other: Sequence[float]) -> bool:
    """True if no figure is less and one is more."""
    return all(a >= b for a, b in zip(one, other, strict=True)) and tuple(one) != tuple(other)
