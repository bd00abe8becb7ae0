"""Where a port to bleed, drain or fill through helps most, and the edit that puts it there."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from loopsim.build import Build, Layout
from loopsim.build.edits import Edit
from loopsim.build.service_ports import ServicePort, add_service_port
from loopsim.errors import SketchError
from loopsim.geometry.reshape import Point
from loopsim.network import height_graph
from loopsim.parts import BleedPort, DrainPort, FillPort
from loopsim.studies.fill.bleeding import INSIDE, opened_words
from loopsim.studies.fill.drain import drain
from loopsim.studies.fill.drain_plan import drain_plan
from loopsim.studies.fill.places import millilitres, millimetres, opening_places
from loopsim.studies.fill.port_spots import MILLILITRE, beside, ends_of_height
from loopsim.studies.fill.results import HighPoint, Where
from loopsim.studies.fill.settling import Settling
from loopsim.studies.sentence import read_marks

__all__ = ["PortProposal", "bleed_proposal", "drain_proposal", "fill_proposal"]


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

    def __post_init__(self) -> None:
        read_marks(self, "sentence")

    @property
    def helps(self) -> bool:
        """False where it would bring nothing."""
        return self.gain >= MILLILITRE


@dataclass(frozen=True, slots=True)
class _Trial:
    edit: Edit
    port: str
    run: str  # its name


def bleed_proposal(build: Build, layout_name: str, high: HighPoint) -> PortProposal | None:
    """The bleed port near a high point that lets out most air; None if no run there has room for one.

    Candidates are the run of the high point, or every run that ends at its part, at the port and at its highest place.
    Every high point is full of air before.
    """
    layout = build.layout(layout_name)
    before = _air(build, layout, [])
    trials = [*_trials(build, layout, BleedPort, beside(build, layout, high.at))]
    left = [_air(each.edit.build, each.edit.build.layout(layout_name), [each.port]) for each in trials]
    gains = [0.0 if high.bled_while == "never" else before - each for each in left]
    return _proposal(trials, gains, partial(_bleed_sentence, high))


def drain_proposal(build: Build, layout_name: str, low: Where | None = None) -> PortProposal | None:
    """The drain port that lets out most liquid, near a low point or anywhere; None if no run has room for one.

    It is sought with the machine level and full; its gain is that of the whole drain plan, tilts and all.
    """
    layout = build.layout(layout_name)
    places = ends_of_height(build, layout, lowest=True) if low is None else [*beside(build, layout, low, lowest=True)]
    trials = [*_trials(build, layout, DrainPort, places)]
    if not trials:
        return None
    drained = [drain(each.edit.build, layout_name).drained for each in trials]
    best = trials[_first_of_most(drained)]
    before, after = _planned(build, layout_name), _planned(best.edit.build, layout_name)
    return _proposal([best], [after - before], partial(_drain_sentence, after))


def _planned(build: Build, layout_name: str) -> float:
    """What runs off by the drain plan; nothing without an opening [m3]."""
    try:
        return drain_plan(build, layout_name).drain.drained
    except SketchError:
        return 0.0


def fill_proposal(build: Build, layout_name: str) -> PortProposal | None:
    """The fill port whose opening stands highest; None if no run has room for one."""
    layout = build.layout(layout_name)
    places = [(run.id, spot[:2]) for run in layout.runs for spot in build.run_path(layout, run).spots]
    trials = [*_trials(build, layout, FillPort, places)]
    heights = [_opening_height(each, layout_name) for each in trials]
    return _proposal(trials, heights, _fill_sentence)


def _trials(build: Build, layout: Layout, kind: ServicePort, places: Iterable[tuple[str, Point]]) -> Iterator[_Trial]:
    for run_id, at in places:
        try:
            edit, port = add_service_port(build, layout.name, kind, run_id, at)
        except SketchError:
            continue  # no room here
        yield _Trial(edit, port, build.run_name(layout.run(run_id)))


def _proposal(
    trials: Sequence[_Trial], gains: Sequence[float], say: Callable[[str, float], str]
) -> PortProposal | None:
    """The trial that brings most."""
    if not trials:
        return None
    number = _first_of_most(gains)
    trial, gain = trials[number], gains[number]
    return PortProposal(trial.edit, trial.port, gain, say(f"in the tube from {trial.run}", gain))


def _first_of_most(values: Sequence[float]) -> int:
    return max(range(len(values)), key=lambda number: round(values[number], 9))


def _air(build: Build, layout: Layout, opened: Sequence[str]) -> float:
    """What all high points keep with the vessels' lids and these openings open, nothing running [m3]."""
    graph = height_graph(build, layout).at_rest
    openings = [*graph.opened("vented"), *opening_places(graph, layout, opened)]
    return sum(Settling(graph, graph.heights(), openings).full().values())


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


def _drain_sentence(drained: float, where: str, gain: float) -> str:
    if gain < MILLILITRE:
        return f"a drain port {where} would let out nothing more"
    return f"with a drain port {where} {millilitres(drained)} run off, {millilitres(gain)} more"


def _fill_sentence(where: str, height: float) -> str:
    return f"a fill port {where}, its opening {millimetres(height)} above the floor"
