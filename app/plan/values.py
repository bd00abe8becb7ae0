"""The values that colours stand for, in words beside parts and tubes: nothing is said by colour alone."""

from collections.abc import Iterator, Sequence

from app import figures
from app.plan.labels import Line
from app.plan.run_item import RunItem
from app.plan.scene import PlanScene

__all__ = ["part_values", "run_values"]

_ROLE = "soft_ink"


def part_values(scene: PlanScene, part_ids: Sequence[str]) -> list[Line]:
    """Beside the name of a part, or of a row of parts: how warm what sits on it is, and what air passes.

    The coolant's own values stand at the tubes. None where the plan is plain.
    """
    tint = scene.tint
    if tint is None:
        return []
    warm = [tint.words[part_id] for part_id in part_ids if part_id in tint.words][:1]
    through = sum(each.flow for each in scene.air if each.part in part_ids) if tint.unit == "c" else 0.0
    texts = [*warm, *([figures.amount(through, "m3_h")] if through > 0 else [])]
    return [Line(text, _ROLE) for text in texts]


def run_values(scene: PlanScene) -> Iterator[tuple[RunItem, Line]]:
    """Tube runs with their value, the longest first."""
    tint = scene.tint
    if tint is not None:
        runs = [item for item in scene.runs.values() if item.run_id in tint.values]
        for item in sorted(runs, key=lambda item: -item.path.length_mm):
            yield item, Line(tint.text(item.run_id), _ROLE)
