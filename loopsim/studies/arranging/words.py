"""An arrangement in a line."""

from collections.abc import Sequence

from loopsim.studies.arranging.open_loop import OpenLoop
from loopsim.studies.arranging.plans import InRow, Pass, Step

__all__ = ["order_words"]

_AFTER, _BESIDE = " → ", " ‖ "


def order_words(loop: OpenLoop, steps: Sequence[Step]) -> str:
    """Names along the flow: → is after, ‖ is beside."""
    return _AFTER.join(_words(loop, step) for step in steps) if len(steps) > 1 else _words(loop, steps[0])[1:-1]


def _words(loop: OpenLoop, step: Step) -> str:
    if isinstance(step, Pass):
        return loop.name_of(step.item)
    if isinstance(step, InRow):
        return f"({_AFTER.join(_words(loop, each) for each in step.steps)})"
    return f"({_BESIDE.join(_words(loop, each) for each in step.branches)})"
