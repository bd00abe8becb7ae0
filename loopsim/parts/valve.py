"""Shut-off and throttle valve."""

from itertools import pairwise
from typing import ClassVar, Literal

import numpy as np
from pydantic import field_validator

from loopsim import elements
from loopsim.curves import LiquidCurve, Provenance
from loopsim.fields import Record, choice, number, points
from loopsim.parts.base import FlowPath, Part, Port, Setting, two_ports
from loopsim.parts.fitting import bore_ml, tolerance
from loopsim.units import to_si

__all__ = ["KvCurve", "KvPoint", "Valve"]

EQUAL_PERCENTAGE_RANGE = 50.0  # Kv when open over Kv just off the seat; usual for throttle valves


class KvPoint(Record):
    """Flow coefficient at one opening."""

    opening_percent: float = number("opening", "in per cent of the full opening", above=0.0, most=100.0)
    kv_m3_h: float = number("Kv", "flow of water at 1 bar at this opening", above=0.0)


class KvCurve(LiquidCurve):
    """Flow coefficient against opening."""

    points: tuple[KvPoint, ...] = points("points", "flow coefficient against opening, at least one point")

    @field_validator("points")
    @classmethod
    def _usable(cls, points: tuple[KvPoint, ...]) -> tuple[KvPoint, ...]:
        if not points:
            raise ValueError("a curve of Kv against opening needs at least 1 point, got 0")
        for before, after in pairwise(points):
            if after.opening_percent <= before.opening_percent or after.kv_m3_h < before.kv_m3_h:
                raise ValueError(
                    f"opening must rise and Kv not fall from point to point, got {after.kv_m3_h:g} m3/h at "
                    f"{after.opening_percent:g} % after {before.kv_m3_h:g} m3/h at {before.opening_percent:g} %"
                )
        return points

    def kv_at(self, opening: float) -> float:
        """Kv [m3/h] at an opening, 0 to 1: straight lines from shut through the points, level after the last."""
        openings = [0.0, *(to_si(point.opening_percent, "percent") for point in self.points)]
        return float(np.interp(opening, openings, [0.0, *(point.kv_m3_h for point in self.points)]))


class Valve(Part):
    """A valve known by its flow coefficient when open, and by how that falls as it closes. Shut, nothing passes."""

    title: ClassVar = "valve"
    symbol: ClassVar = "valve"
    help: ClassVar = (
        "Shuts a line off or throttles it. Kv is the flow of water in m3/h at a drop of 1 bar with the valve open; "
        "a maker's Cv times 0.865 is Kv. A ball valve of 10 mm bore has about 6, a needle valve 0.5 or less."
    )
    placement_fields: ClassVar = ("opening_percent",)

    kind: Literal["valve"] = "valve"
    length_mm: float = number("length", "of the outline, along the part's own x", 55.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 30.0, above=0.0)
    height_mm: float = number("height", "of the outline, with the handle", 45.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 14.0, least=0.0)
    kv_m3_h: float = number("Kv", "flow of water at 1 bar with the valve open; the default is a guess", 6.0, above=0.0)
    characteristic: Literal["linear", "equal percentage", "quick opening"] = choice(
        "characteristic", "how Kv falls as the valve closes: in proportion, by equal shares per step, late", "linear"
    )
    kv_by_opening: KvCurve | None = points(
        "Kv by opening", "measured or from a sheet, in place of Kv and characteristic; empty if not known", None
    )
    provenance: Provenance = Provenance(kind="guess", source="usual ball valve of 10 mm bore, give or take a half")
    relative_tolerance: float = tolerance(0.5)

    def make_ports(self) -> tuple[Port, ...]:
        """Two ports in line."""
        return two_ports(self, ("a", "b"), "both ends")

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """The valve fully open."""
        return (FlowPath("", "a", "b", elements.Valve(self.kv_at(1.0))),)

    def paths_as_set(self, setting: Setting) -> tuple[FlowPath, ...]:
        """The valve at its opening; shut, the way is gone."""
        if setting.opening <= 0:
            return ()
        return (FlowPath("", "a", "b", elements.Valve(self.kv_at(setting.opening))),)

    def kv_at(self, opening: float) -> float:
        """Flow coefficient at an opening, 0 to 1 [m3/h at 1 bar].

        References
        ----------
        Inherent characteristics of IEC 60534-2-4: linear, and equal percentage with a range of 50. Quick opening as
        the square root of the opening, common practice.
        """
        if self.kv_by_opening is not None:
            return self.kv_by_opening.kv_at(opening)
        if self.characteristic == "linear":
            return self.kv_m3_h * opening
        if self.characteristic == "quick opening":
            return float(self.kv_m3_h * opening**0.5)
        return float(self.kv_m3_h * EQUAL_PERCENTAGE_RANGE ** (opening - 1))

    @property
    def idle_fields(self) -> frozenset[str]:
        """Kv and characteristic, where Kv is known by opening."""
        by_points = {"kv_m3_h", "characteristic", "provenance", "relative_tolerance"}
        return frozenset() if self.kv_by_opening is None else frozenset(by_points)

    @property
    def provenances(self) -> tuple[Provenance, ...]:
        """That of the points where there are any, else that of the single number."""
        return (self.provenance if self.kv_by_opening is None else self.kv_by_opening.provenance,)

    @property
    def coolant_ml(self) -> float:
        """Coolant in the straight bore [mL]."""
        return bore_ml(self.bore_mm, self.length_mm)
