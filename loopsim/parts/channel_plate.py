"""Plate with milled channels."""

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import ClassVar, Literal

from pydantic import ConfigDict, ValidationInfo, field_validator

from loopsim import elements
from loopsim.curves import Provenance
from loopsim.errors import did_you_mean
from loopsim.fields import Record, number, points, text
from loopsim.geometry import Spot
from loopsim.parts.base import ID_PATTERN, FlowPath, Part, Port
from loopsim.parts.cover import Cover
from loopsim.parts.fitting import SidePort, in_side, tolerance
from loopsim.parts.inner import InnerPath, Inside
from loopsim.units import to_si

__all__ = ["ChannelPlate", "PlateChannel"]

_BRANCHING = 3  # channel ends at a node from which liquid divides there


class PlateChannel(Record):
    """One channel of a plate, between two ports or inner nodes."""

    name: str = text("channel", "short name, small letters, digits and _", pattern=ID_PATTERN)
    start: str = text("from", "a port, or a name of your own for a place where channels meet", pattern=ID_PATTERN)
    end: str = text("to", "a port, or a name of your own for a place where channels meet", pattern=ID_PATTERN)
    length_mm: float = number("length", "along its centre line", 100.0, above=0.0)
    corners: int = number("corners", "sharp quarter turns on its way, the ones into ports included", 0, least=0)


def _two_arms() -> tuple[PlateChannel, ...]:
    rows = (
        ("feed", "inlet", "split", 40.0, 1),
        ("left", "split", "join", 150.0, 2),
        ("right", "split", "join", 150.0, 2),
        ("back", "join", "outlet", 40.0, 1),
    )
    names = ("name", "start", "end", "length_mm", "corners")
    return tuple(PlateChannel.model_validate(dict(zip(names, row, strict=True))) for row in rows)


class ChannelPlate(Part):
    """A plate into which rectangular channels are milled, under a lid, with ports in its sides."""

    title: ClassVar = "channel plate"
    symbol: ClassVar = "channel_plate"
    help: ClassVar = (
        "A plate with milled channels instead of tubes. Each channel runs between two places: a port, or a name you "
        "give to a spot where channels meet. Friction follows from width, depth and length; what sharp corners and "
        "branchings lose is a guess. A cover bonded over channels is under pressure over its whole area: test it with "
        "water, not air, behind a guard, and cut acrylic with eye protection."
    )

    # Defaults are checked too: a value may contradict the default of another field.
    model_config: ClassVar[ConfigDict] = ConfigDict(validate_default=True)

    kind: Literal["channel_plate"] = "channel_plate"
    length_mm: float = number("length", "of the outline, along the part's own x", 180.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 120.0, above=0.0)
    height_mm: float = number("height", "of the outline, with its lid", 25.0, above=0.0)
    channel_width_mm: float = number("channel width", "of all channels", 10.0, above=0.0)
    channel_depth_mm: float = number("channel depth", "of all channels", 8.0, above=0.0)
    channel_height_mm: float = number("channel height", "middle of the channels above the underside", 12.0, least=0.0)
    channel_wall_mm: float = number(
        "channel wall", "least solid wall beside a channel, to the next one or to the edge; a guess", 5.0, above=0.0
    )
    roughness_um: float = number("roughness", "of the milled wall; about 3 in acrylic, a guess", 3.0, least=0.0)
    corner_loss: float = number(
        "loss per corner", "of a sharp quarter turn, in velocity heads of the channel; a guess", 1.2, least=0.0
    )
    laminar_loss: float = number(
        "laminar loss per corner", "K1 of K1/Re, counts at low flow and in thick coolant; a guess", 1000.0, least=0.0
    )
    branch_loss: float = number(
        "loss per branching", "of each channel's end where three or more meet, in velocity heads; a guess", 0.6, least=0
    )
    port_list: tuple[SidePort, ...] = points(
        "ports",
        "the holes in its sides",
        (SidePort(name="inlet", side="left"), SidePort(name="outlet", side="right")),
    )
    channels: tuple[PlateChannel, ...] = points("channels", "from place to place", _two_arms())
    cover: Cover = Cover()
    provenance: Provenance = Provenance(kind="guess", source="friction from geometry, corners and branchings guessed")
    relative_tolerance: float = tolerance(0.3)

    @field_validator("port_list")
    @classmethod
    def _ports_differ(cls, ports: tuple[SidePort, ...]) -> tuple[SidePort, ...]:
        _all_differ("ports", [port.name for port in ports])
        return ports

    @field_validator("channels")
    @classmethod
    def _lead_somewhere(cls, channels: tuple[PlateChannel, ...], info: ValidationInfo) -> tuple[PlateChannel, ...]:
        _all_differ("channels", [channel.name for channel in channels])
        for channel in channels:
            if channel.start == channel.end:
                raise ValueError(f"channel {channel.name!r} leads from {channel.start!r} back to it; give it two ends")
        if "port_list" in info.data:
            _check_ends(channels, [port.name for port in info.data["port_list"]])
        return channels

    def make_ports(self) -> tuple[Port, ...]:
        """The holes in its sides."""
        return tuple(Port(hole.name, *in_side(self, hole), hole.bore_mm) for hole in self.port_list)

    @property
    def inner_nodes(self) -> Mapping[str, Spot]:
        """Where channels meet; only its height is known, the plan place is the plate's middle."""
        return {place: Spot(0.0, 0.0, self.channel_height_mm) for place in self._ends if place not in self.ports}

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """One element for each channel."""
        return tuple(FlowPath(each.name, each.start, each.end, self._element(each)) for each in self.channels)

    def _element(self, channel: PlateChannel) -> elements.Channel:
        corners = channel.corners * self.corner_loss
        return elements.Channel(
            width=to_si(self.channel_width_mm, "mm"),
            depth=to_si(self.channel_depth_mm, "mm"),
            length=to_si(channel.length_mm, "mm"),
            roughness=to_si(self.roughness_um, "um"),
            loss_coefficient=corners + self._into(channel.start) + self._out_of(channel.end),
            reverse_loss_coefficient=corners + self._into(channel.end) + self._out_of(channel.start),
            laminar_coefficient=channel.corners * self.laminar_loss,
        )

    def _into(self, place: str) -> float:
        """Loss of liquid that enters a channel from a place, on the velocity in the channel."""
        return self._change(place, elements.widening_loss, elements.narrowing_loss)

    def _out_of(self, place: str) -> float:
        """Loss of liquid that leaves a channel at a place, on the velocity in the channel."""
        return self._change(place, elements.narrowing_loss, elements.widening_loss)

    def _change(self, place: str, narrow_port: Callable[[float], float], wide_port: Callable[[float], float]) -> float:
        """Change of section at a port, by a law for a port narrower and one for a port wider than the channel."""
        if place not in self.ports:
            return self.branch_loss if self._ends[place] >= _BRANCHING else 0.0
        ratio = math.pi / 4 * self.ports[place].bore_mm ** 2 / self._area_mm2
        if ratio < 1:
            return narrow_port(ratio) / ratio**2  # the law is on the port's velocity
        return wide_port(1 / ratio)

    @property
    def _ends(self) -> Counter[str]:
        """How many channels end at each place."""
        return Counter(place for channel in self.channels for place in (channel.start, channel.end))

    @property
    def _area_mm2(self) -> float:
        return self.channel_width_mm * self.channel_depth_mm

    def make_inside(self) -> Inside:
        """Every channel at its length between its two ends."""
        bore = 2 * self._area_mm2 / (self.channel_width_mm + self.channel_depth_mm)
        paths = (
            InnerPath(
                each.start,
                each.end,
                self._area_mm2 * each.length_mm / 1000.0,
                bore,
                self._area_mm2,
                each.name,
                each.length_mm,
            )
            for each in self.channels
        )
        return Inside(tuple(paths), dict(self.inner_nodes))

    @property
    def lid_thickness_mm(self) -> float:
        """As stated, else what the plate's height leaves over its channels."""
        left = self.height_mm - self.channel_height_mm - self.channel_depth_mm / 2
        return max(left, 0.0) if self.cover.lid_mm is None else self.cover.lid_mm

    @property
    def lid_spans_mm(self) -> tuple[float, float]:
        """Sides of the whole lid: from bolt row to bolt row, in the middle of the rim, or of the outline if glued."""
        edge = self.cover.rim_mm if self.cover.held == "screwed" else 0.0
        return self.length_mm - edge, self.width_mm - edge

    @property
    def coolant_ml(self) -> float:
        """Coolant in its channels [mL]."""
        return self._area_mm2 * sum(channel.length_mm for channel in self.channels) / 1000.0


def _all_differ(what: str, names: list[str]) -> None:
    name, times = Counter(names).most_common(1)[0] if names else ("", 0)
    if times > 1:
        raise ValueError(f"two {what} are called {name!r}; each needs a name of its own")


def _check_ends(channels: Sequence[PlateChannel], ports: Sequence[str]) -> None:
    """Every port is reached, and no channel ends blind."""
    ends = Counter(place for channel in channels for place in (channel.start, channel.end))
    for port in ports:
        if port not in ends:
            raise ValueError(f"no channel reaches port {port!r}; name it where one begins or ends")
    for place, times in ends.items():
        if times == 1 and place not in ports:
            raise ValueError(
                f"only one channel ends at {place!r}, which is no port{did_you_mean(place, ports)}; "
                "lead it to a port, or another channel to it"
            )
