"""Check valve: open one way, shut the other but for a leak."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, Self

import numpy as np
from numpy.typing import NDArray

from loopsim.curves import CurveBank, PiecewiseCubic
from loopsim.elements.base import Element
from loopsim.elements.valve import PA_PER_BAR, WATER_15C, check_kv
from loopsim.errors import PartDataError
from loopsim.units import to_si

__all__ = ["CheckValve", "OpeningState"]

FloatArray = NDArray[np.float64]
OpeningState = Literal["shut", "part open", "open"]

LEAK_SHARE = 1e-4  # leak over flow coefficient where no leak is given; an estimate
_JOINT = 0.005  # rise over which the leak's steep line bends into the open law, in cracking pressures
_LEAST_RISE = 0.005  # rise of the open law that stays linear, in cracking pressures at the flow that asks for one more


@dataclass(frozen=True, slots=True)
class CheckValve(Element):
    """A spring-loaded check valve.

    Below the cracking pressure, and backward, only the leak passes, in proportion to the pressure. Above it the drop
    is ``cracking + 1 bar rho/rho_15 (Q/Kv)^2``: the spring keeps asking for its share. Where the maker's Kv was taken
    on the fully open valve with the spring's share in it, this counts that share twice, on the safe side. The drop is
    continuous with its slope and rises everywhere.

    The seat is fully open once the drop is some multiple of the cracking pressure: twice it, where the square law asks
    for as much as the spring, is an estimate, as makers seldom say. Between the two the disc floats and may chatter.

    Parameters
    ----------
    kv : float
        Flow coefficient when open, above 0 [m3/h of water at 15 °C and 1 bar].
    cracking : float
        Pressure at which it begins to open, above 0 [Pa].
    leak_kv : float, optional
        Leak when shut, above 0 and below `kv` [m3/h at 1 bar]; ``kv / 1e4`` if not given, an estimate.
    full_open : float
        Drop at which it is fully open, over the cracking pressure, above 1.

    Raises
    ------
    PartDataError
        If a value is out of range.

    References
    ----------
    IEC 60534-2-1 for the square law; the opening law is an estimate from the balance of spring and pressure on the
    disc. Checked in tests/reference/test_valves.py and tests/elements/test_check_valve.py.
    """

    kv: float
    cracking: float
    leak_kv: float | None = None
    full_open: float = 2.0

    def __post_init__(self) -> None:
        check_kv("check valve", self.kv)
        if not (math.isfinite(self.cracking) and self.cracking > 0):
            raise PartDataError(
                f"check valve: cracking must be above 0 Pa, got {self.cracking:g} Pa; a flap without spring opens at "
                "about 100 Pa",
                field="cracking",
            )
        if not (math.isfinite(self.full_open) and self.full_open > 1):
            raise PartDataError(
                f"check valve: full_open must be above 1 cracking pressure, got {self.full_open:g}", field="full_open"
            )
        if self.leak_kv is not None and not 0 < self.leak_kv < self.kv:
            raise PartDataError(
                f"check valve: leak_kv must be above 0 and below kv ({self.kv:g} m3/h), got {self.leak_kv:g} m3/h",
                field="leak_kv",
            )

    @property
    def cracking_flow(self) -> float:
        """Leak at the cracking pressure, of water at 15 °C [m3/s]."""
        leak_kv = LEAK_SHARE * self.kv if self.leak_kv is None else self.leak_kv
        return to_si(leak_kv, "m3_h") * self.cracking / PA_PER_BAR

    @property
    def open_flow(self) -> float:
        """Flow above which it is taken to be fully open, of water at 15 °C [m3/s]."""
        return self._spring_flow * math.sqrt(self.full_open - 1)

    @property
    def _spring_flow(self) -> float:
        """Flow at which the square law asks for as much as the spring, of water at 15 °C [m3/s]."""
        return to_si(self.kv, "m3_h") * math.sqrt(self.cracking / PA_PER_BAR)

    @property
    def curve(self) -> PiecewiseCubic:
        """Drop [Pa] against flow [m3/s] of water at 15 °C: leak, a short bend, then the open law."""
        cracking, steep = self.cracking, self.cracking / self.cracking_flow
        least = _LEAST_RISE * cracking / self._spring_flow
        rise = _JOINT * cracking
        width = 2 * rise / (steep + least)  # the bend is then a parabola
        bend = [cracking, steep, (least - steep) / (2 * width), 0.0]
        leak, square = [0.0, steep, 0.0, 0.0], cracking / self._spring_flow**2
        knots = np.array([0.0, self.cracking_flow, self.cracking_flow + width])
        return PiecewiseCubic(knots, np.array([leak, leak, bend, [cracking + rise, least, square, 0.0]]))

    def opening_state(self, flow: float, density: float = WATER_15C) -> OpeningState:
        """Whether it is shut, part open (its disc floats and may chatter) or open at a flow [m3/s]."""
        as_water = flow * math.sqrt(density / WATER_15C)
        if as_water <= self.cracking_flow:
            return "shut"
        return "part open" if as_water < self.open_flow else "open"

    @classmethod
    def bank(cls, elements: Sequence[Self]) -> "_CheckValves":
        """Arrays of many check valves."""
        return _CheckValves(elements)


class _CheckValves:
    def __init__(self, valves: Sequence[CheckValve]) -> None:
        self.curves = CurveBank([valve.curve for valve in valves])

    def evaluate(self, flow: FloatArray, density: FloatArray, viscosity: FloatArray) -> tuple[FloatArray, FloatArray]:  # noqa: ARG002
        # All laws here are of the form dp(Q sqrt(rho)), so a liquid's density only stretches the flow.
        stretch = np.sqrt(density / WATER_15C)
        dp, slope = self.curves.evaluate(flow * stretch)
        return dp, slope * stretch
