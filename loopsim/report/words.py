"""How the report names things: parts, ports, runs, kinds of data. The same words in every section."""

from dataclasses import dataclass

from loopsim.build import Build, Layout
from loopsim.curves import AirOrigin, Origin, Provenance, ProvenanceKind
from loopsim.parts import TubeRun

__all__ = ["DATA_WORDS", "Namer", "data_words", "medium_words"]

DATA_WORDS: dict[ProvenanceKind, str] = {
    "measured": "measured",
    "table": "from a table",
    "chart": "read from a chart",
    "geometry": "from geometry",
    "guess": "a guess",
}


def data_words(kind: ProvenanceKind | None, beyond_data: bool = False) -> str:
    """Kind of data in words; marked where a value lies beyond them."""
    words = DATA_WORDS[kind] if kind else "–"
    return f"{words}; beyond its data" if beyond_data else words


def medium_words(provenance: Origin) -> str:
    """What data were taken on: ``"water, 20 °C"``, ``"air, 1.2 kg/m³"``; a dash where that does not count."""
    if isinstance(provenance, AirOrigin):
        return f"air, {provenance.density_kg_m3:g} kg/m³"
    if not isinstance(provenance, Provenance):
        return "–"
    share = f"{100 * provenance.glycol_mass_fraction:g} % " if provenance.glycol_mass_fraction else ""
    return f"{share}{provenance.medium.replace('_', ' ')}, {provenance.temperature_c:g} °C"


@dataclass(frozen=True)
class Namer:
    """Names within one layout; tube runs go by their number on the plan."""

    build: Build
    layout: Layout

    def item(self, item_id: str) -> str:
        """A part by its name, a run by its number."""
        if item_id in self.layout.runs_by_id:
            return f"run {1 + list(self.layout.runs_by_id).index(item_id)}"
        return self.build.part(item_id).name

    def end(self, reference: str) -> str:
        """``"Pump A, outlet"`` for the end of a run."""
        part, port = self.build.port(reference)
        return f"{part.name}, {port.name.replace('_', ' ')}"

    def ends(self, run: TubeRun) -> tuple[str, str]:
        """Both ends of a run."""
        return self.end(run.start), self.end(run.end)
