"""Points of heat as a builder has them: of blocks, radiators and liquid exchangers."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import ValidationInfo, field_validator

from loopsim.curves.data import LiquidCurve, Provenance, check_rising
from loopsim.fields import Record, choice, number, points
from loopsim.media import STANDARD_AIR_DENSITY, State, air
from loopsim.units import from_si, to_si

__all__ = [
    "ExchangerCurve",
    "ExchangerPoint",
    "HeatPoints",
    "RadiatorCurve",
    "RadiatorPoint",
    "ResistanceCurve",
    "ResistancePoint",
]

FloatArray = NDArray[np.float64]

CoolantSide = Literal["coolant inlet", "mean coolant"]


@dataclass(frozen=True, slots=True)
class HeatPoints:
    """What an exchanger passed in k tests.

    Attributes
    ----------
    flow_a, flow_b : ndarray, shape (k,)
        Volume flow of its two sides [m3/s].
    rate_a, rate_b : ndarray, shape (k,)
        Their heat capacity rates, density times heat capacity times flow [W/K].
    conductance : ndarray, shape (k,)
        Heat over the difference of the two inlet temperatures [W/K].
    names : tuple of str
        What the builder calls the two sides.
    units : tuple of str
        Units in which messages state their flows.
    """

    flow_a: FloatArray
    rate_a: FloatArray
    flow_b: FloatArray
    rate_b: FloatArray
    conductance: FloatArray
    names: tuple[str, str] = ("coolant", "air")
    units: tuple[str, str] = ("l_h", "m3_h")

    def impossible(self) -> str | None:
        """What is wrong with the first point that passes more than a side can carry; None if all are possible.

        No stream leaves an exchanger beyond the inlet temperature of the other, so heat per kelvin stays below
        either heat capacity rate.
        """
        sides = ((self.flow_a, self.rate_a), (self.flow_b, self.rate_b))
        for (flow, rate), name, unit in zip(sides, self.names, self.units, strict=True):
            for row in np.flatnonzero(self.conductance >= rate):
                needed = from_si(float(flow[row] * self.conductance[row] / rate[row]), unit)
                label = {"l_h": "L/h", "m3_h": "m³/h"}[unit]
                return (
                    f"row {row + 1}: {self.conductance[row]:.3g} W/K is more than {from_si(float(flow[row]), unit):.3g}"
                    f" {label} of {name} can carry, {rate[row]:.3g} W/K; it needs more than {needed:.3g} {label} of "
                    f"{name}: check the heat, the difference and the flow"
                )
        return None


class ResistancePoint(Record):
    """One point of a block's thermal resistance."""

    flow_l_h: float = number("flow", "flow through the block", above=0.0)
    resistance_k_w: float = number("resistance", "kelvin between its contact face and the coolant, per watt", above=0.0)


class ResistanceCurve(LiquidCurve):
    """Thermal resistance of a block against flow; one point is enough, with an exponent."""

    resistance_to: CoolantSide = choice(
        "measured to", "the coolant's temperature as it enters, or the mean of entering and leaving", "coolant inlet"
    )
    points: tuple[ResistancePoint, ...] = points("points", "thermal resistance against flow")
    exponent: float = number(
        "exponent", "how fast it falls with the flow at the point, where there is only one", 0.4, least=0.0, most=1.0
    )

    @field_validator("points")
    @classmethod
    def _usable(cls, points: tuple[ResistancePoint, ...], info: ValidationInfo) -> tuple[ResistancePoint, ...]:
        if not points:
            raise ValueError("a resistance curve needs at least 1 point, got 0")
        check_rising([point.flow_l_h for point in points], "flows", "L/h")
        check_falling([point.resistance_k_w for point in points], "resistances", "K/W")
        if info.data.get("resistance_to") == "coolant inlet" and "provenance" in info.data:
            _check_above_warming(points, info.data["provenance"].state)
        return points

    @property
    def flow(self) -> FloatArray:
        """Flow of each point [m3/s]."""
        return np.array([to_si(point.flow_l_h, "l_h") for point in self.points])

    @property
    def resistance(self) -> FloatArray:
        """Resistance to the mean of entering and leaving coolant at each point [K/W]."""
        stated = np.array([point.resistance_k_w for point in self.points])
        if self.resistance_to == "mean coolant":
            return stated
        return stated - 0.5 / rate(self.provenance.state, self.flow)


class RadiatorPoint(Record):
    """One point, or a maker's rating: what a radiator sheds."""

    flow_l_h: float = number("coolant flow", "through the radiator", above=0.0)
    air_m3_h: float = number("air flow", "through its fins", above=0.0)
    heat_w: float = number("heat", "that it sheds", above=0.0)
    difference_k: float = number(
        "difference", "of coolant above the entering air; above the room, where a sheet says so", 10.0, above=0.0
    )


class RadiatorCurve(LiquidCurve):
    """Heat of a radiator against both flows; one rating is enough, the rest is then a guess."""

    difference_of: CoolantSide = choice(
        "measured from", "the coolant's temperature as it enters, or the mean of entering and leaving", "coolant inlet"
    )
    points: tuple[RadiatorPoint, ...] = points("points", "heat at a flow of coolant and of air")

    @field_validator("points")
    @classmethod
    def _usable(cls, points: tuple[RadiatorPoint, ...], info: ValidationInfo) -> tuple[RadiatorPoint, ...]:
        if not points:
            raise ValueError("a radiator needs at least 1 point, got 0")
        if "provenance" in info.data:
            _check_possible(radiator_points(points, info.data["provenance"], info.data.get("difference_of")))
        return points

    @property
    def heat_points(self) -> HeatPoints:
        """The points in SI; side a is the coolant."""
        return radiator_points(self.points, self.provenance, self.difference_of)


class ExchangerPoint(Record):
    """One point of a liquid-to-liquid exchanger."""

    primary_l_h: float = number("primary flow", "through the primary side", above=0.0)
    secondary_l_h: float = number("secondary flow", "through the secondary side", above=0.0)
    heat_w: float = number("heat", "that passes", above=0.0)
    difference_k: float = number("difference", "between the two temperatures that enter", 10.0, above=0.0)


class ExchangerCurve(LiquidCurve):
    """Heat of a liquid exchanger against both flows, the same liquid on both sides."""

    points: tuple[ExchangerPoint, ...] = points("points", "heat at a flow of each side")

    @field_validator("points")
    @classmethod
    def _usable(cls, points: tuple[ExchangerPoint, ...], info: ValidationInfo) -> tuple[ExchangerPoint, ...]:
        if not points:
            raise ValueError("an exchanger needs at least 1 point, got 0")
        if "provenance" in info.data:
            _check_possible(_exchanger_points(points, info.data["provenance"]))
        return points

    @property
    def heat_points(self) -> HeatPoints:
        """The points in SI; side a is the primary."""
        return _exchanger_points(self.points, self.provenance)


def rate(state: State, flow: FloatArray) -> FloatArray:
    """Heat capacity rate of a flow [W/K]."""
    return state.density * state.heat_capacity * flow


def air_rate(flow: FloatArray) -> FloatArray:
    """Heat capacity rate of standard air, on which makers state what their fins do [W/K]."""
    return STANDARD_AIR_DENSITY * air(20.0).heat_capacity * flow


def check_falling(values: Sequence[float], what: str, unit: str) -> None:
    """ValueError at the first value that is above the one before."""
    for before, after in pairwise(values):
        if after > before:
            raise ValueError(f"{what} must not rise with the flow, got {after:g} {unit} after {before:g} {unit}")


def _check_above_warming(points: Sequence[ResistancePoint], state: State) -> None:
    """Half of the coolant's own warming is part of a resistance to the inlet, which must be more than that."""
    for row, point in enumerate(points, start=1):
        warming = 0.5 / float(rate(state, np.array(to_si(point.flow_l_h, "l_h"))))
        if point.resistance_k_w <= warming:
            raise ValueError(
                f"row {row}: {point.resistance_k_w:g} K/W to the inlet is not above the coolant's own mean warming, "
                f"{warming:.3g} K/W at {point.flow_l_h:g} L/h; is it measured to the mean coolant?"
            )


def _check_possible(heat: HeatPoints) -> None:
    problem = heat.impossible()
    if problem:
        raise ValueError(problem)


def radiator_points(points: Sequence[RadiatorPoint], provenance: Provenance, side: Any) -> HeatPoints:
    """Points of a radiator in SI; heat from the mean coolant becomes heat from the entering one."""
    flow, air_flow = _column(points, "flow_l_h", "l_h"), _column(points, "air_m3_h", "m3_h")
    coolant_rate = rate(provenance.state, flow)
    conductance = _column(points, "heat_w", "w") / _column(points, "difference_k", "k")
    if side == "mean coolant":
        conductance = 1 / (1 / conductance + 0.5 / coolant_rate)
    return HeatPoints(flow, coolant_rate, air_flow, air_rate(air_flow), conductance)


def _exchanger_points(points: Sequence[ExchangerPoint], provenance: Provenance) -> HeatPoints:
    primary, secondary = _column(points, "primary_l_h", "l_h"), _column(points, "secondary_l_h", "l_h")
    rates = (rate(provenance.state, flow) for flow in (primary, secondary))
    conductance = _column(points, "heat_w", "w") / _column(points, "difference_k", "k")
    return HeatPoints(
        primary, next(rates), secondary, next(rates), conductance, ("primary", "secondary"), ("l_h", "l_h")
    )


def _column(points: Sequence[Record], name: str, unit: str) -> FloatArray:
    return np.array([to_si(getattr(point, name), unit) for point in points])
