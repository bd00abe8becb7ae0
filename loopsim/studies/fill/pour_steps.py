"""The steps of the first pour."""

import numpy as np
from numpy.typing import NDArray

from loopsim.studies.fill.first_pour import FirstPour, Stage
from loopsim.studies.fill.step_list import StepList

__all__ = ["pour_first"]

FloatArray = NDArray[np.float64]

MOMENTS = 6  # snapshots of one pour


def pour_first(steps: StepList, pour: FirstPour) -> None:
    """Set valves, pour stage by stage, put the caps on, open the valve again."""
    shut = () if pour.shut is None else (pour.shut,)
    sentence = steps.words.set_valves(pour.shut)
    if sentence:
        steps.add("set valves", sentence, shut=shut)
    for stage in pour.stages:
        _pour(steps, stage, shut, pour)
    still_off = [each for each in (pour.stages[-1].opening, *pour.stages[-1].vents) if each not in steps.lids]
    if still_off:
        steps.add("cap", steps.words.cap(still_off), shut=shut)
    if pour.shut is not None:
        steps.filling.settle(())
        steps.add("set valves", steps.words.open_valve(pour.shut))


def _pour(steps: StepList, stage: Stage, shut: tuple[str, ...], pour: FirstPour) -> None:
    filling = steps.filling
    before = filling.poured
    beside_valve = pour.shut is not None and stage.opening in steps.lids
    liquid = _vessels_for(steps, pour, stage) if beside_valve else stage.liquid(filling)
    poured = float(np.maximum(filling.liquid, liquid * filling.circuit).sum() - filling.liquid.sum())
    seconds = poured / steps.pour_flow(stage.opening, stage.vents)
    for number in range(1, MOMENTS):
        filling.pour_up_to(np.minimum(stage.liquid_at(number / MOMENTS, filling), liquid), seconds / MOMENTS)
        filling.note(steps.next)
    filling.pour_up_to(liquid, seconds / MOMENTS, stage.fill.level)
    poured, level = filling.poured - before, steps.level if beside_valve else stage.fill.level
    steps.pouring += seconds
    sentence = steps.words.pour(stage.opening, stage.vents, poured, seconds, level, stage.to_cap)
    steps.add("pour", sentence, (stage.opening, *stage.vents), shut, (), stage.opening, poured, seconds, level)
    if stage.to_cap is not None:
        steps.add("cap", steps.words.cap([stage.to_cap]), shut=shut)


def _vessels_for(steps: StepList, pour: FirstPour, stage: Stage) -> FloatArray:
    """A stage with its vessels filled to just so much that they stand as drawn once the valve is open, shape (m,)."""
    trial, liquid = steps.filling.twin(), stage.liquid(steps.filling)
    for each in pour.stages:
        trial.pour_up_to(each.liquid(trial), 0.0)
    returned = trial.settle(())
    wanted = [float(trial.target[vessel.column].sum()) for vessel in trial.vessels]
    for vessel, volume in zip(trial.vessels, wanted, strict=True):
        liquid[vessel.column] = vessel.filled(max(volume - returned * volume / sum(wanted), 0.0))
    return liquid
