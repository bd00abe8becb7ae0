"""What every part kind offers."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar, Literal

from loopsim.curves import AirDropCurve, DataCurve, DropCurve, Origin
from loopsim.elements import BlockCooling, Element, MeetingLaw, Restriction
from loopsim.elements.exchange import Exchanger
from loopsim.fields import FieldDescription, Record, choice, describe, number, text
from loopsim.geometry import Outline, Spot
from loopsim.media import Cushion
from loopsim.parts.inner import Inside, shared_out, straight
from loopsim.units import to_si

__all__ = [
    "FAMILIES",
    "ID_PATTERN",
    "LAYERS",
    "AirPath",
    "DryPart",
    "FlowPath",
    "Part",
    "Port",
    "Setting",
    "Wetted",
    "clogging_factor",
    "restriction",
    "sound_at_speed",
    "two_ports",
]

FAMILIES = ("loop", "fittings", "filling and draining", "air and power")  # in the order in which a builder needs them
LAYERS = ("liquid", "air", "power")  # of a drawing: what can be shown or hidden together
Wetted = Literal["not stated", "copper", "brass", "nickel", "stainless steel", "steel", "aluminium", "plastic or glass"]
ID_PATTERN = r"^[a-z][a-z0-9_]*$"


@dataclass(frozen=True, slots=True)
class Port:
    """Where a tube joins a part, in the part's own axes around the middle of its underside.

    Attributes
    ----------
    name : str
    spot : Spot
        Middle of the port plane [mm].
    facing_deg : float
        Direction in which a tube leaves, counter-clockwise from the part's own x.
    bore_mm : float
    out_loss, in_loss : float
        Loss coefficients, on the velocity in the port's bore, of liquid leaving the part here and of liquid entering
        it; what the part's own curve already contains is not counted again.
    """

    name: str
    spot: Spot
    facing_deg: float
    bore_mm: float
    out_loss: float = 0.0
    in_loss: float = 0.0

    @property
    def words(self) -> str:
        """Its name as it is said."""
        return self.name.replace("_", " ")


@dataclass(frozen=True, slots=True)
class FlowPath:
    """One element inside a part, between two of its ports or inner nodes (or to its own body, named ``""``)."""

    name: str  # empty for the only one, otherwise unique within the part
    start: str
    end: str
    element: Element


@dataclass(frozen=True, slots=True)
class AirPath:
    """One element of the air circuit, from the space where its air comes from to the one it goes to."""

    name: str  # empty for the only one, otherwise unique within the part
    element: Element


@dataclass(frozen=True, slots=True)
class Setting:
    """How a part is set in one layout and one case.

    Attributes
    ----------
    speed : float
        Of a pump or a fan, share of full speed.
    opening : float
        Of a valve, share of full opening; 0 is shut.
    stopped : bool
        True for a pump or a fan without power.
    """

    speed: float = 1.0
    opening: float = 1.0
    stopped: bool = False


class Part(Record):
    """Data that every part has. Sizes are those of its outline as it lies."""

    # Of the kind, not of one part; every kind sets them.
    title: ClassVar[str]
    symbol: ClassVar[str]  # name of the drawing under icons
    help: ClassVar[str]
    layer: ClassVar[str] = "liquid"  # one of LAYERS
    one_way: ClassVar[bool] = False  # True where liquid must go from its port inlet to its port outlet
    has_electronics: ClassVar[bool] = False  # True where a leak from above does harm
    placement_fields: ClassVar[tuple[str, ...]] = ()  # fields of a placement that this kind listens to
    air_from: ClassVar[str] = "chamber"  # where its air comes from and goes to, unless the placement says otherwise
    air_to: ClassVar[str] = "room"
    family: ClassVar[str] = "fittings"  # one of FAMILIES: where a builder looks for it
    classes: ClassVar[Mapping[str, Mapping[str, Any]]] = {}  # usual sizes by what they are called: values of fields

    id: str = text("id", "short name for files, small letters, digits and _", pattern=ID_PATTERN)
    name: str = text("name", "what you call it")
    length_mm: float = number("length", "of the outline, along the part's own x", above=0.0)
    width_mm: float = number("width", "of the outline, across", above=0.0)
    height_mm: float = number("height", "of the outline", above=0.0)
    rating_kpa: float | None = number(
        "rated pressure", "highest gauge pressure that the maker allows; empty if not known", None, above=0.0
    )
    wetted: Wetted = choice(
        "wetted metal",
        "what the coolant touches in it; nickel where it is plated; metals far apart corrode",
        "not stated",
    )

    @classmethod
    def kind_name(cls) -> str:
        """The word that stands for the kind in files."""
        return str(cls.model_fields["kind"].default)

    @classmethod
    def fields(cls) -> tuple[FieldDescription, ...]:
        """Fields that a builder edits, without the id."""
        return tuple(field for field in describe(cls) if field.name != "id")

    @property
    def outline(self) -> Outline:
        """The box it takes up."""
        return Outline(self.length_mm, self.width_mm, self.height_mm)

    @cached_property
    def ports(self) -> dict[str, Port]:
        """Every port by name, in the part's own axes."""
        return {port.name: port for port in self.make_ports()}

    @cached_property
    def flow_paths(self) -> tuple[FlowPath, ...]:
        """Elements inside, as the part runs at full speed."""
        return self.make_flow_paths()

    def make_ports(self) -> Iterable[Port]:
        """The kind's ports, from the part's data; read them through `ports`."""
        raise NotImplementedError

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """The kind's elements, from the part's data; read them through `flow_paths`."""
        return ()

    def paths_as_set(self, setting: Setting) -> tuple[FlowPath, ...]:  # noqa: ARG002  most kinds cannot be set
        """Elements inside, as the part is set; a way that is shut is left out."""
        return self.flow_paths

    def air_paths_as_set(self, setting: Setting) -> tuple[AirPath, ...]:  # noqa: ARG002  most kinds pass no air
        """Elements through which air passes, as the part is set."""
        return ()

    @property
    def merges_ports(self) -> bool:
        """True if all ports open into one body of liquid, without an element between them."""
        return False

    @property
    def twins(self) -> Mapping[str, str]:
        """Further openings of the body of liquid right behind another port: that port, by their names.

        A builder uses whichever lies best; the others are plugged.
        """
        return {}

    @cached_property
    def chambers(self) -> tuple[tuple[str, ...], ...]:
        """Ports between which its liquid can pass, one tuple for each body of liquid in it."""
        if self.merges_ports:
            return (tuple(self.ports),)
        groups: list[set[str]] = []
        for path in self.flow_paths:
            met = {path.start, path.end}.union(*(group for group in groups if group & {path.start, path.end}))
            groups = [group for group in groups if not group & met] + [met]
        behind = {name: self.twins.get(name, name) for name in self.ports}
        return tuple(ports for group in groups if (ports := tuple(name for name in behind if behind[name] in group)))

    @property
    def meeting_law(self) -> MeetingLaw | None:
        """How the losses of all its legs follow from the flows through them; None where they do not."""
        return None

    @property
    def inner_nodes(self) -> Mapping[str, Spot]:
        """Places inside where flow paths meet, by name, none of which is a port's."""
        return {}

    @cached_property
    def inside(self) -> Inside:
        """The way of the liquid inside, with its heights: what traps air, and what does not drain."""
        return self.make_inside()

    def make_inside(self) -> Inside:
        """The kind's inside, from the part's data; read it through `inside`.

        Straight lines along its flow paths; where all ports open into one body, from each port to the middle of
        them. A kind whose body rises or falls inside says so.
        """
        spots = {name: port.spot for name, port in self.ports.items()} | dict(self.inner_nodes)
        bores = {name: port.bore_mm for name, port in self.ports.items()}
        places = dict(self.inner_nodes)
        if self.merges_ports:
            places["middle"] = _mean([port.spot for port in self.ports.values()])
            paths = [straight(name, "middle", bore) for name, bore in bores.items()]
        else:
            ways = [(path, {path.start, path.end} & set(bores)) for path in self.flow_paths]
            paths = [
                straight(path.start, path.end, min(bores[name] for name in ends or bores), path.name)
                for path, ends in ways
            ]
        return Inside(shared_out(paths, spots | places, self.coolant_ml) if paths else (), places)

    @property
    def surface_mm(self) -> float | None:
        """Height of a free surface above the part's underside, None if it has none."""
        return None

    @property
    def surface_m2(self) -> float:
        """Area of the free surface [m2]; 0 without one."""
        return 0.0

    @property
    def level_range_mm(self) -> tuple[float, float]:
        """Heights above the underside below which the surface draws air into a port, and above which it spills."""
        return 0.0, self.height_mm

    @property
    def headroom(self) -> float:
        """From its surface as drawn up to where it spills; 0 without a surface [m]."""
        return 0.0 if self.surface_mm is None else to_si(max(self.level_range_mm[1] - self.surface_mm, 0.0), "mm")

    @property
    def gas_above(self) -> float:
        """Air over its surface as drawn, open or shut in [m3]."""
        return self.surface_m2 * self.headroom

    @property
    def circuit_coolant(self) -> str | None:
        """Id of the coolant that fills its circuit; None where the part does not say."""
        return None

    @property
    def cushion(self) -> Cushion | None:
        """Gas shut in that holds the circuit's pressure where no surface is open to the air, None if it has none."""
        return None

    @property
    def is_vessel(self) -> bool:
        """True where liquid can rise and fall: a free surface, or gas that gives way."""
        return self.surface_mm is not None or self.cushion is not None

    @property
    def is_vented(self) -> bool:
        """True where its surface is open to the air, which fixes the pressure there."""
        return self.surface_mm is not None and self.cushion is None

    @property
    def heat_w(self) -> float:
        """Heat that the part puts into the coolant [W]."""
        return 0.0

    @property
    def cooling(self) -> BlockCooling | None:
        """How heat gets from its contact face into the coolant; None if nothing sits on it."""
        return None

    @property
    def exchanger(self) -> Exchanger | None:
        """How heat gets from one of its two streams to the other; None if it has no two streams."""
        return None

    @property
    def air_heat_w(self) -> float:
        """Heat that the part gives to the air around it, at full duty and speed [W]."""
        return 0.0

    def electrical_w_at(self, speed: float) -> float:  # noqa: ARG002  most kinds take no power
        """Electrical power that it takes at a share of full speed [W]."""
        return 0.0

    def sound_dba_at(self, speed: float) -> float | None:  # noqa: ARG002  most kinds are silent
        """Sound level at 1 m at a share of full speed [dB(A)]; None if it makes none or none is known."""
        return None

    @property
    def coolant_ml(self) -> float:
        """Coolant that it holds [mL]."""
        return 0.0

    @property
    def provenances(self) -> Iterable[Origin]:
        """Where the data that feed the flow come from."""
        values = [getattr(self, name) for name in type(self).model_fields]
        curves = [value.provenance for value in values if isinstance(value, DataCurve)]
        return [*curves, *(value for value in values if isinstance(value, Origin))]


class DryPart(Part):
    """A part through which no coolant passes: of the air path, or of the electrical supply. Base of several kinds."""

    family: ClassVar = "air and power"
    layer: ClassVar = "air"

    @classmethod
    def fields(cls) -> tuple[FieldDescription, ...]:
        """Without what speaks of the coolant in a part."""
        return tuple(field for field in super().fields() if field.name not in ("rating_kpa", "wetted"))

    def make_ports(self) -> tuple[Port, ...]:
        """None."""
        return ()


def _mean(spots: list[Spot]) -> Spot:
    return Spot(*(sum(axis) / len(spots) for axis in zip(*spots, strict=True)))


def two_ports(part: Any, names: tuple[str, str], at: str) -> tuple[Port, Port]:
    """Two ports at half of `port_spacing_mm` from the middle line, or one at each end.

    `part` has `length_mm`, `port_height_mm` and `bore_mm`, and `port_spacing_mm` where both ports may be at one end.
    """
    end = part.length_mm / 2
    if at == "both ends":
        places = ((Spot(-end, 0.0, part.port_height_mm), 180.0), (Spot(end, 0.0, part.port_height_mm), 0.0))
    else:
        half = part.port_spacing_mm / 2
        places = ((Spot(-end, half, part.port_height_mm), 180.0), (Spot(-end, -half, part.port_height_mm), 180.0))
    first, second = (Port(name, spot, facing, part.bore_mm) for name, (spot, facing) in zip(names, places, strict=True))
    return first, second


def restriction(curve: DropCurve | AirDropCurve, factor: float = 1.0) -> Restriction:
    """The element behind a curve of pressure drop, all of whose drops are raised by a factor."""
    drops = [factor * dp for dp in curve.dp]
    return Restriction.from_points(curve.flow, drops, curve.provenance.state, curve.exponent)


def clogging_factor(clogging_percent: float) -> float:
    """By how much a filter's drop rises when a share of it is shut: all flow squeezes through the rest, an estimate."""
    return (1 - to_si(clogging_percent, "percent")) ** -2


def sound_at_speed(full_dba: float | None, speed: float) -> float | None:
    """Sound level of a fan or a pump at a share of full speed [dB(A)].

    Parameters
    ----------
    full_dba : float or None
        At full speed; None if not known, and then the answer is None too.
    speed : float
        Share of full speed; at 0 it stands and makes no sound (None).

    References
    ----------
    Fan sound law ``50 log10(n2 / n1)`` of fan engineering guides, from memory; within about 3 dB, as the tone of the
    blades and the hum of a motor do not follow it. Checked in tests/reference/test_sound.py.
    """
    return full_dba + 50 * math.log10(speed) if full_dba is not None and speed > 0 else None
