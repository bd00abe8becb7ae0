"""The drain plan: what to open first, how to hold the machine, what to collect, what stays."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.errors import SketchError
from loopsim.network import LEVEL, HeightGraph, Tilt, height_graph
from loopsim.parts import CheckValve, DrainPort, part_of
from loopsim.studies.fill.air_map import air_map
from loopsim.studies.fill.drain import USUAL_TILT, drain, tilt_words
from loopsim.studies.fill.lasting_air import air_left
from loopsim.studies.fill.places import millilitres, millimetres
from loopsim.studies.fill.plan import fill_plan
from loopsim.studies.fill.plan_results import DrainPlan, DrainPlanStep, FillPlan, FillWarning
from loopsim.studies.fill.pouring import outflow_time
from loopsim.studies.fill.results import Drain, DrainStep, LowPoint, Where
from loopsim.studies.operating import operating_point
from loopsim.studies.sentence import Sentence, quantity
from loopsim.studies.words import duration, listed

__all__ = ["drain_plan", "drain_sums"]

FloatArray = NDArray[np.float64]

WORTH_A_WARNING = 2e-6  # less liquid in one low point is not spoken of [m3]


def drain_plan(
    build: Build,
    layout_name: str | None = None,
    at: Sequence[str] = (),
    most_tilt: Tilt = USUAL_TILT,
    filled: FillPlan | None = None,
) -> DrainPlan:
    """How to drain a layout step by step.

    It begins with what its fill plan leaves inside: what runs off, may be blown free and stays adds up to what was
    poured. Where that plan does not fill the loop, air is taken to stay only in high points that the flow does not
    clear.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    at : sequence of str
        Openings to be used, see `drain`.
    most_tilt : Tilt
        How far the machine may be held to each side [°].
    filled : FillPlan, optional
        Of the same layout, by which it was filled; made if not given.

    Raises
    ------
    SketchError
        If there is no such layout or opening, or none at all.
    """
    layout = build.layout(layout_name)
    air = _air(build, layout, filled)
    found = drain(build, layout.name, at, most_tilt, air=air)
    graph = height_graph(build, layout)
    steps: list[DrainPlanStep] = []
    for sentence, where, tilt, volume, seconds in _rows(build, graph, found):
        steps.append(DrainPlanStep(len(steps) + 1, sentence, where, tilt, volume, seconds))
    warnings = tuple(_warnings(build, layout, found))
    return DrainPlan(tuple(steps), found, float(air.sum()), warnings)


def drain_sums(found: Drain) -> Sentence:
    """How what is inside adds up: ``"495 mL run off, blowing may free 89 mL, 509 mL stay, of 1093 mL inside"``."""
    shares = (found.drained, found.blown_free, found.stays, found.held)
    drained, blown, stays, held = (millilitres(each) for each in shares)
    sums = f"{drained} run off, blowing may free {blown}, {stays} stay"
    return Sentence(f"{sums}, of {held} that its filling leaves inside")


def _air(build: Build, layout: Layout, filled: FillPlan | None) -> FloatArray:
    """In each passage when draining begins, shape (m,) [m3]."""
    try:
        filled = filled or fill_plan(build, layout.name)
    except SketchError:  # no opening to fill through
        filled = None
    if filled is not None and filled.is_complete:
        return filled.air
    point = operating_point(build, layout.name)
    return air_left(point, air_map(point))


_Row = tuple[str, Where | None, Tilt, float, float | None]


def _rows(build: Build, graph: HeightGraph, found: Drain) -> Iterator[_Row]:
    yield _make_ready(found), None, LEVEL, 0.0, None
    yield _let_air_in(build, graph, found), None, LEVEL, 0.0, None
    for step in found.steps:
        seconds = _time(graph, step)
        yield _open(step, seconds), step.at, step.tilt, step.volume, seconds
    if found.blown_free > WORTH_A_WARNING:
        yield _blow(found.blown_free), None, LEVEL, 0.0, None
    yield _afterwards(found), None, LEVEL, 0.0, None
    for coupling, volume in found.spill.items():
        name = build.part(coupling).name
        yield f"{name}: each parting spills about {millilitres(volume)}; cloth below", None, LEVEL, 0.0, None


def _make_ready(found: Drain) -> str:
    return (
        "Switch off and unplug the machine, let it cool, and cover what must not get wet. Have vessels for "
        f"{millilitres(found.collect)} and trays below; what has glycol in it is handed in as your local rules ask"
    )


def _let_air_in(build: Build, graph: HeightGraph, found: Drain) -> str:
    """Caps above what is drained come off first, else nothing runs."""
    used = {step.at.place for step in found.steps}
    heights = graph.heights()
    others = [name for name, kind in graph.openings.items() if kind != "open" and name not in used]
    others.sort(key=lambda name: -heights[graph.number[name]])
    names = dict.fromkeys(build.part(part_of(name)).name for name in others)
    if not names:
        return "Nothing above lets air in: liquid comes in gulps, and some stays hanging"
    return f"Open the lids and caps above, the highest first, so that air gets in: {listed(list(names))}"


def _open(step: DrainStep, seconds: float | None) -> str:
    held = "" if step.tilt == LEVEL else f", hold the machine {tilt_words(step.tilt)} towards the end"
    time = "" if seconds is None else f" in about {duration(seconds)}, an estimate"
    return f"Open {step.at.name}{held}: {millilitres(step.volume)} run off{time}"


def _time(graph: HeightGraph, step: DrainStep) -> float | None:
    """As from a vessel of even width under the mean height of all liquid; None where that lies below the opening."""
    place = graph.number[step.at.place]
    (passage, _), *_ = graph.passages_at[place]
    middle = graph.heights()[graph.ends].mean(axis=1)
    head = 2 * (float((middle * graph.liquid).sum() / graph.liquid.sum()) - step.at.height)
    return outflow_time(step.volume, float(graph.bore[passage]), head) if head > 0 else None


def _blow(blown: float) -> str:
    return (
        f"Blow through gently from the other side, wearing eye protection: about {millilitres(blown)} more may come, "
        "an estimate. Below the rated pressure of every part; never through a pump that would spin"
    )


def _afterwards(found: Drain) -> str:
    if found.left <= 0:
        return "Nothing stays. Put all caps on again"
    stays = (
        millilitres(found.stays)
        if found.blown_free <= WORTH_A_WARNING
        else (f"{millilitres(found.stays)}, or {millilitres(found.left)} without blowing,")
    )
    return (
        f"{stays} stay inside: write that on the machine, it begins to freeze at "
        f"{quantity(found.freezes_below_c, 'c')}. Put all caps on again"
    )


def _warnings(build: Build, layout: Layout, found: Drain) -> Iterator[FillWarning]:
    if not any(isinstance(build.part(each), DrainPort) for each in layout.placements):
        text = "there is no drain port: liquid leaves through other openings, or by taking the loop apart"
        yield FillWarning("no drain", text, "put a drain port at the lowest place")
    if not found.steps:
        text = "nothing runs off by gravity: every opening lies above the liquid around it"
        yield FillWarning("does not drain", text, "put a drain port at the lowest place, or draw it off with a hose")
    for part in (build.part(each) for each in layout.placements):
        if isinstance(part, CheckValve) and part.stuck == "no":
            text = f"{part.name}: nothing runs back through it, and forward only above the head that opens it"
            yield FillWarning("held back", text, "open a drain or a cap on each side of it (common practice)")
    for point in found.low_points:
        if point.volume > WORTH_A_WARNING:
            text = f"{point.name}: {millilitres(point.volume)} stay, up to {millimetres(point.level)} above the floor"
            yield FillWarning("liquid stays", text, _remedy(point), point.at)
    if found.left > WORTH_A_WARNING:
        text = f"what stays begins to freeze at {quantity(found.freezes_below_c, 'c')}, and bursts parts"
        yield FillWarning("frost", text, "store the machine where it never freezes, or fill it with a glycol mix first")


def _remedy(point: LowPoint) -> str:
    blow = ", or blow through" if point.blown_free > WORTH_A_WARNING else ""
    return f"put a drain port there, {'' if blow else 'or '}tilt further{blow}"
