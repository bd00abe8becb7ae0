"""Heat from a wall into a stream."""

import math
from dataclasses import dataclass, replace
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.errors import PartDataError

__all__ = ["Film"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Film:
    """Conductance between a wall and the stream along it, ``hA = conductance (|flow| / at_flow)^exponent``.

    One power law over the whole range: good within the flows it rests on, an estimate beyond. Change of viscosity
    and conductivity with temperature is left out.

    Parameters
    ----------
    conductance : float
        At the flow `at_flow`, above 0 [W/K].
    at_flow : float
        Above 0 [m3/s].
    exponent : float
        0 (developed laminar flow) to 1; about 1/3 in short laminar channels, 0.5 between short fins, 0.8 in
        turbulent flow.

    Raises
    ------
    PartDataError
        If a value is out of range.
    """

    conductance: float
    at_flow: float
    exponent: float

    def __post_init__(self) -> None:
        for name, unit in (("conductance", "W/K"), ("at_flow", "m3/s")):
            value = getattr(self, name)
            if not 0 < value < np.inf:
                raise PartDataError(f"film: {name} must be above 0 {unit}, got {value:g} {unit}", field=name)
        if not 0 <= self.exponent <= 1:
            raise PartDataError(f"film: exponent must lie from 0 to 1, got {self.exponent:g}", field="exponent")

    @classmethod
    def through(cls, flow: tuple[float, float], conductance: tuple[float, float]) -> Self:
        """The film through two values; an exponent outside 0 to 1 is held there, and the first value kept."""
        exponent = math.log(conductance[1] / conductance[0]) / math.log(flow[1] / flow[0])
        return cls(conductance[0], flow[0], min(max(exponent, 0.0), 1.0))

    def at(self, flow: ArrayLike) -> FloatArray:
        """Conductance at a flow in either direction [m3/s], shape of `flow` [W/K]."""
        shares: FloatArray = (np.abs(np.asarray(flow, dtype=float)) / self.at_flow) ** self.exponent
        return self.conductance * shares

    def scaled(self, factor: float) -> Self:
        """The same film with its conductance multiplied, as for a larger area."""
        return replace(self, conductance=self.conductance * factor)
