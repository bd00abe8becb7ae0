"""Names and openings of the height graph, as a builder speaks of them."""

from collections.abc import Collection, Iterable

from loopsim.build import Build, Layout
from loopsim.errors import SketchError, did_you_mean
from loopsim.network import HeightGraph
from loopsim.parts import part_of
from loopsim.studies.fill.results import Where
from loopsim.studies.words import millilitres, millimetres

__all__ = ["item_name", "millilitres", "millimetres", "opening_places", "opening_words", "where"]


def where(graph: HeightGraph, build: Build, layout: Layout, place: int, item: str = "") -> Where:
    """A place with the name of the part or run that it lies in, or of one that ends there."""
    item = item or graph.item_at(place)
    x, y, height = graph.spots[place].tolist()
    return Where(graph.names[place], item, item_name(build, layout, item), x, y, height)


def item_name(build: Build, layout: Layout, item: str) -> str:
    """What a part or run is called: ``"Radiator 1"``, ``"tube from Pump to Radiator 1"``."""
    run = layout.runs_by_id.get(item)
    return build.part(item).name if run is None else f"tube from {build.run_name(run)}"


def opening_words(build: Build, place: str) -> str:
    """An opening as a builder speaks of it: ``"the cap of Fill port"``, ``"the lid of Reservoir"``."""
    part_id, _, port = place.partition("/")[0].partition(".")
    part = build.part(part_id)
    if port:
        return f"the open port {port} of {part.name}"
    return f"the {'lid' if part.surface_mm is not None else 'cap'} of {part.name}"


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
    of_part = [name for name in graph.openings if part_of(name) == reference]
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
