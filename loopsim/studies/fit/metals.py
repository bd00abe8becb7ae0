"""Metals in one circuit that lie far apart."""

from collections.abc import Iterator
from itertools import combinations

from loopsim.build import Build, Layout
from loopsim.studies.fit.circuits import circuits
from loopsim.studies.results import Finding

__all__ = ["ANODIC_INDEX_V", "metal_findings"]

# Anodic index of metals, volts below gold: the table that goes with MIL-STD-889 (galvanic couples), from memory.
ANODIC_INDEX_V = {
    "nickel": 0.30,
    "copper": 0.35,
    "brass": 0.40,
    "stainless steel": 0.50,
    "steel": 0.85,
    "aluminium": 0.90,
}
MOST_APART_V = 0.25  # in rooms without control of damp and salt; common practice with that table
_TUBE_METALS = {"drawn copper or brass": "copper", "stainless steel": "stainless steel"}


def metal_findings(build: Build, layout: Layout) -> Iterator[Finding]:
    """The worst pair of metals of each circuit, where it is worse than usual practice allows."""
    for circuit in circuits(build, layout):
        metals = _metals(build, layout, circuit)
        pairs = sorted(combinations(metals, 2), key=lambda pair: _apart(*pair), reverse=True)
        if pairs and _apart(*pairs[0]) > MOST_APART_V:
            yield _finding(build, metals, *pairs[0])


def _finding(build: Build, metals: dict[str, list[str]], one: str, other: str) -> Finding:
    noble, base = sorted((one, other), key=lambda metal: ANODIC_INDEX_V[metal])
    name, against = (_name(build, metals[metal][0]) for metal in (base, noble))
    text = (
        f"{name} has {base}, {against} {noble}, in one circuit: they lie {_apart(one, other):.2g} V apart, and the "
        f"{base} corrodes"
    )
    remedy = "keep to metals of one family; an inhibitor only slows it down"
    return Finding("mixed_metals", metals[base][0], text, False, remedy, "", others=tuple(metals[noble]))


def _metals(build: Build, layout: Layout, circuit: set[str]) -> dict[str, list[str]]:
    """Ids of what each metal is in, in the order of the layout: parts first, then tubes."""
    found: dict[str, list[str]] = {}
    for part_id in layout.placements:
        if part_id in circuit:
            found.setdefault(build.part(part_id).wetted, []).append(part_id)
    for run in layout.runs:
        if run.id in circuit:
            found.setdefault(_TUBE_METALS.get(build.tube(run.tube).material, ""), []).append(run.id)
    return {metal: ids for metal, ids in found.items() if metal in ANODIC_INDEX_V}


def _name(build: Build, item_id: str) -> str:
    return build.part(item_id).name if item_id in build.parts_by_id else f"tube run {item_id}"


def _apart(one: str, other: str) -> float:
    """How far two metals lie apart [V]."""
    return abs(ANODIC_INDEX_V[one] - ANODIC_INDEX_V[other])
