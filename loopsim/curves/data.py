"""Points as a builder has them, with where they come from and how far they may be trusted."""

from collections.abc import Iterable, Sequence
from datetime import date
from functools import cached_property
from itertools import pairwise
from typing import ClassVar, Literal, get_args

from pydantic import field_validator

from loopsim.fields import Record, choice, number, points, text
from loopsim.media import Coolant, State
from loopsim.units import to_si

__all__ = [
    "PROVENANCE_KINDS",
    "DataCurve",
    "DropCurve",
    "DropPoint",
    "HeadCurve",
    "HeadPoint",
    "LiquidCurve",
    "Origin",
    "PowerCurve",
    "PowerPoint",
    "Provenance",
    "ProvenanceKind",
    "worst_provenance",
]

ProvenanceKind = Literal["measured", "table", "chart", "geometry", "guess"]
PROVENANCE_KINDS: tuple[str, ...] = get_args(ProvenanceKind)  # from the best to the worst


class Origin(Record):
    """Where numbers come from."""

    described_as: ClassVar = ("provenance", "where the numbers come from")

    kind: ProvenanceKind = choice(
        "kind", "measured; from a table; read from a chart; from geometry; or a guess", "guess"
    )
    source: str = text("source", "who measured it or which sheet it was read from, in a few words", "")
    dated: date | None = text("date", "day of the measurement or of the sheet", None)


class Provenance(Origin):
    """Where numbers come from, and the liquid on which they were taken."""

    described_as: ClassVar = ("provenance", "where the numbers come from, and the liquid on which they were taken")

    medium: Literal["water", "propylene_glycol", "ethylene_glycol"] = choice(
        "medium", "liquid on which the points were taken", "water"
    )
    glycol_mass_fraction: float = number("glycol", "share of glycol by mass, 0 for water", 0.0, least=0.0, most=0.6)
    temperature_c: float = number("temperature", "temperature of that liquid", 20.0, least=-20.0, most=100.0)

    @cached_property
    def state(self) -> State:
        """Properties of the liquid on which the points were taken."""
        return Coolant(self.medium, self.glycol_mass_fraction).at(self.temperature_c)


def worst_provenance(provenances: Iterable[Origin]) -> ProvenanceKind | None:
    """The least trustworthy kind among those that fed a result; None if nothing did."""
    kinds = [provenance.kind for provenance in provenances]
    return max(kinds, key=PROVENANCE_KINDS.index, default=None)


class HeadPoint(Record):
    """One point of a pump curve."""

    flow_l_h: float = number("flow", "flow through the pump", least=0.0)
    head_m: float = number("head", "head at this flow, in metres of the pumped liquid", least=0.0)


class PowerPoint(Record):
    """One point of what a pump draws."""

    flow_l_h: float = number("flow", "flow through the pump", least=0.0)
    power_w: float = number("power", "electrical power that it draws at this flow and full speed", above=0.0)


class DropPoint(Record):
    """One point of a pressure drop curve."""

    flow_l_h: float = number("flow", "flow through the part", above=0.0)
    dp_kpa: float = number("drop", "pressure drop at this flow", above=0.0)


class DataCurve(Record):
    """What every data curve carries beside its points."""

    provenance: Origin = Origin()
    relative_tolerance: float = number(
        "tolerance", "half width of the band, as a share of the value: 0.1 is ±10 %", 0.1, least=0.0, most=1.0
    )


class LiquidCurve(DataCurve):
    """A curve whose points were taken on a liquid."""

    provenance: Provenance = Provenance()


class HeadCurve(LiquidCurve):
    """A pump curve: head against flow at full speed, at least two points, flow rising from point to point."""

    points: tuple[HeadPoint, ...] = points("points", "head against flow at full speed, at least two points")

    @field_validator("points")
    @classmethod
    def _usable(cls, points: tuple[HeadPoint, ...]) -> tuple[HeadPoint, ...]:
        if len(points) < 2:
            raise ValueError(f"a pump curve needs at least 2 points, got {len(points)}")
        check_rising([point.flow_l_h for point in points], "flows", "L/h")
        heads = [point.head_m for point in points]
        if heads[-1] >= heads[0] and all(after >= before for before, after in pairwise(heads)):
            raise ValueError(
                f"the head never falls (from {heads[0]:g} m to {heads[-1]:g} m); "
                "a pump's head must fall with flow: are flow and head swapped?"
            )
        return points

    @property
    def flow(self) -> list[float]:
        """Flow of each point [m3/s]."""
        return [to_si(point.flow_l_h, "l_h") for point in self.points]

    @property
    def head(self) -> list[float]:
        """Head of each point [m]."""
        return [point.head_m for point in self.points]


class DropCurve(LiquidCurve):
    """Pressure drop against flow, port plane to port plane; one point is enough, with an exponent."""

    points: tuple[DropPoint, ...] = points("points", "pressure drop against flow, from port to port")
    exponent: float = number(
        "exponent", "how steeply the drop rises at the point, used where there is only one", 1.85, least=1.0, most=2.0
    )

    @field_validator("points")
    @classmethod
    def _usable(cls, points: tuple[DropPoint, ...]) -> tuple[DropPoint, ...]:
        if not points:
            raise ValueError("a pressure drop curve needs at least 1 point, got 0")
        check_rising([point.flow_l_h for point in points], "flows", "L/h")
        drops = [point.dp_kpa for point in points]
        if any(after <= before for before, after in pairwise(drops)):
            raise ValueError("the drop must rise from point to point; a flat or falling stretch is not physical")
        return points

    @property
    def flow(self) -> list[float]:
        """Flow of each point [m3/s]."""
        return [to_si(point.flow_l_h, "l_h") for point in self.points]

    @property
    def dp(self) -> list[float]:
        """Pressure drop of each point [Pa]."""
        return [to_si(point.dp_kpa, "kpa") for point in self.points]


class PowerCurve(LiquidCurve):
    """Electrical power against flow at full speed; one point stands for all flows."""

    points: tuple[PowerPoint, ...] = points("points", "electrical power against flow at full speed")

    @field_validator("points")
    @classmethod
    def _usable(cls, points: tuple[PowerPoint, ...]) -> tuple[PowerPoint, ...]:
        if not points:
            raise ValueError("a power curve needs at least 1 point, got 0")
        check_rising([point.flow_l_h for point in points], "flows", "L/h")
        return points

    @property
    def flow(self) -> list[float]:
        """Flow of each point [m3/s]."""
        return [to_si(point.flow_l_h, "l_h") for point in self.points]

    @property
    def power(self) -> list[float]:
        """Power at each point [W]."""
        return [point.power_w for point in self.points]


def check_rising(values: Sequence[float], what: str, unit: str) -> None:
    """ValueError at the first value that is not above the one before; with what to do where all of them fall."""
    turned = len(values) > 1 and all(after < before for before, after in pairwise(values))
    hint = ": turn the order of the points, or are two columns swapped?" if turned else ""
    for before, after in pairwise(values):
        if after <= before:
            got = f"got {after:g} {unit} after {before:g} {unit}"
            raise ValueError(f"{what} must rise from point to point, {got}{hint}")
