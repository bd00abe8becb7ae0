"""What a sweep answers with. SI throughout, temperatures in degrees Celsius."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loopsim.studies.varying.parameter import Parameter

__all__ = ["Sweep", "SweepPoint"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SweepPoint:
    """One point of a sweep.

    Attributes
    ----------
    values : tuple of float
        Of the varied numbers, each in the unit of its field.
    figures : mapping of str to float or None
        As `figures_of` gives them; empty where the machine comes to no rest.
    warmest : str
        Name of the component nearest to its limit; empty where there is none, and without rest.
    """

    values: tuple[float, ...]
    figures: Mapping[str, float | None]
    warmest: str = ""


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
