"""One or two numbers of a build run through a range, everything solved at each point."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Self

import numpy as np

from loopsim.build import Build
from loopsim.errors import SketchError
from loopsim.studies.chunks import HERE, Kept, Workers, each_kept, fingerprint
from loopsim.studies.varying.grid import Grid
from loopsim.studies.varying.parameter import Parameter, parameter
from loopsim.studies.varying.results import Sweep, SweepPoint

__all__ = ["Variation", "each_point", "sweep", "varied"]

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


def sweep(
    build: Build,
    variations: Sequence[Variation],
    layout_name: str | None = None,
    case_name: str | None = None,
    stopped: Collection[str] = (),
    workers: Workers = HERE,
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
    workers : Workers
        They change nothing but the time.

    Raises
    ------
    SketchError
        If there is no such layout, case, item or number; for none or more than two variations, or one twice; for more
        than 100,000 points.
    PartDataError
        If a value is not allowed.
    FileError, WorkerError
        As `Kept` and `each_done`.
    """
    parameters = varied(build, variations, layout_name, case_name)
    points = tuple(each_point(build, variations, layout_name, case_name, stopped, workers))
    return Sweep(parameters, tuple(variation.values for variation in variations), points)


def each_point(
    build: Build,
    variations: Sequence[Variation],
    layout_name: str | None = None,
    case_name: str | None = None,
    stopped: Collection[str] = (),
    workers: Workers = HERE,
    keep_in: Path | None = None,
) -> Iterator[SweepPoint]:
    """The points one by one, for whoever shows how far it is, or writes them down at once; as `sweep`.

    With `keep_in`, a folder, finished chunks stay there until all points have been asked for; the same sweep takes up
    there what was cut short.
    """
    varied(build, variations, layout_name, case_name)
    layout, case = build.layout(layout_name).name, build.load_case(case_name).name
    grid = Grid(build, tuple((each.reference, each.values) for each in variations), layout, case, frozenset(stopped))
    kept = None if keep_in is None else Kept(keep_in, fingerprint(build, study="sweep", options=grid.options))
    for columns in each_kept(grid, grid.chunks, workers, kept):
        yield from grid.points_of(columns)
    if kept is not None:
        kept.remove()


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
