"""Holes, gaps and grilles in a wall of the enclosure."""

from typing import ClassVar, Literal

from pydantic import ConfigDict, ValidationInfo, field_validator

from loopsim import elements
from loopsim.curves import AirOrigin
from loopsim.fields import choice, number
from loopsim.parts.base import AirPath, DryPart, Setting
from loopsim.parts.fitting import tolerance
from loopsim.units import to_si

__all__ = ["Grille"]

Shape = Literal["hole or gap", "thin perforated sheet", "square bars", "rounded bars", "known loss"]

# Share of the face that is open, in per cent, for which the published laws hold.
_OPEN_PERCENT: dict[str, tuple[float, float]] = {
    "thin perforated sheet": (5.0, 90.0),
    "square bars": (5.0, 95.0),
    "rounded bars": (30.0, 70.0),
}


class Grille(DryPart):
    """An opening by which air enters or leaves: known by its free area and its shape."""

    title: ClassVar = "grille"
    symbol: ClassVar = "grille"
    help: ClassVar = (
        "Holes, slots and gaps through which air passes a wall; a leak round a lid is one too. The free area is that "
        "of all holes together. A hole or gap goes by its discharge coefficient; sheets and bars by published laws of "
        "the share of their face that is open, which put the air's way out into the open on top."
    )

    # Defaults are checked too: a value may contradict the default of another field.
    model_config: ClassVar[ConfigDict] = ConfigDict(validate_default=True)
    placement_fields: ClassVar = ("air_from", "air_to")

    kind: Literal["grille"] = "grille"
    length_mm: float = number("length", "of the outline, along the part's own x; air goes this way", 5.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 100.0, above=0.0)
    height_mm: float = number("height", "of the outline", 40.0, above=0.0)
    free_area_mm2: float = number("free area", "of all holes together; 2000 is a guess", 2000.0, above=0.0)
    shape: Shape = choice("shape", "what the opening is, which says how its loss is found", "hole or gap")
    discharge_coefficient: float = number(
        "discharge coefficient",
        "of a hole or gap: 0.61 with sharp edges, about 0.8 as deep as wide, up to 0.98 well rounded",
        0.61, above=0.0, most=1.0,
    )  # fmt: skip
    open_percent: float = number(
        "open share", "of the face of a sheet or of bars: free area over face; 50 is a guess", 50.0,
        above=0.0, most=100.0,
    )  # fmt: skip
    known_loss: float = number(
        "known loss", "in velocity heads of the free area, where you know it yourself", 2.7, above=0.0, most=1000.0
    )
    provenance: AirOrigin = AirOrigin(kind="guess", source="free area not measured")
    relative_tolerance: float = tolerance(0.3)

    @field_validator("open_percent")
    @classmethod
    def _within_the_law(cls, share: float, info: ValidationInfo) -> float:
        least, most = _OPEN_PERCENT.get(info.data.get("shape", ""), (0.0, 100.0))
        if not least <= share <= most:
            raise ValueError(f"must be {least:g} to {most:g} % for {info.data['shape']}, got {share:g} %")
        return share

    def air_paths_as_set(self, setting: Setting) -> tuple[AirPath, ...]:  # noqa: ARG002  nothing to set
        """One opening."""
        return (AirPath("", elements.Opening(to_si(self.free_area_mm2, "mm2"), self.loss_coefficient)),)

    @property
    def idle_fields(self) -> frozenset[str]:
        """What other shapes go by."""
        goes_by = {"hole or gap": "discharge_coefficient", "known loss": "known_loss"}.get(self.shape, "open_percent")
        return frozenset({"discharge_coefficient", "known_loss", "open_percent"} - {goes_by})

    @property
    def loss_coefficient(self) -> float:
        """From a wide space to another, in velocity heads of the free area.

        Published losses of sheets and bars are on the velocity before the face; the velocity head with which air
        leaves it into the open is lost too.
        """
        if self.shape == "hole or gap":
            return self.discharge_coefficient**-2
        if self.shape == "known loss":
            return self.known_loss
        return to_si(self.open_percent, "percent") ** 2 * (self.face_loss + 1)

    @property
    def face_loss(self) -> float:
        """Loss of a sheet or of bars in a duct of the size of their face, in velocity heads before the face.

        References
        ----------
        Thin sheets: Idelchik, Handbook of Hydraulic Resistance, sharp edges, at high Reynolds number (from memory).
        Bars, and sheets thicker than their holes are wide: R. D. Blevins, Applied Fluid Dynamics Handbook (1984), as
        in the package fluids. Checked in tests/reference/test_fans.py and tests/parts/test_air_kinds.py.
        """
        share = to_si(self.open_percent, "percent")
        if self.shape == "thin perforated sheet":
            return float((0.707 * (1 - share) ** 0.5 + 1 - share) ** 2 / share**2)
        import fluids  # slow to load

        law = fluids.round_edge_grill if self.shape == "rounded bars" else fluids.square_edge_grill
        return float(law(share))
