"""The coolant's temperature along the main stream: a staircase up through the blocks and down through the radiators."""

from dataclasses import dataclass

from loopsim.studies.grade_line import grade_line
from loopsim.studies.grade_results import GradeLine, GradeStep
from loopsim.studies.heat.results import NEVER, HeatPoint

__all__ = ["CoolantStep", "Staircase", "staircases"]


@dataclass(frozen=True, slots=True)
class CoolantStep:
    """A part or tube run on the way.

    Attributes
    ----------
    id, name, kind : str
        `kind` is the part's kind, or ``"tube_run"``.
    start, end : float
        Distances along the stream [m].
    enters, leaves : float
        Temperature of the coolant where it comes in and where it goes on, mixed with whatever joins it there
        [degrees Celsius].
    """

    id: str
    name: str
    kind: str
    start: float
    end: float
    enters: float
    leaves: float

    @property
    def change(self) -> float:
        """By how much the coolant warms [K]; negative where it cools."""
        return self.leaves - self.enters


@dataclass(frozen=True)
class Staircase:
    """One circuit's main stream, from what fixes its pressure along the flow and back to it."""

    steps: tuple[CoolantStep, ...]
    room: float

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """Distance [m] and temperature [degrees Celsius] at every port on the way."""
        ends = ((step.start, step.enters) for step in self.steps)
        return (*ends, (self.steps[-1].end, self.steps[-1].leaves))

    @property
    def warmest(self) -> CoolantStep:
        """The step that the coolant leaves warmest."""
        return max(self.steps, key=lambda step: step.leaves)

    @property
    def coldest(self) -> CoolantStep:
        """The step that the coolant leaves coldest."""
        return min(self.steps, key=lambda step: step.leaves)


def staircases(heat: HeatPoint, through: str | None = None) -> tuple[Staircase, ...]:
    """Coolant temperature against distance along the main stream of every circuit in which something flows.

    Parameters
    ----------
    heat : HeatPoint
    through : str, optional
        Id of a part or tube run through which its circuit's way is to lead, see `grade_line`.

    Returns
    -------
    tuple of Staircase
        Without circuits whose heat has no way out, for their temperature never settles.

    Raises
    ------
    SketchError
        If `through` is neither placed nor drawn in this layout.
    """
    made = (_staircase(heat, line) for line in grade_line(heat.point, through))
    return tuple(each for each in made if all(abs(at) <= NEVER for _, at in each.corners))


def _staircase(heat: HeatPoint, line: GradeLine) -> Staircase:
    return Staircase(tuple(_step(heat, step) for step in line.steps), heat.room)


def _step(heat: HeatPoint, step: GradeStep) -> CoolantStep:
    enters, leaves = (heat.ports[port] for port in step.ports)
    start, end = float(step.distance[0]), float(step.distance[-1])
    return CoolantStep(step.id, step.name, step.kind, start, end, enters, leaves)
