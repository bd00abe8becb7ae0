"""What a solved network tells."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loopsim.errors import SketchError, did_you_mean
from loopsim.network import Network
from loopsim.solve.compiled import Compiled
from loopsim.units import GRAVITY

__all__ = ["FlowResult", "FlowVariants"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class FlowVariants:
    """A network solved for several variants at once.

    Attributes
    ----------
    network : Network
    flows : ndarray, shape (elements, v)
        Volume flow of what each element holds, positive from start to end [m3/s].
    drops : ndarray, shape (elements, v)
        Total pressure at start minus at end, less the weight of a column of the network's density [Pa].
    made : Compiled
        The network's arrays with which it was solved.
    iterations : int
        Newton steps.
    mass_residual : float
        Largest sum of flows at a junction [m3/s].
    mass_imbalance : float
        The same relative to the largest flow of the island.
    pressure_residual : float
        Largest sum of drops round a loop [Pa].
    pressure_imbalance : float
        The same relative to the largest drop of the island.
    datum : tuple of str
        Junctions set to pressure 0 because nothing fixes their island.
    tee_residual : float
        By how much the loss of a tee's leg differs from the one that belongs to the flows, relative to the largest
        drop.
    tee_band : ndarray, shape (2, elements, v), or None
        Where the tees' losses do not settle: flows at both ends of the range in which they wander.
    """

    network: Network
    flows: FloatArray
    drops: FloatArray
    made: Compiled
    iterations: int
    mass_residual: float
    mass_imbalance: float
    pressure_residual: float
    pressure_imbalance: float
    datum: tuple[str, ...]
    tee_residual: float = 0.0
    tee_band: FloatArray | None = None

    @cached_property
    def potentials(self) -> FloatArray:
        """Pressure at each junction reduced to elevation 0, shape (junctions, v) [Pa]."""
        return self.made.potentials(self.drops)

    def head(self, junction: str) -> FloatArray:
        """Piezometric head at a junction in every variant, shape (v,) [m]."""
        row = list(self.network.junctions).index(junction)
        return np.asarray(self.potentials[row] / (self.network.state.density * GRAVITY))


@dataclass(frozen=True)
class FlowResult:
    """A network solved.

    Attributes
    ----------
    flow : dict of str to float
        Volume flow through each element, positive from start to end [m3/s].
    dp : dict of str to float
        Total pressure at start minus at end, without the weight of the column [Pa].
    pressure : dict of str to float
        Static gauge pressure at each junction, at its elevation [Pa].
    iterations, mass_imbalance, pressure_imbalance, mass_residual, pressure_residual, datum
        As in `FlowVariants`.
    """

    variants: FlowVariants

    @cached_property
    def flow(self) -> dict[str, float]:
        return dict(zip(self.variants.network.links, self.variants.flows[:, 0].tolist(), strict=True))

    @cached_property
    def dp(self) -> dict[str, float]:
        drops = self.variants.made.without_weight(self.variants.drops)
        return dict(zip(self.variants.network.links, drops[:, 0].tolist(), strict=True))

    @cached_property
    def pressure(self) -> dict[str, float]:
        weight = self.variants.network.state.density * GRAVITY
        return {
            junction.name: float(potential - weight * junction.elevation)
            for junction, potential in zip(
                self.variants.network.junctions.values(), self.variants.potentials[:, 0], strict=True
            )
        }

    @property
    def flow_band(self) -> tuple[dict[str, float], dict[str, float]] | None:
        """Flows at both ends of the range in which tees' losses wander; None where they settle [m3/s]."""
        if self.variants.tee_band is None:
            return None
        low, high = (
            dict(zip(self.variants.network.links, end[:, 0].tolist(), strict=True)) for end in self.variants.tee_band
        )
        return low, high

    def head(self, junction: str) -> float:
        """Piezometric head at a junction [m]."""
        if junction not in self.variants.network.junctions:
            near = did_you_mean(junction, self.variants.network.junctions)
            raise SketchError(f"there is no junction {junction!r}{near}", part=junction)
        return float(self.variants.head(junction)[0])

    @property
    def iterations(self) -> int:
        return self.variants.iterations

    @property
    def mass_imbalance(self) -> float:
        return self.variants.mass_imbalance

    @property
    def pressure_imbalance(self) -> float:
        return self.variants.pressure_imbalance

    @property
    def mass_residual(self) -> float:
        return self.variants.mass_residual

    @property
    def pressure_residual(self) -> float:
        return self.variants.pressure_residual

    @property
    def datum(self) -> tuple[str, ...]:
        return self.variants.datum
