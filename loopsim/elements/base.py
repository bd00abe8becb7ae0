"""What every element offers to the solver."""

from abc import ABC, abstractmethod
from collections.abc import Sequence
from operator import attrgetter
from typing import Any, Protocol, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loopsim.media import State

__all__ = ["Bank", "Element"]

FloatArray = NDArray[np.float64]


class Bank(Protocol):
    """The elements of one class in a network, held as arrays."""

    def evaluate(self, flow: FloatArray, density: FloatArray, viscosity: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Pressure drop and slope.

        Parameters
        ----------
        flow : ndarray, shape (n, v)
            Volume flow of the n elements in v variants, positive from start to end [m3/s].
        density, viscosity : ndarray, shape (n, 1) or (n, v)
            [kg/m3], dynamic [Pa s].

        Returns
        -------
        dp, slope : ndarray, shape (n, v)
            Pressure at start minus pressure at end, both as total pressure less the weight of the column [Pa], and
            its derivative by flow, above 0 [Pa s/m3].
        """


class Element(ABC):
    """One way from a start to an end."""

    __slots__ = ()

    @classmethod
    @abstractmethod
    def bank(cls, elements: Sequence[Self]) -> Bank:
        """The arrays with which many elements of this class are evaluated at once."""

    def dp(self, flow: ArrayLike, state: State) -> tuple[FloatArray, FloatArray]:
        """Pressure drop [Pa] and slope [Pa s/m3] of this one element, same shape as `flow` [m3/s]."""
        flow = np.asarray(flow, dtype=float)
        density, viscosity = np.full((1, 1), state.density), np.full((1, 1), state.viscosity)
        dp, slope = type(self).bank([self]).evaluate(flow.reshape(1, -1), density, viscosity)
        return dp.reshape(flow.shape), slope.reshape(flow.shape)


def column(elements: Sequence[Any], attribute: str) -> FloatArray:
    """One attribute of many elements, shape (n, 1); not a number where it is None."""
    return np.array(list(map(attrgetter(attribute), elements)), dtype=float)[:, None]
