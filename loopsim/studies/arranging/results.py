"""What the study of arrangements answers with. SI throughout, temperatures in degrees Celsius."""

from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple

from loopsim.build import Build, Layout
from loopsim.studies.arranging.plans import Plan
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.results import Finding

__all__ = ["Arrangement", "Arrangements", "Looking"]

Stage = Literal["leading tubes", "estimating", "drawing"]


@dataclass(frozen=True)
class Arrangement:
    """One way to join the parts, drawn and solved.

    Attributes
    ----------
    words : str
        ``"Processor → (Graphics 1 ‖ Graphics 2) → Radiator"``: → is after, ‖ is beside.
    turned : tuple of str
        Names of the blocks and radiators that liquid passes the other way than drawn.
    build : Build
        The build with this layout in it; its parts stand where they did.
    layout_name : str
    heat : HeatPoint
        Solved in the load case looked at.
    tube : float
        All tube of the layout [m].
    fittings : int
        Tees and other fittings, elbows at corners of tubes included.
    high_points : int
        Places in which air collects when the layout is filled.
    keeps_air : int
        Those of them that the running flow does not clear for sure.
    problems : tuple of Finding
        What does not fit.
    plan : Plan or None
        What it was drawn from; None for the layout as the builder has drawn it.
    """

    words: str
    turned: tuple[str, ...]
    build: Build
    layout_name: str
    heat: HeatPoint
    tube: float
    fittings: int
    high_points: int
    keeps_air: int
    problems: tuple[Finding, ...]
    plan: Plan | None = None

    @property
    def layout(self) -> Layout:
        """The layout itself."""
        return self.build.layout(self.layout_name)

    @property
    def flow(self) -> float:
        """Of the loop [m3/s]."""
        return self.heat.point.loop_flow

    @property
    def margin(self) -> float | None:
        """Of the warmest component to its limit [K]; None where nothing has a limit, or the heat has no way out."""
        return None if self.heat.warmest is None else self.heat.warmest.margin

    @cached_property
    def is_sound(self) -> bool:
        """True if it fits and every component holds its limit."""
        return not self.problems and all(component.holds for component in self.heat.components)


class Looking(NamedTuple):
    """How far a search is, and what it has just found.

    Attributes
    ----------
    stage : str
        ``"leading tubes"`` between ports, ``"estimating"``, ``"drawing"`` and solving.
    done, of : int
        Steps of this stage.
    found : Arrangement or None
        The first is the layout as drawn; a plan that joins it as it is joined already is not found once more.
    no_way : bool
        True for a plan that could not be drawn.
    """

    stage: Stage
    done: int
    of: int
    found: Arrangement | None = None
    no_way: bool = False


@dataclass(frozen=True)
class Arrangements:
    """The outcome of a search.

    Attributes
    ----------
    as_drawn : Arrangement
    best : tuple of Arrangement
        The first first, see `ranked`.
    tried : int
        Arrangements that were estimated.
    drawn : int
        Those of them that could be drawn and were solved.
    not_drawn : int
        Those for which a tube found no way, or a tee no place.
    """

    as_drawn: Arrangement
    best: tuple[Arrangement, ...]
    tried: int
    drawn: int
    not_drawn: int
