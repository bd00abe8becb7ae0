"""Where a port to bleed, drain or fill through helps most, and the edit that puts it there."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout
from loopsim.build.edits import Edit
from loopsim.build.service_ports import ServicePort, add_service_port, service_spot
from loopsim.errors import SketchError
from loopsim.geometry import Spot
from loopsim.geometry.reshape import Point
from loopsim.network import HeightGraph, Pocket, height_graph, volume_above
from loopsim.parts import BleedPort, DrainPort, FillPort
from loopsim.studies.fill.bleeding import INSIDE, opened_words
from loopsim.studies.fill.drain import drain
from loopsim.studies.fill.places import millilitres, millimetres, opening_places, where
from loopsim.studies.fill.results import HighPoint, Where
from loopsim.studies.fill.settling import Settling
from loopsim.units import from_si, to_si

__all__ = ["PortProposal", "bleed_proposal", "drain_proposal", "fill_proposal", "tube_reaches"]

FloatArray = NDArray[np.float64]

MILLILITRE = 1e-6  # a gain of less is none [m3]


@dataclass(frozen=True, slots=True)
class PortProposal:
    """A port that would be put into a run.

    Attributes
    ----------
    edit : Edit
        Puts it there.
    port : str
        Its id in that build.
    gain : float
        Of a bleed port, air that it lets out when opened; of a drain port, liquid that leaves through it more than
        before [m3]; of a fill port, height of its opening [m].
    sentence : str
        Where it would sit and what it brings.
    """

    edit: Edit
    port: str
    gain: float
    sentence: str

    @property
    def helps(self) -> bool:
        """False where it would bring nothing."""
        return self.gain >= MILLILITRE


@dataclass(frozen=True, slots=True)
class _Trial:
    edit: Edit
    port: str
    run: str


def tube_reaches(build: Build, layout: Layout, graph: HeightGraph, heights: FloatArray, pocket: Pocket) -> bool:
    """True if a bleed port in a tube at a pocket of air would let some of it out: quick, for every redraw of the map.

    It tells whether `bleed_proposal` will find a port that helps, without trying one.

    Parameters
    ----------
    build, layout
    graph : HeightGraph
        Of the layout.
    heights : ndarray, shape (n,)
        Of its places, as the machine is held [m].
    pocket : Pocket
    """
    inside = set(pocket.above_sill(heights))
    rising = {graph.items[passage] for place in inside for passage, _ in graph.passages_at[place]}
    if not rising & layout.runs_by_id.keys():
        return False  # all of it sits inside a part
    near = (each for each in _beside(build, layout, where(graph, build, layout, pocket.top)) if each[0] in rising)
    spots = [spot for run_id, at in near for spot in _spots(build, layout, run_id, at)]
    highest = max((to_si(height, "mm") for _, _, height in spots), default=pocket.sill)
    mine = np.isin(graph.ends, list(pocket.places)).any(axis=1)
    above = volume_above(graph.ends[mine], heights, graph.liquid[mine], max(highest, pocket.sill))
    return pocket.volume - float(above.sum()) >= MILLILITRE


def _spots(build: Build, layout: Layout, run_id: str, at: Point) -> Iterator[Spot]:
    with suppress(SketchError):  # no room here
        yield service_spot(build, layout, BleedPort, run_id, at)


def bleed_proposal(build: Build, layout_name: str, high: HighPoint) -> PortProposal | None:
    """The bleed port near a high point that lets out most air; None if no run there has room for one.

    Candidates are the run of the high point, or every run that ends at its part, at the port and at its highest place.
    Every high point is full of air before.
    """
    layout = build.layout(layout_name)
    before = _air(build, layout, [])
    trials = [*_trials(build, layout, BleedPort, _beside(build, layout, high.at))]
    left = [_air(each.edit.build, each.edit.build.layout(layout_name), [each.port]) for each in trials]
    gains = [0.0 if high.bled_while == "never" else before - each for each in left]
    return _best(build, layout, trials, gains, partial(_bleed_sentence, high))


def drain_proposal(build: Build, layout_name: str, low: Where | None = None) -> PortProposal | None:
    """The drain port that lets out most liquid, near a low point or anywhere; None if no run has room for one."""
    layout = build.layout(layout_name)
    before = _drained(build, layout_name, [])
    places = _ends_of_height(build, layout, lowest=True) if low is None else [*_beside(build, layout, low, lowest=True)]
    trials = [*_trials(build, layout, DrainPort, places)]
    gains = [_drained(each.edit.build, layout_name, [each.port]) - before for each in trials]
    return _best(build, layout, trials, gains, _drain_sentence)


def fill_proposal(build: Build, layout_name: str) -> PortProposal | None:
    """The fill port whose opening stands highest; None if no run has room for one."""
    layout = build.layout(layout_name)
    places = [(run.id, spot[:2]) for run in layout.runs for spot in build.run_path(layout, run).spots]
    trials = [*_trials(build, layout, FillPort, places)]
    heights = [_opening_height(each, layout_name) for each in trials]
    return _best(build, layout, trials, heights, _fill_sentence)


def _beside(build: Build, layout: Layout, at: Where, lowest: bool = False) -> Iterator[tuple[str, Point]]:
    """Runs, each with places in plan [mm], from which a port gets at a place."""
    place = from_si(at.x, "mm"), from_si(at.y, "mm")
    if at.item in layout.runs_by_id:
        yield at.item, place
        return
    near = [run for run in layout.runs if at.item in (run.start.partition(".")[0], run.end.partition(".")[0])]
    for run in near:
        for end in (run.start, run.end):
            if end.partition(".")[0] == at.item:
                yield run.id, build.port_spot(layout, end)[:2]
    yield from (each for each in _ends_of_height(build, layout, lowest) if each[0] in {run.id for run in near})


def _ends_of_height(build: Build, layout: Layout, lowest: bool) -> list[tuple[str, Point]]:
    """The highest or lowest corner or port of every run."""
    found = []
    for run in layout.runs:
        spots = build.run_path(layout, run).spots
        spot = min(spots, key=lambda each: each.height_mm if lowest else -each.height_mm)
        found.append((run.id, (spot.x_mm, spot.y_mm)))
    return found


def _trials(build: Build, layout: Layout, kind: ServicePort, places: Iterable[tuple[str, Point]]) -> Iterator[_Trial]:
    for run_id, at in places:
        try:
            edit, port = add_service_port(build, layout.name, kind, run_id, at)
        except SketchError:
            continue  # no room here
        yield _Trial(edit, port, run_id)


def _best(
    build: Build, layout: Layout, trials: Sequence[_Trial], gains: Sequence[float], say: Callable[[str, float], str]
) -> PortProposal | None:
    if not trials:
        return None
    trial, gain = max(zip(trials, gains, strict=True), key=lambda each: round(each[1], 9))
    where = f"in the tube from {build.run_name(layout.run(trial.run))}"
    return PortProposal(trial.edit, trial.port, gain, say(where, gain))


def _air(build: Build, layout: Layout, opened: Sequence[str]) -> float:
    """What all high points keep with the vessels' lids and these openings open, nothing running [m3]."""
    graph = height_graph(build, layout).at_rest
    openings = [*graph.opened("vented"), *opening_places(graph, layout, opened)]
    return sum(Settling(graph, graph.heights(), openings).full().values())


def _drained(build: Build, layout_name: str, more: Sequence[str]) -> float:
    """What leaves by all drain ports [m3]; `more` are among them, if there are any."""
    has_drain = any(isinstance(build.part(each), DrainPort) for each in build.layout(layout_name).placements)
    return drain(build, layout_name).drained if has_drain or more else 0.0


def _opening_height(trial: _Trial, layout_name: str) -> float:
    layout = trial.edit.build.layout(layout_name)
    graph = height_graph(trial.edit.build, layout)
    (opening,) = opening_places(graph, layout, [trial.port])
    return float(graph.spots[opening, 2])


def _bleed_sentence(high: HighPoint, where: str, gain: float) -> str:
    if high.bled_while == "never":
        return f"a bleed port {where} would let air in: it lies above the vessel's level"
    if gain < MILLILITRE:
        return f"a bleed port {where} would let none of this air out; {INSIDE}"
    return f"a bleed port {where} lets out {millilitres(gain)} when it is opened {opened_words(high.bled_while)}"


def _drain_sentence(where: str, gain: float) -> str:
    if gain < MILLILITRE:
        return f"a drain port {where} would let out nothing more"
    return f"a drain port {where} lets out {millilitres(gain)} more"


def _fill_sentence(where: str, height: float) -> str:
    return f"a fill port {where}, its opening {millimetres(height)} above the floor"
