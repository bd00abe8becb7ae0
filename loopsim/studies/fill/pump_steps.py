"""The steps in which pumps fill the loop, and the air that is left is let out."""

import numpy as np
from numpy.typing import NDArray

from loopsim.studies.fill.pumping import Pumping, Round
from loopsim.studies.fill.results import TiltPlan
from loopsim.studies.fill.step_list import StepList

__all__ = ["bleed", "pump_round", "tilt_out"]

FloatArray = NDArray[np.float64]

MOST_ROUNDS = 60
KEPT = 0.2  # share of what a round took that must stay in the loop, or the vessel is topped up while the pump runs
_LEAST_RUN = 0.2e-6  # less moved is no step [m3]


def pump_round(steps: StepList, pumping: Pumping, opening: str) -> bool:
    """Run what is flooded, stop, top up, until the loop takes no more; False where it ends before that.

    Parameters
    ----------
    steps : StepList
    pumping : Pumping
    opening : str
        Where it is topped up.
    """
    priming, filling = pumping.priming, steps.filling
    if not priming.pumps:
        return filling.air < _LEAST_RUN
    topped_up = False
    for _ in range(MOST_ROUNDS):
        pumps = priming.flooded()
        if not pumps:
            return False
        before = filling.in_loop
        made = pumping.run(pumps, steps.next, steps.pour_flow(opening) if topped_up else None)
        if made.ended in ("least level", "stalled"):
            filling.note(steps.next)
            steps.run_back()
        _write(steps, pumping, pumps, made, topped_up, opening)
        if made.ended == "stalled":
            return False
        topped_up = topped_up or (made.ended == "least level" and filling.in_loop - before < KEPT * made.taken)
        steps.top_up(opening, tuple(sorted(pumps)) if made.ended == "flooded" else ())
        if made.ended == "full" and len(pumps) == len(priming.pumps):
            return True
        if made.ended == "full" and not priming.flooded() - pumps:
            return False
        if made.ended == "least level" and made.taken < _LEAST_RUN:
            return False
    return False


def _write(
    steps: StepList, pumping: Pumping, pumps: frozenset[str], made: Round, topped_up: bool, opening: str
) -> None:
    """One run as a step."""
    if made.taken < _LEAST_RUN and made.ended != "stalled":
        return
    words, ids = steps.words, tuple(pump for pump in pumping.priming.pumps if pump in pumps)
    vessel = steps.filling.vessels[0]
    least = pumping.least_level_with(pumps, vessel)
    others = sorted(pumping.priming.flooded() - pumps)
    if made.ended == "stalled":
        sentence = words.run_stalled(ids, made.seconds)
    elif topped_up and made.poured > 0:
        sentence = words.run_and_pour(ids, vessel.id, made.poured, made.seconds, least)
    elif made.ended == "least level":
        sentence = words.run(ids, vessel.id, least, made.taken, made.seconds)
    else:
        sentence = words.run_on(ids, made.seconds, others if made.ended == "flooded" else ())
    steps.pumping += made.seconds
    at = opening if made.poured > 0 else None
    opened = (opening,) if at is not None and opening not in steps.lids else ()
    steps.add("run", sentence, opened, running=ids, at=at, volume=made.poured, seconds=made.seconds)


def bleed(
    steps: StepList,
    pumping: Pumping,
    stays: FloatArray,
    opening: str,
    own: float | None,
    practice: tuple[float, float],
) -> None:
    """Run on until no more bubbles come: what the flow may clear comes out, and liquid from the vessel takes its place.

    Parameters
    ----------
    steps, pumping, opening
    stays : ndarray, shape (m,)
        Air that stays even then [m3].
    own : float or None
        The builder's time [s].
    practice : tuple of float
        [s].
    """
    pumps = tuple(pumping.priming.pumps)
    _take_up(steps, stays)
    steps.add("bleed", steps.words.bleed(own, practice, pumps), running=pumps, seconds=None)
    steps.top_up(opening)


def tilt_out(steps: StepList, tilts: TiltPlan | None, stays: FloatArray, opening: str) -> None:
    """Hold the machine as the plan of tilts says; the air that stays goes down in the same measure as there."""
    if tilts is None or tilts.trapped <= tilts.left:
        return
    for each in tilts.steps:
        _take_up(steps, stays * each.left / tilts.trapped)
        steps.add("tilt", steps.words.tilt(each.tilt, each.freed, each.spills), seconds=None, tilt=each.tilt)
    steps.top_up(opening)


def _take_up(steps: StepList, keeps: FloatArray) -> None:
    """Let liquid out of the vessels into what air has left, down to what still keeps air, shape (m,) [m3]."""
    filling = steps.filling
    outside = ~filling.in_column & filling.circuit
    wanted = np.where(outside, np.maximum(filling.liquid, filling.target - keeps), filling.liquid)
    volume = float((wanted - filling.liquid).sum())
    filling.liquid = wanted
    for vessel in filling.vessels:
        filling.put(vessel, filling.volume_of(vessel) - volume / len(filling.vessels))
