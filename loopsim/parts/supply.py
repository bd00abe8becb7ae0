"""Electrical supply."""

from typing import ClassVar, Literal

import numpy as np
from pydantic import field_validator

from loopsim.curves import DataCurve, Origin
from loopsim.curves.data import check_rising
from loopsim.errors import PartDataError
from loopsim.fields import Record, choice, number, points, text
from loopsim.parts.base import ID_PATTERN, DryPart
from loopsim.parts.fitting import tolerance
from loopsim.units import to_si

__all__ = ["EfficiencyCurve", "EfficiencyPoint", "FedPart", "Supply"]


class EfficiencyPoint(Record):
    """Efficiency at one load."""

    load_percent: float = number("load", "in per cent of the rating", above=0.0, most=200.0)
    efficiency_percent: float = number("efficiency", "power given over power taken", above=0.0, most=100.0)


class EfficiencyCurve(DataCurve):
    """Efficiency against load."""

    points: tuple[EfficiencyPoint, ...] = points("points", "efficiency against load, at least one point")

    @field_validator("points")
    @classmethod
    def _usable(cls, points: tuple[EfficiencyPoint, ...]) -> tuple[EfficiencyPoint, ...]:
        if not points:
            raise ValueError("a curve of efficiency against load needs at least 1 point, got 0")
        check_rising([point.load_percent for point in points], "loads", "%")
        return points

    def at(self, load: float) -> float:
        """Efficiency, 0 to 1, at a share of the rating: straight lines between the points, level beyond them."""
        loads, values = zip(*((point.load_percent, point.efficiency_percent) for point in self.points), strict=True)
        return to_si(float(np.interp(100 * load, loads, values)), "percent")


class FedPart(Record):
    """Something that hangs on a supply."""

    part: str = text("part", "id of the part that it feeds", pattern=ID_PATTERN)


class Supply(DryPart):
    """An electrical supply: what it loses is heat, inside the enclosure or outside."""

    title: ClassVar = "power supply"
    symbol: ClassVar = "supply"
    help: ClassVar = (
        "Turns mains into the low voltage of the machine, and part of the power into heat. Several supplies that feed "
        "the same part share its load alike. Mains wiring is for those licensed to do it; your local codes hold. Keep "
        "supplies out of the reach of a leak."
    )
    layer: ClassVar = "power"
    has_electronics: ClassVar = True

    kind: Literal["supply"] = "supply"
    length_mm: float = number("length", "of the outline, along the part's own x", 200.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 100.0, above=0.0)
    height_mm: float = number("height", "of the outline", 40.0, above=0.0)
    rating_w: float = number("rating", "largest power that it may give for long", 250.0, above=0.0)
    efficiency_percent: float = number(
        "efficiency", "power given over power taken; 85 to 95 is usual near half load, 90 a guess", 90.0,
        above=0.0, most=100.0,
    )  # fmt: skip
    efficiency_by_load: EfficiencyCurve | None = points(
        "efficiency by load", "from the maker's sheet; empty: the one number above at every load", None
    )
    stands: Literal["inside", "outside"] = choice(
        "stands", "inside, its losses warm the chamber's air; outside, the room", "inside"
    )
    feeds: tuple[FedPart, ...] = points("feeds", "ids of the parts that hang on it", ())
    provenance: Origin = Origin(kind="guess", source="usual efficiency near half load")
    relative_tolerance: float = tolerance(0.03)

    @field_validator("feeds")
    @classmethod
    def _each_once(cls, feeds: tuple[FedPart, ...]) -> tuple[FedPart, ...]:
        ids = [fed.part for fed in feeds]
        for fed in ids:
            if ids.count(fed) > 1:
                raise ValueError(f"part {fed!r} stands here twice; once is enough")
        return feeds

    @property
    def idle_fields(self) -> frozenset[str]:
        """The one efficiency, where it is known by load."""
        return frozenset({"efficiency_percent"}) if self.efficiency_by_load is not None else frozenset()

    def efficiency_at(self, load_w: float) -> float:
        """Efficiency, above 0 and at most 1, at a load [W]."""
        if self.efficiency_by_load is None:
            return to_si(self.efficiency_percent, "percent")
        return self.efficiency_by_load.at(load_w / self.rating_w)

    def loss_w(self, load_w: float) -> float:
        """Heat that it gives off at a load, ``load (1 / efficiency - 1)`` [W].

        Raises
        ------
        PartDataError
            If the load is not 0 or above.
        """
        if not 0 <= load_w < float("inf"):
            raise PartDataError(f"{self.name}: the load must be at least 0 W, got {load_w:g} W", part=self.id)
        return load_w * (1 / self.efficiency_at(load_w) - 1)
