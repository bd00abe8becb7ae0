"""What fills the circuit of a place, told by the heights alone: filling asks before anything flows."""

from loopsim.build import Build, BuildCoolant, Layout
from loopsim.network import HeightGraph
from loopsim.parts import Valve
from loopsim.units import GRAVITY

__all__ = ["coolant_at", "weight_at"]


def coolant_at(build: Build, layout: Layout, graph: HeightGraph, place: int) -> BuildCoolant:
    """The coolant that the first vessel of the circuit names; the build's first where none does.

    A shut valve parts no circuit: what stands behind it was poured in through the same opening.

    Parameters
    ----------
    build, layout
    graph : HeightGraph
        Of the layout.
    place : int
    """
    items = _joined(build, graph, place)
    named = (build.part(each).circuit_coolant for each in layout.placements if each in items)
    first = next((each for each in named if each is not None), None)
    return build.coolant if first is None else build.coolants_by_id[first]


def weight_at(build: Build, layout: Layout, graph: HeightGraph, place: int) -> float:
    """Of that coolant, as cold as the room [N/m3]."""
    medium = coolant_at(build, layout, graph, place).medium
    return medium.at(build.ambient.temperature_c).density * GRAVITY


def _joined(build: Build, graph: HeightGraph, place: int) -> set[str]:
    """Ids of the parts and runs that liquid, or air, joins to a place."""
    seen, front, items = {place}, [place], set[str]()
    while front:
        at = front.pop()
        near = [other for _, other in graph.passages_at[at]]
        for item in {graph.item_at(at), *(graph.items[passage] for passage, _ in graph.passages_at[at])} - items:
            items.add(item)
            if isinstance(valve := build.parts_by_id.get(item), Valve):
                near += [graph.number[f"{item}.{port}"] for port in valve.ports]
        for other in near:
            if other not in seen:
                seen.add(other)
                front.append(other)
    return items
