"""What the study of the course in time answers with. SI throughout, temperatures in degrees Celsius."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build, Layout, LoadCase
from loopsim.solve import Course
from loopsim.studies.sentence import Sentence, datum, quantity
from loopsim.studies.words import duration, listed

__all__ = ["Boiling", "ComponentCourse", "Crossing", "Transient"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ComponentCourse:
    """One component against time.

    Attributes
    ----------
    part : str
        Id of the block, or of the air-cooled part.
    name : str
        As in `ComponentHeat`.
    heat : float
        That it gives off [W].
    limit : float or None
        [degrees Celsius]
    cooled_by : str
        ``"coolant"`` or ``"air"``.
    temperature : ndarray, shape (t,)
        Of the component; of the air around it where air cools it [degrees Celsius].
    crosses : float or None
        When it passes its limit for the first time, 0 where it starts above it [s].
    shortest : float or None
        From its start to its limit if nothing but itself and its block (or the air of its space) took up the heat
        that enters there [s]; None without limit or heat.
    longest : float or None
        The same if the whole loop took up all heat that enters the coolant, and gave off none [s].
    """

    part: str
    name: str
    heat: float
    limit: float | None
    cooled_by: Literal["coolant", "air"]
    temperature: FloatArray
    crosses: float | None
    shortest: float | None
    longest: float | None


@dataclass(frozen=True, slots=True)
class Crossing:
    """A component at its limit: when [s], the part's id, the component's name, the limit [degrees Celsius]."""

    time: float
    part: str
    name: str
    limit: float


@dataclass(frozen=True, slots=True)
class Boiling:
    """Coolant at its boiling point: when [s], id and name of the part or tube run, boiling point [degrees Celsius]."""

    time: float
    part: str
    name: str
    temperature: float


@dataclass(frozen=True)
class Transient:
    """The course of a layout in time after switching on, or after some parts have stopped.

    Attributes
    ----------
    build : Build
    layout : Layout
    case : LoadCase
    stopped : frozenset of str
        Ids of the pumps and fans that stop at time 0.
    from_cold : bool
        True where all starts at the room's temperature; else at rest with all parts running.
    room : float
        [degrees Celsius]
    time : ndarray, shape (t,)
        From 0, closer at the start; the last is where boiling ends the run, or what was asked for [s].
    components : tuple of ComponentCourse
        Those that reach their limit first, then by the margin at the end.
    streams : mapping of str to ndarray, shape (t,)
        Temperature at which the coolant leaves each part and tube run; where it stands, its own [degrees Celsius].
    vessels : mapping of str to ndarray, shape (t,)
        Temperature of the coolant in each vessel [degrees Celsius].
    spaces : mapping of str to ndarray, shape (t,)
        Of the air in each space but the room [degrees Celsius].
    boils : Boiling or None
        What ended the run.
    settled : float or None
        When every temperature had no more than a twentieth left of the longest way that any had to go [s]; None if
        that does not happen within the run, or there is no rest.
    course : Course
        The integration that all this was read from.
    """

    build: Build
    layout: Layout
    case: LoadCase
    stopped: frozenset[str]
    from_cold: bool
    room: float
    time: FloatArray
    components: tuple[ComponentCourse, ...]
    streams: Mapping[str, FloatArray]
    vessels: Mapping[str, FloatArray]
    spaces: Mapping[str, FloatArray]
    boils: Boiling | None
    settled: float | None
    course: Course

    @property
    def crossings(self) -> tuple[Crossing, ...]:
        """Components at their limits, in the order of time."""
        return tuple(
            Crossing(each.crosses, each.part, each.name, each.limit)
            for each in self.components
            if each.crosses is not None and each.limit is not None
        )

    @property
    def first(self) -> Crossing | Boiling | None:
        """What happens first: a component at its limit, or coolant that boils; None if all stays cool."""
        events: list[Crossing | Boiling] = [*self.crossings[:1], *([self.boils] if self.boils else [])]
        return min(events, key=lambda event: event.time, default=None)

    @property
    def time_to_limit(self) -> float | None:
        """Time until the first limit is reached, or coolant boils [s]; None if neither happens in the run."""
        return None if self.first is None else self.first.time

    @property
    def sentence(self) -> Sentence:
        """The answer in words."""
        return Sentence(f"{self._what_happens}: {'; '.join(self._answers())}.")

    @property
    def _what_happens(self) -> str:
        names = [self.build.part(part_id).name for part_id in self.layout.placements if part_id in self.stopped]
        out = f"{listed(names)} stopped" if names else ""
        return ", ".join(each for each in ("From cold" if self.from_cold else "", out) if each) or "All running"

    def _answers(self) -> Iterator[str]:
        if self.components and self.components[0].crosses is not None:
            yield _limit_words(self.components[0])
        if self.boils is not None:
            at = quantity(self.boils.temperature, "c")
            yield f"the coolant in {self.boils.name} boils {_after(self.boils.time)}, at {at}"
        elif self.settled:
            yield f"95 % of the way to rest is made {_after(self.settled)}"
        if self.first is None:
            yield f"no limit is reached within {duration(float(self.time[-1]))}{_nearest(self.components)}"


def _limit_words(component: ComponentCourse) -> str:
    of = f"the air around {component.name}" if component.cooled_by == "air" else component.name
    limit = f"its limit of {datum(component.limit or 0.0, 'c')}"  # what crosses one has one
    if component.crosses == 0:
        return f"{of} is above {limit} from the start"
    words = f"{of} reaches {limit} {_after(component.crosses or 0.0)}"
    alone = "the air alone" if component.cooled_by == "air" else "its block alone"
    parts = [(alone, component.shortest), ("the whole loop, giving off nothing,", component.longest)]
    bounds = [f"{what} would take {duration(time)}" for what, time in parts if time is not None]
    return f"{words} ({', '.join(bounds)})" if bounds else words


def _nearest(components: tuple[ComponentCourse, ...]) -> str:
    margins = [(each.limit - float(each.temperature.max()), each.name) for each in components if each.limit is not None]
    if not margins:
        return ""
    margin, name = min(margins)
    return f", {name} comes nearest with {quantity(margin, 'k', 1)} left"


def _after(time: float) -> str:
    return "at once" if time == 0 else f"after {duration(time)}"
