"""Expansion vessel."""

from typing import ClassVar, Literal

from pydantic import ConfigDict, ValidationInfo, field_validator

from loopsim.curves import Provenance
from loopsim.fields import choice, number
from loopsim.media import Cushion
from loopsim.parts.base import Part, Port, two_ports
from loopsim.parts.fitting import circuit_coolant, tolerance, with_loss
from loopsim.units import to_si

__all__ = ["ExpansionVessel"]


class ExpansionVessel(Part):
    """A closed vessel with a gas cushion; the datum of all pressures in a circuit without a surface open to the air."""

    title: ClassVar = "expansion vessel"
    symbol: ClassVar = "expansion_vessel"
    help: ClassVar = (
        "Takes up the coolant's expansion in a sealed loop, against a cushion of gas behind a membrane. The cushion's "
        "pressure follows from its precharge, from how much coolant has pushed into it and from how far the loop has "
        "swollen since it was cold, and holds the whole loop at that pressure while it stands still. Volume and "
        "precharge are on the maker's sheet; the defaults are guesses. Everything in a sealed loop must be rated for "
        "its pressure when warm, and glued acrylic is not: never rely on it, fit a relief valve."
    )

    family: ClassVar = "filling and draining"

    # Defaults are checked too: a value may contradict the default of another field.
    model_config: ClassVar[ConfigDict] = ConfigDict(validate_default=True)

    kind: Literal["expansion_vessel"] = "expansion_vessel"
    length_mm: float = number("length", "of the outline, along the part's own x", 80.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 80.0, above=0.0)
    height_mm: float = number("height", "of the outline", 90.0, above=0.0)
    bore_mm: float = number("port bore", "inner diameter of its ports", 10.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 12.0, least=0.0)
    port_count: Literal["one", "two"] = choice("ports", "one on a branch, or two in line", "one")
    port_loss: float = number(
        "loss per port", "each way, in velocity heads of the port's bore; a guess", 0.6, least=0.0, most=10.0
    )
    provenance: Provenance = Provenance(kind="guess", source="usual loss of a tee's branch")
    relative_tolerance: float = tolerance(0.5)
    gas_ml: float = number("gas volume", "of the cushion before any coolant pushes into it", 250.0, above=0.0)
    precharge_bar: float = number(
        "precharge", "gauge pressure of the cushion then, when cold, read where it stands", 0.1, above=-1.0
    )
    coolant: str | None = circuit_coolant()
    volume_ml: float = number(
        "coolant inside", "that has pushed into it when the loop is cold and at rest", 25.0, above=0.0
    )

    @field_validator("volume_ml")
    @classmethod
    def _leaves_a_cushion(cls, volume: float, info: ValidationInfo) -> float:
        gas = info.data.get("gas_ml", volume + 1.0)
        if volume >= gas:
            raise ValueError(f"must be below the gas volume ({gas:g} mL), got {volume:g} mL")
        return volume

    def make_ports(self) -> tuple[Port, ...]:
        """One port at the near end, or one at each end."""
        ports = tuple(with_loss(port, self.port_loss) for port in two_ports(self, ("a", "b"), "both ends"))
        return ports[:1] if self.port_count == "one" else ports

    @property
    def merges_ports(self) -> bool:
        """All ports open into one body of liquid."""
        return True

    @property
    def circuit_coolant(self) -> str | None:
        """Id of the coolant that fills its circuit."""
        return self.coolant

    @property
    def cushion(self) -> Cushion:
        """The gas behind its membrane, charged where it stands."""
        gas, inside = to_si(self.gas_ml, "ml"), to_si(self.volume_ml, "ml")
        return Cushion(gas, to_si(self.precharge_bar, "bar"), inside, touches_coolant=False)

    @property
    def coolant_ml(self) -> float:
        """Coolant that has pushed into it [mL]."""
        return self.volume_ml
