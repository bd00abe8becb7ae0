"""Centrifugal pump."""

from dataclasses import replace
from functools import cached_property
from typing import Any, ClassVar, Literal

import numpy as np

from loopsim import elements
from loopsim.curves import (
    DropCurve,
    HeadCurve,
    HeadPoint,
    PiecewiseCubic,
    PowerCurve,
    Provenance,
    ProvenanceKind,
    worst_provenance,
)
from loopsim.fields import choice, number, points
from loopsim.geometry import Spot
from loopsim.parts.base import FlowPath, Part, Port, Setting, restriction
from loopsim.parts.inner import Inside, bowl
from loopsim.units import GRAVITY, from_si, to_si

__all__ = ["Pump"]


def _guessed_curve(of: str, *rows: tuple[float, float], relative_tolerance: float) -> HeadCurve:
    return HeadCurve(
        points=tuple(HeadPoint(flow_l_h=flow, head_m=head) for flow, head in rows),
        provenance=Provenance(kind="guess", source=f"typical shape of a {of}"),
        relative_tolerance=relative_tolerance,
    )


_COMPACT, _STRONG, _LARGE = (
    "compact 12 V pump, 10 W class",
    "compact 12 V pump, 18 W class",
    "large 12 V pump, 30 W class",
)
COMPACT_CURVE = _guessed_curve(
    _COMPACT, (0, 4.1), (100, 3.95), (200, 3.6), (300, 2.95), (400, 1.9), (480, 0.7), relative_tolerance=0.1
)

# What a builder may start from before the pump is chosen: values of fields by class, all guesses with a band.
_CLASSES: dict[str, dict[str, Any]] = {
    "compact 10 W": {"curve": COMPACT_CURVE, "rated_power_w": 10.0},
    "compact 18 W": {
        "curve": _guessed_curve(
            _STRONG, (0, 5.5), (200, 5.1), (400, 4.3), (600, 3.1), (800, 1.5), (920, 0.3), relative_tolerance=0.15
        ),
        "rated_power_w": 18.0,
        "length_mm": 65.0,
        "width_mm": 62.0,
        "height_mm": 45.0,
        "volume_ml": 20.0,
    },
    "large 30 W": {
        "curve": _guessed_curve(
            _LARGE, (0, 5.0), (300, 4.75), (600, 4.3), (900, 3.6), (1200, 2.6), (1500, 1.2), relative_tolerance=0.2
        ),
        "rated_power_w": 30.0,
        "length_mm": 95.0,
        "width_mm": 75.0,
        "height_mm": 75.0,
        "bore_mm": 13.0,
        "outlet_at": "left side",
        "inlet_height_mm": 38.0,
        "outlet_height_mm": 38.0,
        "volume_ml": 45.0,
    },
}


_WALL_MM = 3.0  # of the body around the volute, a guess
_STANDING = f"±{from_si(elements.STANDING_BAND, 'percent'):g}"


class Pump(Part):
    """A pump known by its head curve. Stopped, its impeller stands and resists."""

    title: ClassVar = "pump"
    symbol: ClassVar = "pump"
    help: ClassVar = (
        "Moves the coolant. Its curve says how much head it still gives at each flow; take it from the maker's sheet, "
        "or measure: close the outlet for the head at no flow, and time a bucket for the flow at no head. "
        "It must be flooded before it runs: dry running ruins most small pumps within minutes."
    )
    placement_fields: ClassVar = ("speed_percent",)
    family: ClassVar = "loop"
    classes: ClassVar = _CLASSES
    one_way: ClassVar = True

    kind: Literal["pump"] = "pump"
    length_mm: float = number("length", "of the outline, along the part's own x", 60.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 60.0, above=0.0)
    height_mm: float = number("height", "of the outline", 38.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    outlet_at: Literal["far end", "left side", "right side"] = choice(
        "outlet", "where the outlet is, seen from the inlet", "far end"
    )
    inlet_height_mm: float = number("inlet height", "middle of the inlet above the underside", 19.0, least=0.0)
    outlet_height_mm: float = number("outlet height", "middle of the outlet above the underside", 19.0, least=0.0)
    rated_power_w: float = number(
        "rated power",
        "electrical power at full speed; without points of the power it stands for every flow, which is an estimate",
        10.0,
        least=0.0,
    )
    heat_to_coolant_percent: float = number(
        "heat to coolant",
        "share of the electrical power that ends as heat in the coolant, the rest warms the air around; a guess: 60 to "
        "90 % where the coolant washes the rotor and cools the windings through a thin can, as in most small pumps",
        75.0,
        least=0.0,
        most=100.0,
    )
    npsh_required_m: float | None = number(
        "suction head needed", "net positive suction head that the maker asks for; empty if not known", None, least=0.0
    )
    volume_ml: float = number("volume", "coolant inside", 15.0, least=0.0)
    curve: HeadCurve = points("pump curve", "head against flow at full speed", COMPACT_CURVE)
    power: PowerCurve | None = points(
        "power",
        "electrical power against flow at full speed; empty: the rated power at every flow. At other speeds it goes "
        "with the cube of the speed, so that what the electronics draw by themselves is not counted apart",
        None,
    )
    stopped_forward: DropCurve | None = points(
        "stopped, forward",
        f"drop of liquid pushed through the standing pump; empty: a guess from the curve, {_STANDING} %",
        None,
    )
    stopped_backward: DropCurve | None = points(
        "stopped, backward",
        f"drop of liquid pushed back through the standing pump; empty: a guess from the curve, {_STANDING} %",
        None,
    )

    def make_ports(self) -> tuple[Port, ...]:
        """Inlet at the near end, outlet as chosen."""
        end, side = self.length_mm / 2, self.width_mm / 2
        outlets = {"far end": (end, 0.0, 0.0), "left side": (0.0, side, 90.0), "right side": (0.0, -side, 270.0)}
        x, y, facing = outlets[self.outlet_at]
        return (
            Port("inlet", Spot(-end, 0.0, self.inlet_height_mm), 180.0, self.bore_mm),
            Port("outlet", Spot(x, y, self.outlet_height_mm), facing, self.bore_mm),
        )

    def make_inside(self) -> Inside:
        """The volute around the impeller, up to a wall of 3 mm, a guess: its top keeps air when it lies above."""
        bores = {name: port.bore_mm for name, port in self.ports.items()}
        top, low = self.height_mm - _WALL_MM, min(_WALL_MM, self.inlet_height_mm)
        return bowl(bores, self.volume_ml, Spot(0.0, 0.0, self.inlet_height_mm), top, low, self.width_mm / 2 - _WALL_MM)

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """The running pump at full speed."""
        return (FlowPath("", "inlet", "outlet", elements.Pump.from_points(self.curve.flow, self.curve.head)),)

    def paths_as_set(self, setting: Setting) -> tuple[FlowPath, ...]:
        """The pump at its speed, or standing."""
        (path,) = self.flow_paths
        if setting.stopped:
            return (replace(path, element=self.stopped_element),)
        assert isinstance(path.element, elements.Pump)
        return (replace(path, element=path.element.at_speed(setting.speed)),)

    def electrical_power(self, flow: float, speed: float, density: float) -> float:
        """Power that the running pump draws [W].

        Between its points on straight lines, beyond them as at the nearest; without points the rated power.

        Parameters
        ----------
        flow : float
            Through the pump; reverse flow is taken like no flow [m3/s].
        speed : float
            Share of full speed, above 0.
        density : float
            Of the coolant; power from points goes with it, being the power of the liquid on which they were taken
            [kg/m3].

        References
        ----------
        Affinity law ``P ~ rho n^3`` at ``Q ~ n``, as in every pump handbook. Checked in
        tests/reference/test_pumps.py.
        """
        if self.power is None:
            return self.rated_power_w * speed**3
        at_full_speed = float(np.interp(flow / speed, self.power.flow, self.power.power))
        return at_full_speed * speed**3 * density / self.power.provenance.state.density

    def power_provenance(self, flow: float, speed: float) -> ProvenanceKind:
        """How sure `electrical_power` is: a guess without points, and beyond them."""
        points = self.power
        if points is None or not points.flow[0] <= flow / speed <= points.flow[-1]:
            return "guess"
        return points.provenance.kind

    def heat_shares(self, power: float, hydraulic: float) -> tuple[float, float]:
        """Where the power that it draws ends: in the coolant and in the air around [W].

        The first contains the hydraulic power, which turns to heat where pressure drops, and never falls below it.
        """
        to_coolant = max(power * to_si(self.heat_to_coolant_percent, "percent"), min(hydraulic, power))
        return to_coolant, power - to_coolant

    @property
    def stopped_is_estimate(self) -> bool:
        """True if the resistance of the standing impeller is not known in both directions."""
        return self.stopped_forward is None or self.stopped_backward is None

    @property
    def stopped_provenance(self) -> ProvenanceKind:
        """How sure that resistance is: the worse of the two directions."""
        if self.stopped_forward is None or self.stopped_backward is None:
            return "guess"
        both = (self.stopped_forward.provenance, self.stopped_backward.provenance)
        return worst_provenance(both) or "guess"

    @cached_property
    def stopped_element(self) -> elements.StoppedPump:
        """The pump without power, from its own data where there are any."""
        flow, head = elements.Pump.from_points(self.curve.flow, self.curve.head).law.best_point()
        estimate = elements.StoppedPump.from_best_point(flow, head).curve
        forward, backward = (
            _head_lost(curve) if curve else estimate for curve in (self.stopped_forward, self.stopped_backward)
        )
        return elements.StoppedPump(PiecewiseCubic.joined_at_zero(backward, forward))

    @property
    def provenances(self) -> list[Provenance]:
        """Where the data that feed the flow come from: what it draws is none of them."""
        curves = (self.curve, self.stopped_forward, self.stopped_backward)
        return [curve.provenance for curve in curves if curve is not None]

    @property
    def coolant_ml(self) -> float:
        """Coolant that it holds [mL]."""
        return self.volume_ml


def _head_lost(curve: DropCurve) -> PiecewiseCubic:
    """Head [m] against flow [m3/s] of measured drops, in the liquid in which they were measured."""
    state = curve.provenance.state
    return restriction(curve).law.in_medium(state.density, state.viscosity).scaled(1.0, 1 / (state.density * GRAVITY))
