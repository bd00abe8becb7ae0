"""Tee or cross."""

from typing import ClassVar, Literal

from loopsim.fields import choice, number
from loopsim.geometry import Spot
from loopsim.parts.base import Part, Port
from loopsim.parts.fitting import bore_ml

__all__ = ["Junction"]

_SIDES = {"a": (-1, 0, 180.0), "b": (1, 0, 0.0), "c": (0, 1, 90.0), "d": (0, -1, 270.0)}


class Junction(Part):
    """A fitting in which three or four runs meet. Each leg costs a constant share of its velocity head."""

    title: ClassVar = "junction"
    symbol: ClassVar = "junction"
    help: ClassVar = (
        "A tee (three legs) or a cross (four). The loss is counted leg by leg on the velocity in that leg; a value of "
        "about 0.6 each way is usual for a moulded tee."
    )

    kind: Literal["junction"] = "junction"
    length_mm: float = number("length", "of the outline, along the part's own x", 28.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 28.0, above=0.0)
    height_mm: float = number("height", "of the outline", 16.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    legs: Literal["three", "four"] = choice("legs", "three for a tee, four for a cross", "three")
    port_height_mm: float = number("port height", "middle of the ports above the underside", 8.0, least=0.0)
    leg_loss: float = number("loss per leg", "in velocity heads of the leg's bore; a guess", 0.6, least=0.0, most=10.0)

    def make_ports(self) -> tuple[Port, ...]:
        """Legs a and b in line, c (and d) across."""
        names = "abcd"[: 3 if self.legs == "three" else 4]
        return tuple(self._leg(name, *_SIDES[name]) for name in names)

    def _leg(self, name: str, x: int, y: int, facing_deg: float) -> Port:
        spot = Spot(x * self.length_mm / 2, y * self.width_mm / 2, self.port_height_mm)
        return Port(name, spot, facing_deg, self.bore_mm, out_loss=self.leg_loss, in_loss=self.leg_loss)

    @property
    def merges_ports(self) -> bool:
        """All legs meet in one place."""
        return True

    @property
    def coolant_ml(self) -> float:
        """Coolant in the legs, as straight bores from the middle [mL]."""
        reach = {"a": self.length_mm, "b": self.length_mm, "c": self.width_mm, "d": self.width_mm}
        return bore_ml(self.bore_mm, sum(reach[name] / 2 for name in self.ports))
