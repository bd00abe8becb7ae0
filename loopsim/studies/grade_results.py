"""What a grade line says: head and pressure along it, its suction, and where it lies below the tube."""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loopsim.parts import part_of
from loopsim.studies.sentence import Sentence, quantity
from loopsim.units import GRAVITY, from_si

__all__ = ["GradeLine", "GradePoint", "GradeStep", "Stretch"]

FloatArray = NDArray[np.float64]

_BELOW_PA = -1.0  # gauge pressures above it are not below the room's; rounding errors are smaller


@dataclass(frozen=True)
class GradeStep:
    """A part or tube run on the line.

    Attributes
    ----------
    id, name, kind : str
        `kind` is the part's kind, or ``"tube_run"``.
    ports : tuple of str
        ``"part.port"`` where the liquid comes to the step, and where it goes on.
    port_names : tuple of str
        The same in words: ``"Pump A, outlet"``.
    distance : ndarray, shape (n,)
        Along the line, along the bends of a run's centre line; straight from port to port in a part [m].
    elevation : ndarray, shape (n,)
        Of the centre line above the floor [m].
    piezometric_head, total_head : ndarray, shape (n,)
        Static gauge pressure over weight, plus elevation; the same with the velocity head [m]. True at the ports; what
        a run loses is spread evenly over its length.
    is_running_pump : bool
    """

    id: str
    name: str
    kind: str
    ports: tuple[str, str]
    port_names: tuple[str, str]
    distance: FloatArray
    elevation: FloatArray
    piezometric_head: FloatArray
    total_head: FloatArray
    is_running_pump: bool = False

    @property
    def start(self) -> float:
        """Distance at which it begins [m]."""
        return float(self.distance[0])

    @property
    def end(self) -> float:
        """Distance at which it ends [m]."""
        return float(self.distance[-1])


@dataclass(frozen=True, slots=True)
class GradePoint:
    """The line at one port, see `GradeStep`; `pressure` is static and gauge, `absolute` None where not known [Pa]."""

    port: str
    part: str
    name: str
    distance: float
    elevation: float
    piezometric_head: float
    total_head: float
    pressure: float
    absolute: float | None


@dataclass(frozen=True, slots=True)
class Stretch:
    """From one distance along the line to another [m]; `steps` are the ids of what lies there."""

    start: float
    end: float
    steps: tuple[str, ...]


@dataclass(frozen=True)
class GradeLine:
    """The main stream of one circuit, or the one through a chosen part.

    Attributes
    ----------
    steps : tuple of GradeStep
        Parts and runs by turns, in the direction of the flow. The first is the part that fixes the pressure, or the
        one from which that part hangs.
    density : float
        [kg/m3]
    held_by : str or None
        Id of the vessel that fixes the pressure; without one only differences of head have a meaning.
    ambient_pressure : float
        Of the room, absolute [Pa].
    """

    steps: tuple[GradeStep, ...]
    density: float
    held_by: str | None
    ambient_pressure: float

    @cached_property
    def distance(self) -> FloatArray:
        """All steps in one array, shape (n,) [m]; each port between two steps stands there twice."""
        return np.concatenate([step.distance for step in self.steps])

    @cached_property
    def elevation(self) -> FloatArray:
        """Of the centre line above the floor, shape (n,) [m]."""
        return np.concatenate([step.elevation for step in self.steps])

    @cached_property
    def piezometric_head(self) -> FloatArray:
        """Shape (n,) [m]."""
        return np.concatenate([step.piezometric_head for step in self.steps])

    @cached_property
    def total_head(self) -> FloatArray:
        """Shape (n,) [m]."""
        return np.concatenate([step.total_head for step in self.steps])

    @property
    def pressure(self) -> FloatArray:
        """Static gauge pressure, shape (n,) [Pa]."""
        return self.density * GRAVITY * (self.piezometric_head - self.elevation)

    @property
    def length(self) -> float:
        """[m]"""
        return float(self.distance[-1])

    @cached_property
    def points(self) -> tuple[GradePoint, ...]:
        """The line at every port, where the first step is entered and wherever a step ends."""
        first = self.steps[0]
        return (self._point(first, 0), *(self._point(step, -1) for step in self.steps))

    @property
    def lowest(self) -> GradePoint:
        """The port with the lowest static pressure."""
        return min(self.points, key=lambda point: point.pressure)

    @cached_property
    def suction(self) -> Stretch | None:
        """From the vessel to the inlet of the first running pump; None without a vessel or a pump."""
        pump = next((number for number, step in enumerate(self.steps) if step.is_running_pump), 0)
        if self.held_by is None or pump == 0:
            return None
        start, end = (float(self.steps[number].distance[0]) for number in (1, pump))
        return Stretch(start, end, tuple(step.id for step in self.steps[1:pump]))

    @cached_property
    def below_atmosphere(self) -> tuple[Stretch, ...]:
        """Where the static pressure is below the room's; none where nothing fixes the pressure."""
        if self.held_by is None:
            return ()
        spans = _below(self.distance, self.pressure)
        return tuple(Stretch(start, end, self._between(start, end)) for start, end in spans)

    @property
    def sentence(self) -> Sentence:
        """Where the line lies below the tube, or how far above it stays."""
        if self.held_by is None:
            return Sentence("Nothing fixes the pressure of this circuit, so only differences of head have a meaning.")
        lowest, names = self.lowest, {step.id: step.name for step in self.steps}
        if not self.below_atmosphere:
            least = quantity(lowest.pressure, "kpa", 1)
            return Sentence(f"Nowhere below the room's pressure; lowest at {lowest.name}: {least}.")
        there = dict.fromkeys(names[step] for stretch in self.below_atmosphere for step in stretch.steps)
        deepest = quantity(-float(self.pressure.min()), "kpa", 2)
        return Sentence(
            f"Below the room's pressure, by up to {deepest}: {', '.join(there)}. "
            "What weeps there draws air in when the pump runs."
        )

    def at(self, distance: float) -> GradeStep:
        """The step at a distance along the line, the first or last where it lies beyond."""
        return next((step for step in self.steps if distance <= step.distance[-1]), self.steps[-1])

    def holds(self, item: str) -> bool:
        """True if a part or run lies on the line."""
        return any(step.id == item for step in self.steps)

    def _between(self, start: float, end: float) -> tuple[str, ...]:
        middle = [step.id for step in self.steps if step.distance[-1] > start and step.distance[0] < end]
        return tuple(dict.fromkeys(middle or [self.at(start).id]))

    def _point(self, step: GradeStep, at: int) -> GradePoint:
        elevation, head = float(step.elevation[at]), float(step.piezometric_head[at])
        pressure = self.density * GRAVITY * (head - elevation)
        return GradePoint(
            port=step.ports[at],
            part=part_of(step.ports[at]),
            name=step.port_names[at],
            distance=float(step.distance[at]),
            elevation=elevation,
            piezometric_head=head,
            total_head=float(step.total_head[at]),
            pressure=pressure,
            absolute=pressure + self.ambient_pressure if self.held_by is not None else None,
        )


def _below(distance: FloatArray, pressure: FloatArray) -> list[tuple[float, float]]:
    """Stretches on which the pressure is below atmosphere, to where it crosses zero between two places."""
    spans: list[tuple[float, float]] = []
    for (a, b), (p, q) in zip(pairwise(distance.tolist()), pairwise(pressure.tolist()), strict=True):
        if min(p, q) >= _BELOW_PA:
            continue
        start = a if p <= 0 else a + (b - a) * p / (p - q)
        end = b if q <= 0 else a + (b - a) * p / (p - q)
        if spans and start <= spans[-1][1]:
            spans[-1] = spans[-1][0], end
        else:
            spans.append((start, end))
    return spans


def _kpa(pressure: float) -> str:
    return f"{from_si(pressure, 'kpa'):.2f}"
