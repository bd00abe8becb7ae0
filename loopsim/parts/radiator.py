"""Radiator: liquid in its tubes, air between its fins."""

from collections.abc import Callable, Iterable
from functools import cached_property, lru_cache
from typing import Any, ClassVar, Literal

from pydantic import ConfigDict, ValidationInfo, field_validator

from loopsim.curves import (
    AirDropCurve,
    AirDropPoint,
    AirOrigin,
    DropCurve,
    DropPoint,
    Provenance,
    RadiatorCurve,
    RadiatorPoint,
    radiator_curve_from_fan_rating,
)
from loopsim.elements import Restriction
from loopsim.elements.exchange import RADIATOR, Core, Exchanger, Passes, fit_exchanger
from loopsim.errors import PartDataError
from loopsim.fields import choice, number, points
from loopsim.parts.base import AirPath, FlowPath, Part, Port, Setting, restriction, two_ports
from loopsim.parts.inner import Inside, Passages
from loopsim.units import to_si

__all__ = ["Radiator"]

TYPICAL_DROP = DropCurve(
    points=tuple(DropPoint(flow_l_h=flow, dp_kpa=dp) for flow, dp in ((60, 0.25), (120, 0.85), (180, 1.8), (240, 3.0))),
    provenance=Provenance(kind="guess", source="typical slim radiator, flat tubes, one pass"),
    relative_tolerance=0.25,
)


def _sheds(of: str, *rows: tuple[float, float]) -> RadiatorCurve:
    """Heat per 10 K against the flow of air, at 120 L/h."""
    return RadiatorCurve(
        points=tuple(RadiatorPoint(flow_l_h=120.0, air_m3_h=flow, heat_w=heat) for flow, heat in rows),
        provenance=Provenance(kind="guess", source=f"usual {of}"),
        relative_tolerance=0.4,
    )


def _fins(of: str, *rows: tuple[float, float]) -> AirDropCurve:
    return AirDropCurve(
        points=tuple(AirDropPoint(air_m3_h=flow, dp_pa=dp) for flow, dp in rows),
        provenance=AirOrigin(kind="guess", source=f"usual {of}"),
        relative_tolerance=0.4,
    )


TYPICAL_HEAT = _sheds("core of 360 by 48 mm, 40 mm deep", (40, 95.0), (80, 150.0), (120, 190.0))
TYPICAL_FINS = _fins("core of 360 by 48 mm, 40 mm deep", (30, 6.0), (60, 15.0), (120, 40.0))


def _of_core(length: float, volume: float, *drops: float) -> dict[str, Any]:
    """Both ports at one end: the liquid goes there through one half of the tubes and back through the other."""
    faces, of = length / 120.0, f"slim core of {length:g} mm, there and back"
    return {
        "length_mm": length + 40.0,
        "width_mm": 120.0,
        "height_mm": 30.0,
        "ports_at": "one end",
        "port_spacing_mm": 60.0,
        "port_height_mm": 15.0,
        "volume_ml": volume,
        "metal_j_k": 140.0 + 160.0 * faces,
        "passes": "two side by side",
        "core_length_mm": length,
        "core_width_mm": 115.0,
        "core_depth_mm": 22.0,
        "tube_count": 12,
        "drop": DropCurve(
            points=tuple(DropPoint(flow_l_h=f, dp_kpa=dp) for f, dp in zip((60, 120, 180, 240), drops, strict=True)),
            provenance=Provenance(kind="guess", source=f"usual {of}"),
            relative_tolerance=0.4,
        ),
        "air_drop": _fins(of, (25 * faces, 4.0), (50 * faces, 10.5), (100 * faces, 28.0)),
        "heat": _sheds(of, (40 * faces, 85.0 * faces), (80 * faces, 120.0 * faces), (120 * faces, 145.0 * faces)),
    }


# By the length of the core, 120 mm wide; guesses with a wide band, most of the drop being that of the end tanks.
_CLASSES: dict[str, dict[str, Any]] = {
    "120 mm": _of_core(120.0, 60.0, 0.30, 1.0, 2.05, 3.4),
    "240 mm": _of_core(240.0, 105.0, 0.38, 1.28, 2.6, 4.3),
    "360 mm": _of_core(360.0, 150.0, 0.46, 1.55, 3.15, 5.2),
}


class Radiator(Part):
    """Flat tubes and fins between two end tanks."""

    title: ClassVar = "radiator"
    symbol: ClassVar = "radiator"
    help: ClassVar = (
        "Sheds the heat to the air. Its liquid side costs little pressure as long as the tubes are not clogged; take "
        "the drop from the maker's sheet or measure it. What it sheds hangs on both flows: give points or a rating "
        "with its flow of air, a rating with the speed of its fans, or the size of its core; the last two are "
        "estimates with a wide band."
    )
    family: ClassVar = "loop"
    classes: ClassVar = _CLASSES

    # Defaults are checked too: a choice may contradict the default of another field.
    model_config: ClassVar[ConfigDict] = ConfigDict(validate_default=True)
    placement_fields: ClassVar = ("air_from", "air_to")

    kind: Literal["radiator"] = "radiator"
    length_mm: float = number("length", "of the outline, along the part's own x", 400.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 55.0, above=0.0)
    height_mm: float = number("height", "of the outline", 55.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    ports_at: Literal["both ends", "one end"] = choice("ports", "at both ends, or side by side at one", "both ends")
    port_spacing_mm: float = number("port spacing", "between the ports, where both are at one end", 30.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 27.0, least=0.0)
    volume_ml: float = number("volume", "coolant inside", 120.0, least=0.0)
    metal_j_k: float = number(
        "metal",
        "heat capacity of its metal: 385 J/K for a kilogram of copper, 900 of aluminium; a guess",
        350.0,
        above=0.0,
    )
    drop: DropCurve = points("pressure drop", "drop against flow, port to port", TYPICAL_DROP)
    air_drop: AirDropCurve = points("air drop", "what its fins cost the air", TYPICAL_FINS)
    passes: Passes = choice(
        "passes",
        "ways of the liquid through the core: one; there and back side by side, each with half of the air; there and "
        "back one behind the other, the air meeting the way back first",
        "one",
    )
    heat_data: Literal["points", "rating at a fan speed", "core size"] = choice(
        "heat from",
        "points or ratings with their flow of air; a rating with the speed of its fans; or the core",
        "points",
    )
    heat: RadiatorCurve = points("heat", "heat at a flow of coolant and of air; one row is enough", TYPICAL_HEAT)
    rating_w: float = number("rating", "heat per 10 K of coolant above air, at a fan speed", 100.0, above=0.0)
    rating_flow_l_h: float = number("rated flow", "coolant flow of the rating", 120.0, above=0.0)
    rating_fan_count: int = number("rated fans", "side by side in the test of the rating", 1, least=1)
    rating_fan_mm: float = number("rated fan size", "frame of each of them", 120.0, above=0.0)
    rating_fan_rpm: float = number("rated fan speed", "of each of them", 1500.0, above=0.0)
    core_length_mm: float = number("core length", "of the finned face, along the tubes", 360.0, above=0.0)
    core_width_mm: float = number("core width", "of the finned face, across the tubes", 48.0, above=0.0)
    core_depth_mm: float = number("core depth", "in the direction of the air", 40.0, above=0.0)
    fin_pitch_mm: float = number("fin pitch", "from fin to fin: 25.4 mm over the fins per inch", 1.6, above=0.1)
    tube_count: int = number("tubes", "flat tubes side by side over the core's width", 4, least=1)
    tube_thickness_mm: float = number("tube thickness", "of a flat tube, outside, across the width", 2.0, above=0.4)

    @field_validator("rating_fan_rpm")
    @classmethod
    def _possible(cls, speed: float, info: ValidationInfo) -> float:
        rated = {name: info.data.get(name) for name in _RATED}
        if info.data.get("heat_data") == "rating at a fan speed" and None not in rated.values():
            _as_value_error(lambda: _fan_rating(rating_fan_rpm=speed, **rated))
        return speed

    @field_validator("tube_thickness_mm")
    @classmethod
    def _leaves_fins(cls, thickness: float, info: ValidationInfo) -> float:
        sizes = {name: info.data.get(name) for name in _SIZES}
        if info.data.get("heat_data") == "core size" and None not in sizes.values():
            _as_value_error(lambda: _core(tube_thickness_mm=thickness, **sizes))
        return thickness

    def make_ports(self) -> tuple[Port, ...]:
        """Two ports, alike in both directions."""
        return two_ports(self, ("a", "b"), self.ports_at)

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """One restriction from port to port."""
        return (FlowPath("", "a", "b", restriction(self.drop)),)

    def make_inside(self) -> Inside:
        """Flat tubes between end tanks that reach from the floor to the top; sizes of the core, walls guessed."""
        gap = max(self.tube_thickness_mm - 2 * _TUBE_WALL_MM, 0.1)
        area = self.tube_count * gap * self.core_depth_mm
        in_tubes = min(area * self.core_length_mm / 1000.0, _MOST_IN_TUBES * self.volume_ml)
        tank = max((self.length_mm - self.core_length_mm) / 2, _LEAST_TANK_MM)
        wide, high = min(self.core_width_mm, self.width_mm), self.height_mm - 2 * _TANK_WALL_MM
        passages = Passages(
            volume_ml=in_tubes,
            headers_ml=self.volume_ml - in_tubes,
            bore_mm=2 * gap * self.core_depth_mm / (gap + self.core_depth_mm),
            area_mm2=area,
            header_bore_mm=2 * tank * wide / (tank + wide),
            header_mm2=tank * wide,
            half_width_mm=wide / 2,
            heights_mm=(_TANK_WALL_MM, _TANK_WALL_MM + high) if high > 0 else (self.height_mm / 2,),
        )
        end = (self.length_mm - tank) / 2
        return passages.inside({name: port.spot for name, port in self.ports.items()}, self.bore_mm, -end, end)

    def air_paths_as_set(self, setting: Setting) -> tuple[AirPath, ...]:  # noqa: ARG002  fins cannot be set
        """The air between its fins."""
        return (AirPath("", self.air_element),)

    @cached_property
    def air_element(self) -> Restriction:
        """What its fins cost the air."""
        return restriction(self.air_drop)

    @cached_property
    def exchanger(self) -> Exchanger:
        """Heat from coolant (side a) to air (side b); PartDataError if the points cannot be."""
        if self.heat_data == "core size":
            return _core(**{name: getattr(self, name) for name in (*_SIZES, "tube_thickness_mm")}).exchanger(
                self.passes
            )
        curve = self.fan_rating if self.heat_data == "rating at a fan speed" else self.heat
        try:
            return _fitted(curve, self.passes)
        except PartDataError as error:
            raise PartDataError(f"{self.name}: {error}", part=self.id, field="heat") from error

    @property
    def core(self) -> Core:
        """Its finned part."""
        return _core(**{name: getattr(self, name) for name in (*_SIZES, "tube_thickness_mm")})

    @property
    def fan_rating(self) -> RadiatorCurve:
        """The rating at a fan speed, as a point with an estimated flow of air."""
        return _fan_rating(**{name: getattr(self, name) for name in (*_RATED, "rating_fan_rpm")})

    @property
    def idle_fields(self) -> frozenset[str]:
        """Fields of the two kinds of heat data that are not chosen; the spacing of ports that are at both ends."""
        of = {
            "points": {"heat"},
            "rating at a fan speed": {*_RATED, "rating_fan_rpm"},
            "core size": {*_SIZES, "tube_thickness_mm"},
        }
        spacing = {"port_spacing_mm"} if self.ports_at == "both ends" else set()
        return frozenset(name for chosen, names in of.items() if chosen != self.heat_data for name in names) | spacing

    @property
    def heat_provenance(self) -> Provenance:
        """Where its heat comes from."""
        if self.heat_data == "core size":
            return Provenance(kind="geometry", source="channel laws from the size of its core")
        return (self.fan_rating if self.heat_data == "rating at a fan speed" else self.heat).provenance

    @property
    def coolant_ml(self) -> float:
        """Coolant that it holds [mL]."""
        return self.volume_ml

    @property
    def provenances(self) -> Iterable[Provenance]:
        """Where the data that feed the flow of the liquid come from."""
        return (self.drop.provenance,)


_TUBE_WALL_MM, _TANK_WALL_MM, _LEAST_TANK_MM = 0.2, 1.0, 5.0  # guesses
_MOST_IN_TUBES = 0.8  # share of the coolant; the end tanks hold the rest, a guess
_RATED = ("rating_w", "rating_flow_l_h", "rating_fan_count", "rating_fan_mm")
_SIZES = ("core_length_mm", "core_width_mm", "core_depth_mm", "fin_pitch_mm", "tube_count")


@lru_cache(maxsize=64)
def _fitted(curve: RadiatorCurve, passes: Passes) -> Exchanger:
    """Kept, for a fit takes milliseconds, and radiators are often bought in pairs and edited in other fields."""
    return fit_exchanger(curve.heat_points, RADIATOR, "cross flow", passes, curve.relative_tolerance)


def _fan_rating(**rated: Any) -> RadiatorCurve:
    return radiator_curve_from_fan_rating(**{name.removeprefix("rating_"): value for name, value in rated.items()})


def _core(**sizes: Any) -> Core:
    count = sizes.pop("tube_count")
    metres = {name.removeprefix("core_").removesuffix("_mm"): to_si(value, "mm") for name, value in sizes.items()}
    return Core(tube_count=count, **metres)


def _as_value_error(make: Callable[[], object]) -> None:
    """Make something, and say what is wrong with it as a value that a builder typed."""
    try:
        make()
    except PartDataError as error:
        raise ValueError(str(error)) from error
