"""Reservoir with a free surface."""

from itertools import pairwise
from typing import ClassVar, Literal

from pydantic import field_validator

from loopsim.curves import Provenance
from loopsim.fields import choice, number, points
from loopsim.geometry import Spot
from loopsim.media import Cushion
from loopsim.parts.base import Part, Port
from loopsim.parts.cover import Cover
from loopsim.parts.fitting import SidePort, circuit_coolant, in_side, tolerance
from loopsim.parts.inner import InnerPath, Inside, straight
from loopsim.units import from_si, to_si

__all__ = ["Reservoir"]


class Reservoir(Part):
    """A vessel with a free surface, open to the air or sealed; the datum of all pressures in its circuit."""

    title: ClassVar = "reservoir"
    symbol: ClassVar = "reservoir"
    help: ClassVar = (
        "Holds spare coolant, lets air out, and fixes the pressure: vented, the air above its surface is at ambient "
        "pressure; sealed, it is pressed together when the coolant swells, and everything in the loop must bear that: "
        "the fill bench says how much. A clear home-made one shows the level. Keep the outlet well below the least "
        "level, or it draws air."
    )

    family: ClassVar = "loop"

    kind: Literal["reservoir"] = "reservoir"
    length_mm: float = number("length", "of the outline, along the part's own x", 160.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 90.0, above=0.0)
    height_mm: float = number("height", "of the outline", 55.0, above=0.0)
    wall_mm: float = number("wall", "thickness of walls, floor and lid", 5.0, least=0.0)
    level_mm: float = number("level", "height of the liquid's surface above the underside", 44.0, above=0.0)
    air_above: Literal["vented", "sealed"] = choice(
        "air above", "open to the room through a vent, or shut in when the lid is closed on the cold loop", "vented"
    )
    sealed_bar: float = number(
        "sealed at", "gauge pressure of that air when it is shut in; 0: closed as it stands", 0.0, above=-1.0, most=3.0
    )
    out_loss: float = number(
        "loss out", "of liquid leaving into a port, in velocity heads; sharp edge 0.5", 0.5, least=0.0
    )
    in_loss: float = number("loss in", "of liquid entering from a port; a free jet loses 1", 1.0, least=0.0)
    provenance: Provenance = Provenance(kind="geometry", source="handbook losses of a sharp-edged hole and a free jet")
    relative_tolerance: float = tolerance(0.3)
    coolant: str | None = circuit_coolant()
    cover: Cover = Cover()
    port_list: tuple[SidePort, ...] = points(
        "ports",
        "the holes in its walls",
        (SidePort(name="inlet", side="left"), SidePort(name="outlet", side="right")),
    )

    @field_validator("port_list")
    @classmethod
    def _names_differ(cls, ports: tuple[SidePort, ...]) -> tuple[SidePort, ...]:
        names = [port.name for port in ports]
        twice = {name for name in names if names.count(name) > 1}
        if twice:
            raise ValueError(f"two ports are called {min(twice)!r}; each needs a name of its own")
        return ports

    def make_ports(self) -> tuple[Port, ...]:
        """The holes in its walls."""
        return tuple(self._port(hole) for hole in self.port_list)

    def _port(self, hole: SidePort) -> Port:
        spot, facing_deg = in_side(self, hole)
        return Port(hole.name, spot, facing_deg, hole.bore_mm, self.out_loss, self.in_loss)

    @property
    def merges_ports(self) -> bool:
        """All ports open into one body of liquid."""
        return True

    def make_inside(self) -> Inside:
        """A column from floor to lid, into which the ports open; above the level it holds air."""
        floor, lid = min(self.wall_mm, self.level_mm), max(self.height_mm - self.lid_thickness_mm, self.level_mm)
        opens_at = {hole.name: min(max(hole.height_mm, floor), lid) for hole in self.port_list}
        names = {height: f"at_{port}" for port, height in opens_at.items()}
        names |= {floor: "floor", lid: "lid", self.level_mm: "level"}
        column = sorted(names)
        places = {names[height]: Spot(0.0, 0.0, height) for height in column}
        stretches = (self._stretch(low, high, names) for low, high in pairwise(column))
        holes = (straight(hole.name, names[opens_at[hole.name]], hole.bore_mm) for hole in self.port_list)
        return Inside((*stretches, *holes), places, {names[lid]: "vented"})

    def _stretch(self, low: float, high: float, names: dict[float, str]) -> InnerPath:
        """A slice of the column."""
        area = from_si(self.surface_m2, "mm2")
        wide = max(min(self.length_mm, self.width_mm) - 2 * self.wall_mm, 1.0)
        volume = area * (high - low) / 1000.0
        return InnerPath(names[low], names[high], volume, wide, max(area, 1.0), holds_air=low >= self.level_mm)

    @property
    def surface_mm(self) -> float | None:
        """Height of the free surface above the underside."""
        return self.level_mm

    @property
    def cushion(self) -> Cushion | None:
        """The air above the level where it is sealed."""
        return None if self.air_above == "vented" else Cushion(self.gas_above, to_si(self.sealed_bar, "bar"))

    @property
    def idle_fields(self) -> frozenset[str]:
        """The pressure at which it is sealed, while it is not."""
        return frozenset({"sealed_bar"} if self.air_above == "vented" else ())

    @property
    def surface_m2(self) -> float:
        """Area inside the walls [m2]."""
        inner = (self.length_mm - 2 * self.wall_mm, self.width_mm - 2 * self.wall_mm)
        return to_si(inner[0], "mm") * to_si(inner[1], "mm") if min(inner) > 0 else 0.0

    @property
    def level_range_mm(self) -> tuple[float, float]:
        """From the top of its lowest port's bore to the lid's underside."""
        lowest = min((port.height_mm + port.bore_mm / 2 for port in self.port_list), default=self.wall_mm)
        return lowest, self.height_mm - self.lid_thickness_mm

    @property
    def lid_thickness_mm(self) -> float:
        """As stated, else that of the walls."""
        return self.wall_mm if self.cover.lid_mm is None else self.cover.lid_mm

    @property
    def lid_spans_mm(self) -> tuple[float, float]:
        """From bolt row to bolt row, in the middle of the rim; from wall to wall where the lid is glued."""
        edge = self.cover.rim_mm if self.cover.held == "screwed" else 2 * self.wall_mm
        return self.length_mm - edge, self.width_mm - edge

    @property
    def circuit_coolant(self) -> str | None:
        """Id of the coolant that fills its circuit."""
        return self.coolant

    @property
    def coolant_ml(self) -> float:
        """Coolant up to the level, inside the walls [mL]."""
        inner = (self.length_mm - 2 * self.wall_mm, self.width_mm - 2 * self.wall_mm, self.level_mm - self.wall_mm)
        return inner[0] * inner[1] * inner[2] / 1000.0 if min(inner) > 0 else 0.0
