"""Steps of filling and draining that have been done, as they are ticked."""

from collections.abc import Sequence
from typing import Literal

from loopsim.build.document import Build, Layout
from loopsim.build.edits import Edit, change_layout

__all__ = ["TickedPlan", "differ_in_ticks_only", "ticked"]

TickedPlan = Literal["filled_steps", "drained_steps"]

_WORDS: dict[TickedPlan, str] = {"filled_steps": "filling", "drained_steps": "draining"}
_NO_TICKS: dict[str, tuple[str, ...]] = {"filled_steps": (), "drained_steps": ()}


def ticked(build: Build, layout_name: str, plan: TickedPlan, step: str, steps: Sequence[str], is_done: bool) -> Edit:
    """Tick a step as done, or take its tick away.

    Parameters
    ----------
    build : Build
    layout_name : str
    plan : str
        ``"filled_steps"`` or ``"drained_steps"``.
    step : str
        Key of the step.
    steps : sequence of str
        Keys of all steps of the plan as it is now; ticks of others go, for what they stood for is no longer planned.
    is_done : bool

    Raises
    ------
    SketchError
        If there is no such layout.
    """
    before = getattr(build.layout(layout_name), plan)
    done = tuple(each for each in steps if (is_done if each == step else each in before))
    edit = change_layout(build, layout_name, **{plan: done})
    number = step.partition(" ")[0]
    return edit._replace(text=f"{'Tick' if is_done else 'Untick'} step {number} of {_WORDS[plan]}")


def differ_in_ticks_only(one: Build, other: Build) -> bool:
    """True if two builds plan the same: whatever is worked out of one holds for the other."""
    if len(one.layouts) != len(other.layouts):
        return False
    rest = (name for name in Build.model_fields if name != "layouts")
    return all(getattr(one, name) == getattr(other, name) for name in rest) and all(
        a is b or _without_ticks(a) == _without_ticks(b) for a, b in zip(one.layouts, other.layouts, strict=True)
    )


def _without_ticks(layout: Layout) -> Layout:
    return layout.model_copy(update=_NO_TICKS)
