"""Steps of a fill as they are written down, each with the moment at its end."""

from collections.abc import Sequence

from loopsim.build import Build, BuildCoolant, Layout
from loopsim.network import LEVEL, Tilt
from loopsim.studies.fill.places import where
from loopsim.studies.fill.plan_results import FillAction, FillStep
from loopsim.studies.fill.plan_words import PlanWords
from loopsim.studies.fill.pouring import HAND_FLOW, funnel_flow
from loopsim.studies.fill.simulate import Filling

__all__ = ["StepList"]

WORTH_A_STEP = 0.5e-6  # less is not topped up [m3]


class StepList:
    """The plan while it is written, and what it sums up.

    Parameters
    ----------
    build, layout
    filling : Filling
        Which it follows.
    source : int
        The opening into which the first liquid goes.
    coolant : BuildCoolant
        Of the circuit.
    """

    def __init__(self, build: Build, layout: Layout, filling: Filling, source: int, coolant: BuildCoolant) -> None:
        self.build, self.layout, self.filling, self.source, self.coolant = build, layout, filling, source, coolant
        self.words = PlanWords(build, layout)
        self.steps: list[FillStep] = []
        self.lids = {filling.graph.names[vessel.top] for vessel in filling.vessels}
        self.pouring = self.pumping = 0.0
        self.top_ups = 0
        filling.note(0)

    @property
    def next(self) -> int:
        """Number of the step that comes next."""
        return len(self.steps) + 1

    def add(
        self,
        action: FillAction,
        sentence: str,
        opened: tuple[str, ...] = (),
        shut: tuple[str, ...] = (),
        running: tuple[str, ...] = (),
        at: str | None = None,
        volume: float = 0.0,
        seconds: float | None = 0.0,
        level: float | None = None,
        tilt: Tilt = LEVEL,
    ) -> None:
        """Write a step down; see `FillStep`."""
        graph, filling = self.filling.graph, self.filling
        place = None if at is None else where(graph, self.build, self.layout, graph.number[at])
        level = self.level if level is None else level
        step = (self.next, action, sentence, opened, shut, running, tilt, place, volume, seconds, level)
        filling.note(self.next)
        self.steps.append(FillStep(*step))

    @property
    def level(self) -> float:
        """Of the first vessel; without one, the height of the opening [m]."""
        filling = self.filling
        return filling.level_of(filling.vessels[0]) if filling.vessels else float(filling.heights[self.source])

    def pour_flow(self, opening: str, vents: Sequence[str] = ()) -> float:
        """How fast liquid gets into an opening: through its neck, or as fast as a hand pours [m3/s].

        Air leaves by the lids of vessels and by `vents`, else by the same neck.
        """
        if opening in self.lids:
            return HAND_FLOW
        graph = self.filling.graph
        (passage, _), *_ = graph.passages_at[graph.number[opening]]
        state = self.coolant.medium.at(self.build.ambient.temperature_c)
        return funnel_flow(
            float(graph.bore[passage]), state, air_leaves_elsewhere=bool({*self.lids, *vents} - {opening})
        )

    def run_back(self) -> None:
        """Let what was lifted sink again once the pumps stop, where the vessels have room for it."""
        trial = self.filling.twin()
        if trial.settle(()) <= trial.headroom:
            self.filling.settle(())

    def top_up(self, opening: str, running: tuple[str, ...] = ()) -> float:
        """Fill the vessels up to their levels as drawn; gives the volume, 0 where nothing worth it lacks [m3].

        `running` are the pumps that go on meanwhile.
        """
        filling = self.filling
        lacking = [max(filling.lack_of(vessel), 0.0) for vessel in filling.vessels]
        volume = float(sum(lacking))
        if volume < WORTH_A_STEP:
            return 0.0
        seconds = volume / self.pour_flow(opening)
        for vessel, each in zip(filling.vessels, lacking, strict=True):
            filling.pour_into(vessel, each, seconds * each / volume)
        self.pouring += seconds
        self.top_ups += 1
        sentence = self.words.top_up(filling.vessels[0].id, opening, volume, self.level)
        opened = () if opening in self.lids else (opening,)
        self.add("top up", sentence, opened, running=running, at=opening, volume=volume, seconds=seconds)
        return volume
