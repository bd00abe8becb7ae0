"""Throttling valve, by its flow coefficient."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from loopsim.elements.base import Element, column
from loopsim.errors import PartDataError
from loopsim.units import KV_PER_CV, to_si

__all__ = ["PA_PER_BAR", "WATER_15C", "Valve", "check_kv", "kv_from_cv"]

FloatArray = NDArray[np.float64]

PA_PER_BAR = 1e5
WATER_15C = 999.1  # density of water at 15 °C, to which flow coefficients refer [kg/m3]; IAPWS-95

_REST = 1e-3  # drop around which the square law turns into a line, so that there is a slope at rest [Pa]


def kv_from_cv(cv: float) -> float:
    """Flow coefficient Kv [m3/h at 1 bar] from Cv [US gal/min at 1 psi]: ``0.865 Cv``, IEC 60534-1."""
    return KV_PER_CV * cv


@dataclass(frozen=True, slots=True)
class Valve(Element):
    """A throttling valve at one opening: square law from the flow coefficient.

    ``dp = 1 bar rho/rho_15 (Q/Kv)^2``, rounded to a straight line about rest; from 1 Pa on the rounding adds less
    than 0.1 %. Odd in the flow. Holds for turbulent flow of liquids that is not choked; in thick coolants a
    small opening turns laminar and costs more.

    Parameters
    ----------
    kv : float
        Flow coefficient at the present opening, above 0 [m3/h of water at 15 °C and 1 bar].

    Raises
    ------
    PartDataError
        If `kv` is not above 0; a shut valve has no element.

    References
    ----------
    IEC 60534-2-1, incompressible fluid, turbulent, not choked. Checked in tests/reference/test_valves.py.
    """

    kv: float

    def __post_init__(self) -> None:
        check_kv("valve", self.kv, "; a shut valve is left out of the network")

    @classmethod
    def bank(cls, elements: Sequence[Self]) -> "_Valves":
        """Arrays of many valves."""
        return _Valves(elements)


class _Valves:
    def __init__(self, valves: Sequence[Valve]) -> None:
        kv = to_si(1.0, "m3_h") * column(valves, "kv")
        self.square = PA_PER_BAR / WATER_15C / kv**2  # times density and flow squared
        self.rest = kv * math.sqrt(_REST / PA_PER_BAR)

    def evaluate(self, flow: FloatArray, density: FloatArray, viscosity: FloatArray) -> tuple[FloatArray, FloatArray]:  # noqa: ARG002
        square, rounded = self.square * density, np.hypot(flow, self.rest)
        return square * flow * rounded, square * (rounded + flow**2 / rounded)


def check_kv(what: str, kv: float, way_out: str = "") -> None:
    """Raise PartDataError unless `kv` is a number above 0."""
    if not (math.isfinite(kv) and kv > 0):
        raise PartDataError(f"{what}: kv must be above 0 m3/h, got {kv:g} m3/h{way_out}", field="kv")
