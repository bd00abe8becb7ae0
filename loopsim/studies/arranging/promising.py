"""Which of many estimated plans are worth drawing."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from loopsim.studies.arranging.estimate import Estimate
from loopsim.studies.arranging.plans import Plan
from loopsim.studies.arranging.shapes import Row, Shape, Split
from loopsim.units import from_si

__all__ = ["Estimated", "promising"]

_OF_A_KIND = 2  # drawn of those that are the same but for alike parts in each other's place
_OF_EACH = 400  # best by each figure that are looked at closer
_MARGIN_K, _FLOW_L_H, _TUBE_MM = 0.25, 3.0, 50.0  # what estimates tell apart
_NEVER = -1e6


class Estimated(NamedTuple):
    """A plan and what is expected of it."""

    plan: Plan
    estimate: Estimate


def promising(found: Sequence[Estimated], alike: Sequence[int]) -> Iterator[Plan]:
    """Plans in the order in which they are worth drawing.

    Of plans that are the same but for alike parts in each other's place, only those with least tube. Then layer by
    layer: what no other betters in margin, flow, tube and number of branches, what none but those betters, and so on;
    within a layer in turns the best by margin, by flow and by tube.

    Parameters
    ----------
    found : sequence of Estimated
    alike : sequence of int
        For each unit of the loop a number that alike ones share.
    """
    left = list(_best_by_each(_fewest_of_a_kind(found, alike)))
    scores = np.array([_score(each) for each in left]).reshape(-1, 4)
    open_ = np.ones(len(left), dtype=bool)
    while open_.any():
        rows = np.flatnonzero(open_)
        layer = [int(row) for row in rows if not _is_bettered(scores[row], scores[rows])]
        yield from (left[row].plan for row in _in_turns(layer, scores))
        open_[layer] = False


def _fewest_of_a_kind(found: Sequence[Estimated], alike: Sequence[int]) -> list[Estimated]:
    kinds: Mapping[object, list[Estimated]] = defaultdict(list)
    for each in found:
        kinds[_kind(each.plan.shape, alike)].append(each)
    return [each for kind in kinds.values() for each in sorted(kind, key=lambda one: one.plan.tube_mm)[:_OF_A_KIND]]


def _kind(shape: Shape, alike: Sequence[int]) -> str:
    """A shape by what its units are like, branches in a fixed order."""
    if isinstance(shape, int):
        return str(alike[shape])
    if isinstance(shape, Row):
        return f"({' '.join(_kind(step, alike) for step in shape.steps)})"
    return f"[{' '.join(sorted(_kind(branch, alike) for branch in shape.branches))}]"


def _best_by_each(found: Sequence[Estimated]) -> list[Estimated]:
    """The best by margin, by flow and by tube, each once."""
    chosen: dict[int, Estimated] = {}
    for axis in range(3):
        best = sorted(range(len(found)), key=lambda number: -_score(found[number])[axis])[:_OF_EACH]
        chosen.update((number, found[number]) for number in best)
    return [chosen[number] for number in sorted(chosen)]


def _score(each: Estimated) -> tuple[float, float, float, float]:
    """Margin, flow, tube and branches in steps, more is better."""
    margin = _NEVER if each.estimate.margin is None else each.estimate.margin
    return (
        round(margin / _MARGIN_K),
        round(from_si(each.estimate.flow, "l_h") / _FLOW_L_H),
        -round(each.plan.tube_mm / _TUBE_MM),
        -_branches(each.plan.shape),
    )


def _branches(shape: Shape) -> int:
    """Branches beside others: each costs two tees."""
    if isinstance(shape, int):
        return 0
    parts = shape.branches if isinstance(shape, Split) else shape.steps
    return sum(map(_branches, parts)) + (len(parts) - 1 if isinstance(shape, Split) else 0)


def _is_bettered(score: "np.ndarray", others: "np.ndarray") -> bool:
    return bool(((others >= score).all(axis=1) & (others > score).any(axis=1)).any())


def _in_turns(layer: Sequence[int], scores: "np.ndarray") -> Iterator[int]:
    """The best by margin, the best by flow, the one with least tube, the next by margin, ..."""
    orders = [sorted(layer, key=lambda row: (-scores[row][axis], *(-scores[row]))) for axis in range(3)]
    told: set[int] = set()
    for rank in range(len(layer)):
        for order in orders:
            if order[rank] not in told:
                told.add(order[rank])
                yield order[rank]
