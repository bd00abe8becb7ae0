"""Names and openings of the height graph, as a builder speaks of them."""

from collections.abc import Collection, Iterable

from loopsim.build import Build, Layout
from loopsim.errors import SketchError, did_you_mean
from loopsim.network import HeightGraph
from loopsim.studies.fill.results import Where
from loopsim.studies.words import millilitres, millimetres

__all__ = ["millilitres", "millimetres", "opening_places", "where"]


def where(graph: HeightGraph, build: Build, layout: Layout, place: int, item: str = "") -> Where:
    """A place with the name of the part or run that it lies in, or of one that ends there."""
    item = item or graph.item_at(place)
    run = layout.runs_by_id.get(item)
    name = build.part(item).name if run is None else f"tube from {build.run_name(run)}"
    x, y, height = graph.spots[place].tolist()
    return Where(graph.names[place], item, name, x, y, height)


def opening_places(graph: HeightGraph, layout: Layout, references: Iterable[str]) -> list[int]:
    """Numbers of openings given as ``"part"`` (with one opening), ``"part.port"`` or ``"part/place"``.

    Raises
    ------
    SketchError
        If there is no such opening in the layout; it names those that there are.
    """
    return [_opening(graph, layout, reference) for reference in references]


def _opening(graph: HeightGraph, layout: Layout, reference: str) -> int:
    if reference in graph.openings:
        return graph.number[reference]
    of_part = [name for name in graph.openings if name.partition("/")[0].partition(".")[0] == reference]
    fitted = [name for name in of_part if graph.openings[name] != "open"]
    for names in (fitted, of_part):
        if len(names) == 1:
            return graph.number[names[0]]
    raise SketchError(_no_opening(graph.openings, of_part, reference, layout), part=reference)


def _no_opening(known: Collection[str], of_part: list[str], reference: str, layout: Layout) -> str:
    there = ", ".join(of_part or known) or "none; add a fill, bleed or drain port"
    hint = "" if of_part else did_you_mean(reference, known)
    complaint = "has several openings, name one" if of_part else "is no opening"
    return f"layout {layout.name!r}: {reference!r} {complaint}{hint}; there are: {there}"
