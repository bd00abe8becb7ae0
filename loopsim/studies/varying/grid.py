"""The points of a sweep, cut into chunks of a fixed size, each solved from the same start whoever has it."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import islice, product
from typing import Any

import numpy as np

from loopsim.build import Build
from loopsim.studies.chunks import Columns
from loopsim.studies.failing.bearable import at_rest
from loopsim.studies.failing.catalogue import Situation
from loopsim.studies.figures import figures_of
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.varying.parameter import Parameter, parameter
from loopsim.studies.varying.results import SweepPoint

__all__ = ["CHUNK", "Grid"]

CHUNK = 8  # points: each is solved from the one before it

_VALUES, _RESTS, _WARMEST = "values", "at rest", "warmest"  # columns beside the figures, whose names end in units


@dataclass(frozen=True)
class Grid:
    """All points over one or two numbers; calling it with a chunk's number solves the points of that chunk.

    Attributes
    ----------
    build : Build
    axes : tuple of (str, tuple of float)
        References of the numbers, and the values of each; the last varies fastest.
    layout, case : str
    stopped : frozenset of str
        Ids of pumps and fans without power.
    """

    build: Build
    axes: tuple[tuple[str, tuple[float, ...]], ...]
    layout: str
    case: str
    stopped: frozenset[str]

    @property
    def options(self) -> list[Any]:
        """What the points follow from, beside the build, as plain values."""
        return [self.axes, self.layout, self.case, sorted(self.stopped)]

    @property
    def chunks(self) -> int:
        """How many chunks there are."""
        return -(-int(np.prod([len(values) for _, values in self.axes])) // CHUNK)

    def __call__(self, number: int) -> Columns:
        """Columns of one chunk: values of the numbers, whether it comes to rest, the warmest component, figures."""
        some = islice(product(*(values for _, values in self.axes)), number * CHUNK, (number + 1) * CHUNK)
        return _columns([*self._solved(some)])

    def points_of(self, columns: Columns) -> Iterator[SweepPoint]:
        """The points of one chunk."""
        keys = [key for key in columns if key not in (_VALUES, _RESTS, _WARMEST)]
        for row, values in enumerate(columns[_VALUES].tolist()):
            figures = {key: _none_if_unknown(float(columns[key][row])) for key in keys if columns[_RESTS][row]}
            yield SweepPoint(tuple(values), figures, str(columns[_WARMEST][row]))

    @cached_property
    def _parameters(self) -> tuple[Parameter, ...]:
        return tuple(parameter(self.build, reference, self.layout, self.case) for reference, _ in self.axes)

    def _solved(self, some: Iterator[tuple[float, ...]]) -> Iterator[SweepPoint]:
        near: HeatPoint | None = None
        for values in some:
            changed = self.build
            for each, value in zip(self._parameters, values, strict=True):
                changed = each.put(changed, value)
            heat = at_rest(Situation(changed, self.layout, self.stopped), self.case, near)
            near = heat or near
            warmest = heat.warmest.name if heat is not None and heat.warmest is not None else ""
            yield SweepPoint(values, {} if heat is None else figures_of(heat), warmest)


def _columns(points: list[SweepPoint]) -> Columns:
    keys = list(dict.fromkeys(key for point in points for key in point.figures))
    return {
        _VALUES: np.array([point.values for point in points]),
        _RESTS: np.array([bool(point.figures) for point in points]),
        _WARMEST: np.array([point.warmest for point in points], dtype=str),
        **{key: np.array([_number(point.figures.get(key)) for point in points]) for key in keys},
    }


def _number(value: float | None) -> float:
    return float("nan") if value is None else value


def _none_if_unknown(value: float) -> float | None:
    return None if np.isnan(value) else value
