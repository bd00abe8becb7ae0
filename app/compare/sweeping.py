"""Sweeps of the layouts compared: what was asked, and its answer as lines or as maps."""

from collections.abc import Iterator, Mapping, Sequence
from math import nan
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from app.compare.line_plot import NamedLine
from app.compare.number_map import NumberMap
from app.compare.subjects import Subject
from loopsim.studies import Parameter, SweepPoint, Variation, each_point
from loopsim.studies.figures import Figure
from loopsim.studies.varying import parameter
from loopsim.units import from_si

__all__ = ["Asked", "Points", "lines_of", "maps_of", "sweeps"]

FloatArray = NDArray[np.float64]
Points = Mapping[int, Sequence[SweepPoint]]  # those that are there, by the number of the layout


class Asked(NamedTuple):
    """A sweep of every layout that has the numbers, one or two."""

    subjects: tuple[Subject, ...]
    variations: tuple[Variation, ...]
    headings: tuple[str, ...]

    @property
    def is_map(self) -> bool:
        """True if two numbers are varied."""
        return len(self.variations) > 1

    @property
    def shape(self) -> tuple[int, ...]:
        """Points along each number."""
        return tuple(len(each.values) for each in self.variations)

    @property
    def count(self) -> int:
        """Points of all layouts."""
        return len(self.subjects) * int(np.prod(self.shape))


def sweeps(asked: Asked) -> Iterator[tuple[int, SweepPoint]]:
    """The study that answers: number of the layout, and the next point of its sweep."""
    for number, subject in enumerate(asked.subjects):
        for point in each_point(subject.build, asked.variations, subject.layout):
            yield number, point


def lines_of(asked: Asked, points: Points, figure: Figure) -> list[NamedLine]:
    """A figure of every layout against the number varied."""
    lines = []
    for number, subject in enumerate(asked.subjects):
        found = points.get(number, ())
        lines.append(NamedLine(subject.title, np.array([each.values[0] for each in found]), _values(found, figure)))
    return lines


def maps_of(asked: Asked, points: Points, figure: Figure) -> list[NumberMap]:
    """A figure of every layout over the two numbers varied, all on one scale so that they can be compared."""
    fields = [_filled(_values(points.get(number, ()), figure), asked.shape) for number in range(len(asked.subjects))]
    known = np.concatenate([field[np.isfinite(field)] for field in fields])
    ends = (float(known.min()), float(known.max())) if known.size else (nan, nan)
    x, y = (np.array(each.values) for each in asked.variations)
    across, up = np.argsort(x), np.argsort(y)  # a range may be typed from high to low
    return [
        NumberMap(
            x[across], y[up], field[np.ix_(across, up)], (*asked.headings, figure.heading), ends, _now(asked, each)
        )
        for each, field in zip(asked.subjects, fields, strict=True)
    ]


def _now(asked: Asked, subject: Subject) -> tuple[float, ...]:
    """What the numbers are in a layout; not a number where one is left empty."""
    found: list[Parameter] = [parameter(subject.build, each.reference, subject.layout) for each in asked.variations]
    return tuple(nan if each.value is None else each.value for each in found)


def _filled(values: FloatArray, shape: tuple[int, ...]) -> FloatArray:
    """The points so far in their places, the last number varying fastest; not a number where none is yet."""
    field = np.full(shape, nan)
    field.flat[: len(values)] = values
    return field


def _values(points: Sequence[SweepPoint], figure: Figure) -> FloatArray:
    """A figure in the unit shown, shape (n,)."""
    return np.array([_shown(each.figures.get(figure.key), figure.unit) for each in points])


def _shown(value: float | None, unit: str) -> float:
    if value is None:
        return nan
    return from_si(value, unit) if unit else value
