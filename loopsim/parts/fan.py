"""Fan."""

import math
from functools import cached_property
from typing import Any, ClassVar, Literal

from loopsim import elements
from loopsim.curves import AirOrigin, FanCurve, FanPoint
from loopsim.fields import number, points
from loopsim.parts.base import AirPath, DryPart, Setting, sound_at_speed
from loopsim.units import to_si

__all__ = ["Fan"]

# Shape of a small axial fan's curve, as shares of the flow at no pressure and of the pressure at no flow; a guess.
_TYPICAL_SHAPE = ((0, 1), (0.15, 0.88), (0.3, 0.72), (0.45, 0.6), (0.6, 0.5), (0.75, 0.34), (0.9, 0.14), (1, 0))


def _guessed_curve(size_mm: float, largest_m3_h: float, largest_pa: float) -> FanCurve:
    rows = ((round(flow * largest_m3_h, 1), round(dp * largest_pa, 1)) for flow, dp in _TYPICAL_SHAPE)
    return FanCurve(
        points=tuple(FanPoint(air_m3_h=flow, pressure_pa=dp) for flow, dp in rows),
        provenance=AirOrigin(kind="guess", source=f"typical axial fan of {size_mm:g} mm, 12 V"),
        relative_tolerance=0.25,
    )


def _class(size_mm: float, thick_mm: float, flow: float, pressure: float, power_w: float, dba: float) -> dict[str, Any]:
    return {
        "size_mm": size_mm,
        "length_mm": thick_mm,
        "width_mm": size_mm,
        "height_mm": size_mm,
        "curve": _guessed_curve(size_mm, flow, pressure),
        "power_w": power_w,
        "sound_dba": dba,
    }


_CLASSES: dict[str, dict[str, Any]] = {
    "60 mm": _class(60.0, 25.0, 35.0, 45.0, 2.0, 34.0),
    "80 mm": _class(80.0, 25.0, 60.0, 32.0, 1.8, 31.0),
    "92 mm": _class(92.0, 25.0, 80.0, 32.0, 2.0, 32.0),
    "120 mm": _class(120.0, 25.0, 115.0, 28.0, 2.2, 31.0),
    "140 mm": _class(140.0, 25.0, 150.0, 24.0, 2.4, 31.0),
}
_TYPICAL = _CLASSES["80 mm"]


class Fan(DryPart):
    """A fan known by its curve of static pressure. Stopped, air passes between its blades both ways."""

    title: ClassVar = "fan"
    symbol: ClassVar = "fan"
    help: ClassVar = (
        "Moves air through filters and radiators. Its curve says how much static pressure it still builds up at each "
        "air flow; take it from the maker's sheet. A fan that stands is a hole in the wall: air goes back through it. "
        "Keep fingers and cables out of the blades."
    )
    placement_fields: ClassVar = ("speed_percent", "air_from", "air_to")
    air_from: ClassVar = "room"
    air_to: ClassVar = "chamber"
    classes: ClassVar = _CLASSES

    kind: Literal["fan"] = "fan"
    length_mm: float = number("length", "of the outline, along the part's own x; air goes this way", 25.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 80.0, above=0.0)
    height_mm: float = number("height", "of the outline", 80.0, above=0.0)
    size_mm: float = number("size", "edge of its square frame", 80.0, above=0.0)
    power_w: float = number(
        "power", "electrical, at full speed in air of 1.2 kg/m³; the default is a guess", _TYPICAL["power_w"], least=0.0
    )
    start_percent: float = number(
        "slowest start", "speed below which it does not start and stands; 20 to 40 is usual, 30 a guess", 30.0,
        least=0.0, most=100.0,
    )  # fmt: skip
    sound_dba: float | None = number(
        "sound", "level at 1 m at full speed, ±4 where it is a guess; empty if not known", _TYPICAL["sound_dba"],
        least=0.0, most=120.0,
    )  # fmt: skip
    free_percent: float = number(
        "open when stopped", "share of the fan's circle that is open between hub and standing blades; 45 is a guess",
        45.0, above=0.0, most=100.0,
    )  # fmt: skip
    standing_loss: float = number(
        "loss when stopped",
        "in velocity heads of the open area, both ways; 2.7 is that of a sharp-edged hole, here a guess, ±50 %",
        2.7, above=0.0, most=50.0,
    )  # fmt: skip
    curve: FanCurve = points("fan curve", "static pressure against air flow at full speed", _TYPICAL["curve"])

    def turns(self, setting: Setting) -> bool:
        """True if it has power and enough speed to start."""
        return not setting.stopped and setting.speed >= to_si(self.start_percent, "percent") and setting.speed > 0

    def air_paths_as_set(self, setting: Setting) -> tuple[AirPath, ...]:
        """The fan at its speed, or standing."""
        return (AirPath("", self._running.at_speed(setting.speed) if self.turns(setting) else self.stopped_element),)

    @cached_property
    def _running(self) -> elements.Pump:
        return elements.Pump.from_points(self.curve.flow, self.curve.head)

    @cached_property
    def stopped_element(self) -> elements.Opening:
        """The fan without power: an opening of its free area, the same both ways; an estimate."""
        circle = math.pi / 4 * to_si(self.size_mm, "mm") ** 2
        return elements.Opening(to_si(self.free_percent, "percent") * circle, self.standing_loss)

    @property
    def air_heat_w(self) -> float:
        """All of its electrical power ends as heat of the air [W]."""
        return self.power_w

    def electrical_w_at(self, speed: float) -> float:
        """Electrical power at a share of full speed: with its cube (affinity law), in air of 1.2 kg/m3 [W]."""
        return self.power_w * speed**3

    def sound_dba_at(self, speed: float) -> float | None:
        """Sound level at 1 m at a share of full speed [dB(A)]; None if not known."""
        return sound_at_speed(self.sound_dba, speed)
