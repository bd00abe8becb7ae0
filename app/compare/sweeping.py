"""Sweeps of the layouts compared: what was asked, and its answer as lines or as maps."""

from collections.abc import Iterator, Mapping, Sequence
from math import nan
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from app import figures
from app.compare.line_plot import NamedLine
from app.compare.number_map import NumberMap
from app.compare.numbers import heading_of
from app.compare.subjects import Subject
from loopsim.studies import Parameter, SweepPoint, Variation, each_point
from loopsim.studies.figures import Figure
from loopsim.studies.varying import parameter
from loopsim.units import to_si

__all__ = ["Asked", "Points", "lines_of", "maps_of", "sweeps"]

FloatArray = NDArray[np.float64]
Points = Mapping[int, Sequence[SweepPoint]]  # those that are there, by the number of the layout


class Asked(NamedTuple):
    """A sweep of every layout that has the numbers, one or two."""

    subjects: tuple[Subject, ...]
    variations: tuple[Variation, ...]
    parameters: tuple[Parameter, ...]

    @property
    def headings(self) -> tuple[str, ...]:
        """What is varied, in the builder's units."""
        return tuple(heading_of(each) for each in self.parameters)

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
        x = _in_own([each.values[0] for each in found], asked.parameters[0])
        lines.append(NamedLine(subject.title, x, _values(found, figure)))
    return lines


def maps_of(asked: Asked, points: Points, figure: Figure) -> list[NumberMap]:
    """A figure of every layout over the two numbers varied, all on one scale so that they can be compared."""
    fields = [_filled(_values(points.get(number, ()), figure), asked.shape) for number in range(len(asked.subjects))]
    known = np.concatenate([field[np.isfinite(field)] for field in fields])
    ends = (float(known.min()), float(known.max())) if known.size else (nan, nan)
    x, y = (_in_own(each.values, of) for each, of in zip(asked.variations, asked.parameters, strict=True))
    across, up = np.argsort(x), np.argsort(y)  # a range may be typed from high to low
    captions = (*asked.headings, figures.heading(figure.label, figure.unit))
    return [
        NumberMap(x[across], y[up], field[np.ix_(across, up)], captions, ends, _now(asked, each))
        for each, field in zip(asked.subjects, fields, strict=True)
    ]


def _now(asked: Asked, subject: Subject) -> tuple[float, ...]:
    """What the numbers are in a layout; not a number where one is left empty."""
    found: list[Parameter] = [parameter(subject.build, each.reference, subject.layout) for each in asked.variations]
    return tuple(float(_in_own([nan if each.value is None else each.value], each)[0]) for each in found)


def _filled(values: FloatArray, shape: tuple[int, ...]) -> FloatArray:
    """The points so far in their places, the last number varying fastest; not a number where none is yet."""
    field = np.full(shape, nan)
    field.flat[: len(values)] = values
    return field


def _values(points: Sequence[SweepPoint], figure: Figure) -> FloatArray:
    """A figure in the builder's unit, shape (n,); not a number where there is none."""
    known = (each.figures.get(figure.key) for each in points)
    values = np.array([nan if value is None else value for value in known])
    return figures.all_in_own(values, figure.unit) if figure.unit else values


def _in_own(values: Sequence[float], parameter: Parameter) -> FloatArray:
    """Values of a number, as its field has them, in the builder's unit, shape (n,)."""
    unit, given = parameter.field.unit, np.array(values, dtype=float)
    return figures.all_in_own(to_si(1.0, unit) * given, unit) if unit else given
