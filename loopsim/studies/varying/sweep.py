"""One or two numbers of a build run through a range, everything solved at each point."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Self

import numpy as np
from numpy.typing import NDArray

from loopsim.build import Build
from loopsim.errors import SketchError
from loopsim.studies.failing.bearable import at_rest
from loopsim.studies.failing.catalogue import Situation
from loopsim.studies.figures import figures_of
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.varying.parameter import Parameter, parameter

__all__ = ["Sweep", "SweepPoint", "Variation", "each_point", "sweep", "varied"]

FloatArray = NDArray[np.float64]

MOST_POINTS = 100_000  # of a whole sweep
MOST_VARIED = 2


@dataclass(frozen=True, slots=True)
class Variation:
    """A number and the values that it takes, in the unit of its field."""

    reference: str
    values: tuple[float, ...]

    @classmethod
    def from_text(cls, text: str) -> Self:
        """From ``"item.field=from:to:n"``: n values from the first to the last at equal steps.

        Raises
        ------
        SketchError
            If the text is not of this form.
        """
        reference, equals, run = text.partition("=")
        pieces = run.split(":")
        try:
            first, last, count = float(pieces[0]), float(pieces[1]), int(pieces[2])
        except (IndexError, ValueError):
            first, last, count = np.nan, np.nan, 0
        if not equals or len(pieces) != 3 or not np.isfinite([first, last]).all() or count < 1:
            raise SketchError(
                f"vary {text!r}: write item.field=from:to:n with n at least 1, as pump.speed_percent=40:100:7"
            )
        return cls(reference, tuple(np.linspace(first, last, count).tolist()))


@dataclass(frozen=True)
class SweepPoint:
    """One point of a sweep.

    Attributes
    ----------
    values : tuple of float
        Of the varied numbers, each in the unit of its field.
    heat : HeatPoint or None
        The machine at rest there; None where it comes to no rest.
    figures : dict of str to float or None
        As `figures_of` gives them; empty without rest.
    """

    values: tuple[float, ...]
    heat: HeatPoint | None
    figures: dict[str, float | None]


@dataclass(frozen=True)
class Sweep:
    """A machine over the range of one or two numbers.

    Attributes
    ----------
    parameters : tuple of Parameter
        What is varied, one or two.
    axes : tuple of tuple of float
        The values of each.
    points : tuple of SweepPoint
        The last number varies fastest.
    """

    parameters: tuple[Parameter, ...]
    axes: tuple[tuple[float, ...], ...]
    points: tuple[SweepPoint, ...]

    def figure(self, key: str) -> FloatArray:
        """One figure as an array with one axis for each number: a curve or a map; not a number where there is none."""
        found = [point.figures.get(key) for point in self.points]
        values = np.array([np.nan if value is None else value for value in found])
        return values.reshape([len(axis) for axis in self.axes])


def sweep(
    build: Build,
    variations: Sequence[Variation],
    layout_name: str | None = None,
    case_name: str | None = None,
    stopped: Collection[str] = (),
) -> Sweep:
    """Solve a layout with flow, heat and air at every point of a grid over one or two numbers.

    Parameters
    ----------
    build : Build
    variations : sequence of Variation, length 1 or 2
    layout_name, case_name : str, optional
        The first layout and the first load case if not given.
    stopped : collection of str
        Ids of pumps and fans without power.

    Raises
    ------
    SketchError
        If there is no such layout, case, item or number; for none or more than two variations, or one twice; for more
        than 100,000 points.
    PartDataError
        If a value is not allowed.
    """
    parameters = varied(build, variations, layout_name, case_name)
    points = tuple(each_point(build, variations, layout_name, case_name, stopped))
    return Sweep(parameters, tuple(variation.values for variation in variations), points)


def each_point(
    build: Build,
    variations: Sequence[Variation],
    layout_name: str | None = None,
    case_name: str | None = None,
    stopped: Collection[str] = (),
) -> Iterator[SweepPoint]:
    """The points one by one, for whoever shows how far it is, or writes them down at once; as `sweep`."""
    parameters = varied(build, variations, layout_name, case_name)
    layout, case = build.layout(layout_name).name, build.load_case(case_name).name
    near = None
    for values in product(*(variation.values for variation in variations)):
        changed = build
        for each, value in zip(parameters, values, strict=True):
            changed = each.put(changed, value)
        heat = at_rest(Situation(changed, layout, frozenset(stopped)), case, near)
        near = heat or near
        yield SweepPoint(values, heat, {} if heat is None else figures_of(heat))


def varied(
    build: Build, variations: Sequence[Variation], layout_name: str | None, case_name: str | None
) -> tuple[Parameter, ...]:
    """The numbers behind some variations, if they make a sweep; raises as `sweep`."""
    references = [each.reference for each in variations]
    if not 1 <= len(references) <= MOST_VARIED or len(set(references)) < len(references):
        raise SketchError(f"sweep: vary one number or two different ones, got {', '.join(references) or 'none'}")
    count = int(np.prod([len(each.values) for each in variations]))
    if count > MOST_POINTS:
        raise SketchError(f"sweep: {count:,} points, allowed are at most {MOST_POINTS:,}; take fewer values")
    return tuple(parameter(build, reference, layout_name, case_name) for reference in references)
