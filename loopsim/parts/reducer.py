"""Reducer: a change of bore."""

import math
from typing import ClassVar, Literal

from pydantic import ConfigDict, ValidationInfo, field_validator

from loopsim import elements
from loopsim.curves import Provenance
from loopsim.fields import choice, number
from loopsim.geometry import Spot
from loopsim.parts.base import FlowPath, Part, Port
from loopsim.parts.fitting import bore_ml, tolerance
from loopsim.units import to_si

__all__ = ["Reducer"]

_REYNOLDS = 1e4  # the cone's wall friction is taken here; it is a small share of the loss


class Reducer(Part):
    """From a wide bore to a narrow one, at once or by a cone."""

    title: ClassVar = "reducer"
    symbol: ClassVar = "reducer"
    help: ClassVar = (
        "Joins two bores. Widening loses more than narrowing; a slim cone (7 to 15 degrees) wins most of it back. "
        "The loss follows from the two bores and the cone, by handbook laws for turbulent flow."
    )

    # Defaults are checked too: a value may contradict the default of another field.
    model_config: ClassVar[ConfigDict] = ConfigDict(validate_default=True)

    kind: Literal["reducer"] = "reducer"
    length_mm: float = number("length", "of the outline, along the part's own x", 40.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 22.0, above=0.0)
    height_mm: float = number("height", "of the outline", 22.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 11.0, least=0.0)
    wide_bore_mm: float = number("wide bore", "inner diameter at the wide end", 13.0, above=0.0)
    narrow_bore_mm: float = number("narrow bore", "inner diameter at the narrow end", 8.0, above=0.0)
    shape: Literal["sudden", "gradual"] = choice("shape", "a step, or a cone", "sudden")
    cone_deg: float = number("cone angle", "the whole angle of the cone, where gradual", 30.0, least=5.0, most=180.0)
    provenance: Provenance = Provenance(kind="geometry", source="handbook laws from its two bores")
    relative_tolerance: float = tolerance(0.2)

    @field_validator("narrow_bore_mm")
    @classmethod
    def _narrower(cls, narrow: float, info: ValidationInfo) -> float:
        wide = info.data.get("wide_bore_mm", math.inf)
        if narrow >= wide:
            raise ValueError(f"must be below the wide bore ({wide:g} mm), got {narrow:g} mm")
        return narrow

    @field_validator("cone_deg")
    @classmethod
    def _fits(cls, cone: float, info: ValidationInfo) -> float:
        data = info.data
        if data.get("shape") == "gradual" and "narrow_bore_mm" in data and "length_mm" in data:
            long = _cone_length_mm(data["wide_bore_mm"], data["narrow_bore_mm"], cone)
            if long >= data["length_mm"]:
                raise ValueError(
                    f"a cone of {cone:g}° is {long:.0f} mm long and does not fit into {data['length_mm']:g} mm"
                )
        return cone

    def make_ports(self) -> tuple[Port, ...]:
        """The wide end and the narrow one, in line."""
        end, height = self.length_mm / 2, self.port_height_mm
        return (
            Port("wide", Spot(-end, 0.0, height), 180.0, self.wide_bore_mm),
            Port("narrow", Spot(end, 0.0, height), 0.0, self.narrow_bore_mm),
        )

    def make_flow_paths(self) -> tuple[FlowPath, ...]:
        """The change of bore, and the wall of the narrow half; that of the wide half hardly counts."""
        narrowing, widening = self.coefficients
        cone = (
            _cone_length_mm(self.wide_bore_mm, self.narrow_bore_mm, self.cone_deg) if self.shape == "gradual" else 0.0
        )
        element = elements.Tube(
            bore=to_si(self.narrow_bore_mm, "mm"),
            length=to_si((self.length_mm - cone) / 2, "mm"),
            loss_coefficient=narrowing,
            reverse_loss_coefficient=widening,
        )
        return (FlowPath("", "wide", "narrow", element),)

    @property
    def idle_fields(self) -> frozenset[str]:
        """A step has no cone."""
        return frozenset({"cone_deg"}) if self.shape == "sudden" else frozenset()

    @property
    def coefficients(self) -> tuple[float, float]:
        """Loss of narrowing and of widening, on the velocity in the narrow bore.

        References
        ----------
        Sudden: Idelchik and Borda-Carnot. Conical: Rennels and Hudson, Pipe Flow (2012), as in the `fluids` library.
        """
        if self.shape == "sudden":
            ratio = (self.narrow_bore_mm / self.wide_bore_mm) ** 2
            return elements.narrowing_loss(ratio), elements.widening_loss(ratio)
        from fluids.fittings import contraction_conical, diffuser_conical  # on first use, it loads slowly

        wide, narrow = to_si(self.wide_bore_mm, "mm"), to_si(self.narrow_bore_mm, "mm")
        f = float(elements.friction_factor(_REYNOLDS))
        narrowing = contraction_conical(Di1=wide, Di2=narrow, angle=self.cone_deg, fd=f, method="Rennels")
        widening = diffuser_conical(Di1=narrow, Di2=wide, angle=self.cone_deg, fd=f, method="Rennels")
        return float(narrowing), float(widening)

    @property
    def coolant_ml(self) -> float:
        """Coolant in its two halves [mL]."""
        return bore_ml(self.wide_bore_mm, self.length_mm / 2) + bore_ml(self.narrow_bore_mm, self.length_mm / 2)


def _cone_length_mm(wide_mm: float, narrow_mm: float, cone_deg: float) -> float:
    return (wide_mm - narrow_mm) / 2 / math.tan(math.radians(cone_deg) / 2)
