"""Cold plate on a component."""

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from itertools import islice
from typing import Any, ClassVar, Literal

from pydantic import field_validator

from loopsim.curves import DropCurve, DropPoint, Provenance, ResistanceCurve, ResistancePoint
from loopsim.elements import BlockCooling
from loopsim.fields import Record, choice, number, points, text
from loopsim.geometry import Spot
from loopsim.parts.base import FlowPath, Part, Port, restriction, two_ports
from loopsim.parts.inner import Inside, Passages, bore_mm2, straight
from loopsim.units import to_si

__all__ = ["Block", "Load"]


class Load(Record):
    """One component under a block."""

    name: str = text("component", "what gives the heat", "component")
    heat_w: float = number("heat", "that it gives to the block at full duty", 100.0, least=0.0)
    limit_c: float = number(
        "limit", "highest temperature allowed; 85 °C is a guess: see its sheet", 85.0, least=-40.0, most=400.0
    )
    resistance_k_w: float = number(
        "joint",
        "between component and block: lid, paste or pad; 0 if in the block's table; a guess",
        0.05,
        least=0.0,
    )
    capacity_j_k: float = number(
        "own capacity", "heat that warms it by a kelvin: 10 to 50 J/K for a chip with its lid; a guess", 25.0, above=0.0
    )


_FINS_AT = 0.35  # of height, length and width from underside and middle: how far the finned chamber reaches, a guess
_SIDE_OPENING_AT = 0.12  # of the length from the face of the main port: opposite the header, a guess
_IN_HEADERS = 0.4  # share of the coolant, a guess
_FIN_BORE_MM = 1.0  # hydraulic diameter between fins, 0.5 mm apart; a guess

TYPICAL_DROP = DropCurve(
    points=tuple(DropPoint(flow_l_h=flow, dp_kpa=dp) for flow, dp in ((60, 1.0), (120, 3.4), (180, 7.1), (240, 12.1))),
    provenance=Provenance(kind="guess", source="typical cold plate with fine fins"),
    relative_tolerance=0.25,
)


def _guessed(of: str, *rows: tuple[float, float]) -> DropCurve:
    return DropCurve(
        points=tuple(DropPoint(flow_l_h=flow, dp_kpa=dp) for flow, dp in rows),
        provenance=Provenance(kind="guess", source=f"usual {of}"),
        relative_tolerance=0.4,
    )


def _resistances(of: str, *rows: tuple[float, float]) -> ResistanceCurve:
    return ResistanceCurve(
        points=tuple(ResistancePoint(flow_l_h=flow, resistance_k_w=resistance) for flow, resistance in rows),
        provenance=Provenance(kind="guess", source=f"usual {of}, without the component's joint"),
        relative_tolerance=0.4,
    )


TYPICAL_RESISTANCE = _resistances("cold plate", (60, 0.058), (120, 0.045), (180, 0.040), (240, 0.037))


# Usual sizes, all guesses with a wide band: fins as fine as hair on a processor, wider ones over a whole board.
_CLASSES: dict[str, dict[str, Any]] = {
    "processor": {
        "length_mm": 90.0,
        "width_mm": 60.0,
        "loads": (Load(heat_w=150.0, limit_c=90.0),),
        "resistance": _resistances("block on a processor", (60, 0.060), (120, 0.046), (180, 0.041), (240, 0.038)),
        "metal_j_k": 130.0,
        "volume_ml": 15.0,
        "drop": _guessed("block on a processor, fine fins", (60, 1.2), (120, 4.0), (180, 8.2), (240, 13.8)),
    },
    "graphics": {
        "length_mm": 220.0,
        "width_mm": 110.0,
        "ports_at": "one end",
        "port_height_mm": 15.0,
        "loads": (Load(heat_w=250.0, limit_c=90.0),),
        "resistance": _resistances("block on a graphics board", (60, 0.044), (120, 0.032), (180, 0.027), (240, 0.025)),
        "metal_j_k": 350.0,
        "volume_ml": 45.0,
        "drop": _guessed("block over a whole graphics board", (60, 0.7), (120, 2.3), (180, 4.7), (240, 7.9)),
    },
}


class Block(Part):
    """A cold plate: coolant in, coolant out, heat from the component under it."""

    title: ClassVar = "block"
    symbol: ClassVar = "block"
    help: ClassVar = (
        "A cold plate on a hot component. Its fine channels are usually the largest resistance of the loop. Take "
        "pressure drop points from the maker's sheet, or measure with two pressure taps and a bucket. Its thermal "
        "resistance falls with the flow: a table of kelvin per watt, or one value. Hot parts burn fingers: let them "
        "cool before touching."
    )
    family: ClassVar = "loop"
    classes: ClassVar = _CLASSES

    kind: Literal["block"] = "block"
    length_mm: float = number("length", "of the outline, along the part's own x", 80.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 60.0, above=0.0)
    height_mm: float = number("height", "of the outline", 25.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    ports_at: Literal["both ends", "one end"] = choice("ports", "at both ends, or side by side at one", "both ends")
    port_spacing_mm: float = number("port spacing", "between the ports, where both are at one end", 25.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 18.0, least=0.0)
    openings: Literal["2", "4", "6", "8"] = choice(
        "ports in all",
        "threaded ones, half of them to each header, on its face and its sides; those not used are plugged",
        "2",
    )
    volume_ml: float = number("volume", "coolant inside", 20.0, least=0.0)
    metal_j_k: float = number(
        "metal",
        "heat capacity of its metal: 385 J/K for a kilogram of copper, 900 of aluminium; a guess",
        150.0,
        above=0.0,
    )
    loads: tuple[Load, ...] = points("components", "what it cools, one row each", (Load(),))
    drop: DropCurve = points("pressure drop", "drop against flow, port to port", TYPICAL_DROP)
    resistance: ResistanceCurve = points(
        "thermal resistance", "from its contact face to the coolant against flow", TYPICAL_RESISTANCE
    )
    still_percent: float = number(
        "into still coolant",
        "heat passed to standing coolant, as a share of that at the table's first flow; a guess, 10 to 40 % are likely",
        20.0,
        above=0.0,
        most=90.0,
    )

    @field_validator("loads")
    @classmethod
    def _loads_differ(cls, loads: tuple[Load, ...]) -> tuple[Load, ...]:
        name, times = Counter(load.name for load in loads).most_common(1)[0] if loads else ("", 0)
        if times > 1:
            raise ValueError(f"two components are called {name!r}; each needs a name of its own")
        return loads

    def make_ports(self) -> tuple[Port, ...]:
        """Two ports, alike in both directions, and further openings of the headers behind them."""
        first, second = two_ports(self, ("inlet", "outlet"), self.ports_at)
        return first, second, *self._further(first), *self._further(second)

    def _further(self, main: Port) -> list[Port]:
        """The openings of a header beside its main port."""
        places = islice(self._beside(main), int(self.openings) // 2 - 1)
        return [
            Port(f"{main.name}_{number}", Spot(x, y, self.port_height_mm), facing % 360.0, self.bore_mm)
            for number, (x, y, facing) in enumerate(places, 2)
        ]

    def _beside(self, main: Port) -> Iterator[tuple[float, float, float]]:
        """Where they may be: on the sides next to the header, then on the face of the main port. x, y and facing."""
        face, half = main.spot.x_mm, self.width_mm / 2
        inwards = -math.copysign(1.0, face)
        x = face + inwards * _SIDE_OPENING_AT * self.length_mm
        if self.ports_at == "both ends":
            yield x, half, 90.0
            yield x, -half, -90.0
            yield face, min(self.port_spacing_mm, 0.8 * half), main.facing_deg
        else:
            side = math.copysign(1.0, main.spot.y_mm)
            yield x, side * half, side * 90.0
            yield x + inwards * min(self.port_spacing_mm, 0.3 * self.length_mm), side * half, side * 90.0
            yield face, side * min(1.5 * self.port_spacing_mm, 0.9 * half), main.facing_deg

    @property
    def twins(self) -> Mapping[str, str]:
        """Each further opening, and the port whose header it opens."""
        return {name: main for name in self.ports if (main := name.partition("_")[0]) != name}

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """One restriction from inlet to outlet."""
        return (FlowPath("", "inlet", "outlet", restriction(self.drop)),)

    def make_inside(self) -> Inside:
        """Fins near the contact face, between two headers across the block; where they lie is a guess."""
        height = min(_FINS_AT * self.height_mm, self.port_height_mm)
        reach = _FINS_AT * self.length_mm
        passages = Passages(
            volume_ml=(1 - _IN_HEADERS) * self.volume_ml,
            headers_ml=_IN_HEADERS * self.volume_ml,
            bore_mm=_FIN_BORE_MM,
            area_mm2=bore_mm2(self.bore_mm),
            header_bore_mm=self.bore_mm,
            header_mm2=bore_mm2(self.bore_mm),
            half_width_mm=_FINS_AT * self.width_mm,
            heights_mm=(height,),
        )
        spots = {name: port.spot for name, port in self.ports.items() if name not in self.twins}
        inside = passages.inside(spots, self.bore_mm, -reach, reach)
        further = (straight(name, f"{main}_header", self.bore_mm) for name, main in self.twins.items())
        return replace(inside, paths=(*inside.paths, *further))

    @property
    def idle_fields(self) -> frozenset[str]:
        """A single port at each end has no distance from another to be stated."""
        is_single = self.ports_at == "both ends" and self.openings != "8"
        return frozenset({"port_spacing_mm"}) if is_single else frozenset()

    @property
    def heat_w(self) -> float:
        """Heat that the part puts into the coolant [W]."""
        return sum(load.heat_w for load in self.loads)

    @cached_property
    def cooling(self) -> BlockCooling:
        """Its thermal resistance against flow; the joint of each load comes on top."""
        curve, share = self.resistance, to_si(self.still_percent, "percent")
        flow, resistance = curve.flow, curve.resistance
        if len(flow) == 1:
            return BlockCooling.from_one_point(
                float(flow[0]), float(resistance[0]), curve.exponent, share, curve.relative_tolerance
            )
        return BlockCooling.from_points(flow, resistance, share, curve.relative_tolerance)

    @property
    def provenances(self) -> Iterable[Provenance]:
        """Where the data that feed the flow come from."""
        return (self.drop.provenance,)

    @property
    def coolant_ml(self) -> float:
        """Coolant that it holds [mL]."""
        return self.volume_ml
