"""Points of what moves air and what resists it, as data sheets of fans and filters give them."""

from collections.abc import Sequence
from typing import ClassVar

from pydantic import field_validator

from loopsim.curves.data import DataCurve, Origin, check_rising
from loopsim.fields import Record, number, points
from loopsim.media import STANDARD_AIR_DENSITY, State, air
from loopsim.units import GRAVITY, to_si

__all__ = ["AirDropCurve", "AirDropPoint", "AirOrigin", "FanCurve", "FanPoint"]


class AirOrigin(Origin):
    """Where numbers come from, and the air on which they were taken."""

    described_as: ClassVar = ("provenance", "where the numbers come from, and the air on which they were taken")

    density_kg_m3: float = number(
        "air density", "of the air on which the points were taken; data sheets of fans mean 1.2", STANDARD_AIR_DENSITY,
        above=0.5, most=2.0,
    )  # fmt: skip

    @property
    def state(self) -> State:
        """Properties of that air; its viscosity is that at 20 °C."""
        return State(self.density_kg_m3, air(20.0).viscosity)


class FanPoint(Record):
    """One point of a fan curve."""

    air_m3_h: float = number("air flow", "through the fan", least=0.0)
    pressure_pa: float = number("static pressure", "that it builds up at this flow", least=0.0)


class AirDropPoint(Record):
    """One point of a curve of what air loses."""

    air_m3_h: float = number("air flow", "through the part", above=0.0)
    dp_pa: float = number("drop", "of static pressure at this flow", above=0.0)


class FanCurve(DataCurve):
    """Static pressure against air flow at full speed, at least two points, flow rising from point to point."""

    provenance: AirOrigin = AirOrigin()
    points: tuple[FanPoint, ...] = points("points", "static pressure against air flow at full speed, at least two")

    @field_validator("points")
    @classmethod
    def _usable(cls, points: tuple[FanPoint, ...]) -> tuple[FanPoint, ...]:
        if len(points) < 2:
            raise ValueError(f"a fan curve needs at least 2 points, got {len(points)}")
        check_rising([point.air_m3_h for point in points], "flows", "m³/h")
        if points[-1].pressure_pa >= points[0].pressure_pa:
            raise ValueError(
                f"the pressure does not fall (from {points[0].pressure_pa:g} Pa to {points[-1].pressure_pa:g} Pa); "
                "a fan's pressure must fall with flow: are flow and pressure swapped?"
            )
        return points

    @property
    def flow(self) -> list[float]:
        """Air flow of each point [m3/s]."""
        return _si_flows(self.points)

    @property
    def head(self) -> list[float]:
        """Static pressure of each point as metres of the air on which it was taken [m]."""
        weight = self.provenance.density_kg_m3 * GRAVITY
        return [point.pressure_pa / weight for point in self.points]


class AirDropCurve(DataCurve):
    """Static pressure that air loses against its flow; one point is enough, with an exponent."""

    provenance: AirOrigin = AirOrigin()
    points: tuple[AirDropPoint, ...] = points("points", "drop of static pressure against air flow")
    exponent: float = number(
        "exponent", "how steeply the drop rises at the point, used where there is only one", 1.7, least=1.0, most=2.0
    )

    @field_validator("points")
    @classmethod
    def _usable(cls, points: tuple[AirDropPoint, ...]) -> tuple[AirDropPoint, ...]:
        if not points:
            raise ValueError("a curve of air drop needs at least 1 point, got 0")
        check_rising([point.air_m3_h for point in points], "flows", "m³/h")
        check_rising([point.dp_pa for point in points], "drops", "Pa")
        return points

    @property
    def flow(self) -> list[float]:
        """Air flow of each point [m3/s]."""
        return _si_flows(self.points)

    @property
    def dp(self) -> list[float]:
        """Drop of each point [Pa]."""
        return [point.dp_pa for point in self.points]


def _si_flows(points: Sequence[FanPoint | AirDropPoint]) -> list[float]:
    return [to_si(point.air_m3_h, "m3_h") for point in points]
