"""Manifold."""

from itertools import pairwise
from typing import ClassVar, Literal

from pydantic import ConfigDict, ValidationInfo, field_validator

from loopsim.curves import Provenance
from loopsim.fields import choice, number
from loopsim.geometry import Spot
from loopsim.parts.base import Part, Port
from loopsim.parts.fitting import bore_ml, tolerance, with_loss
from loopsim.parts.inner import Inside, shared_out, straight

__all__ = ["Manifold"]


class Manifold(Part):
    """A header that one main port feeds, with a row of branches. Each leg costs a share of its velocity head."""

    title: ClassVar = "manifold"
    symbol: ClassVar = "manifold"
    help: ClassVar = (
        "Splits a line into several, or brings them together. The header counts as one body of liquid, which holds "
        "while its bore is well above that of the branches (about the area of all of them together); in a narrower "
        "one the first and the last branch differ. The losses are guesses for drilled holes with sharp edges."
    )

    # Defaults are checked too: a value may contradict the default of another field.
    model_config: ClassVar[ConfigDict] = ConfigDict(validate_default=True)

    kind: Literal["manifold"] = "manifold"
    length_mm: float = number("length", "of the outline, along the part's own x", 100.0, above=0.0)
    width_mm: float = number("width", "of the outline, across", 30.0, above=0.0)
    height_mm: float = number("height", "of the outline", 30.0, above=0.0)
    header_bore_mm: float = number("header bore", "inner diameter of the header and its main port", 16.0, above=0.0)
    branch_bore_mm: float = number("branch bore", "inner diameter of the branch ports", 8.0, above=0.0)
    port_height_mm: float = number("port height", "middle of the ports above the underside", 15.0, least=0.0)
    branches: Literal["2", "3", "4", "5", "6", "7", "8"] = choice("branches", "how many branch ports", "4")
    spacing_mm: float = number("spacing", "from branch to branch", 24.0, above=0.0)
    main_loss: float = number(
        "loss, main port", "each way, in velocity heads of the header's bore; a guess", 0.3, least=0.0, most=10.0
    )
    branch_loss: float = number(
        "loss per branch", "each way, in velocity heads of the branch's bore; a guess", 0.8, least=0.0, most=10.0
    )
    provenance: Provenance = Provenance(kind="guess", source="drilled holes with sharp edges")
    relative_tolerance: float = tolerance(0.5)

    @field_validator("spacing_mm")
    @classmethod
    def _row_fits(cls, spacing: float, info: ValidationInfo) -> float:
        data = info.data
        if "branches" in data and "length_mm" in data:
            most = data["length_mm"] / (int(data["branches"]) - 1)
            if spacing > most:
                raise ValueError(
                    f"{data['branches']} branches fit into {data['length_mm']:g} mm with at most {most:.4g} mm from "
                    f"one to the next, got {spacing:g} mm"
                )
        return spacing

    def make_ports(self) -> tuple[Port, ...]:
        """The main port at the near end, the branches along the left side."""
        count, height = int(self.branches), self.port_height_mm
        main = Port("main", Spot(-self.length_mm / 2, 0.0, height), 180.0, self.header_bore_mm)
        first = -self.spacing_mm * (count - 1) / 2
        return (with_loss(main, self.main_loss), *(self._branch(number, first) for number in range(count)))

    def _branch(self, number: int, first: float) -> Port:
        spot = Spot(first + number * self.spacing_mm, self.width_mm / 2, self.port_height_mm)
        return with_loss(Port(f"branch_{number + 1}", spot, 90.0, self.branch_bore_mm), self.branch_loss)

    def make_inside(self) -> Inside:
        """The header from its main port to its blind end, and a hole from it to each branch."""
        branches = [port for name, port in self.ports.items() if name != "main"]
        places = {f"at_{port.name}": port.spot._replace(y_mm=0.0) for port in branches}
        places["end"] = Spot(self.length_mm / 2, 0.0, self.port_height_mm)
        along = ["main", *places]
        paths = [straight(start, end, self.header_bore_mm) for start, end in pairwise(along)]
        paths += [straight(f"at_{port.name}", port.name, port.bore_mm) for port in branches]
        spots = places | {name: port.spot for name, port in self.ports.items()}
        return Inside(shared_out(paths, spots, self.coolant_ml), places)

    @property
    def merges_ports(self) -> bool:
        """All ports open into the header."""
        return True

    @property
    def coolant_ml(self) -> float:
        """Coolant in the header and in the holes up to it [mL]."""
        drilled = max((self.width_mm - self.header_bore_mm) / 2, 0.0)
        return bore_ml(self.header_bore_mm, self.length_mm) + int(self.branches) * bore_ml(self.branch_bore_mm, drilled)
