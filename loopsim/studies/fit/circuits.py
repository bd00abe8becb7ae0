"""Which parts and runs hold one body of liquid, as far as the drawing tells."""

from collections.abc import Iterable

from loopsim.build import Build, Layout
from loopsim.network import Joined
from loopsim.parts import Part, part_of

__all__ = ["circuits", "joined_ports"]


def circuits(build: Build, layout: Layout) -> list[set[str]]:
    """Ids of the parts and runs of each circuit as drawn; a part between two circuits is in both."""
    joined = joined_ports(layout, map(build.part, layout.placements))
    found = {joined.root(group[0]): {part_of(name) for name in group} for group in joined.groups()}
    for run in layout.runs:
        found[joined.root(run.start)].add(run.id)
    return list(found.values())


def joined_ports(layout: Layout, parts: Iterable[Part]) -> Joined[str]:
    """Ports, as ``"part.port"``, that hang together by the runs of a layout and by what is inside some parts."""
    joined = Joined[str]()
    for run in layout.runs:
        joined.join(run.start, run.end)
    for part in parts:
        for group in part.chambers:
            for name in group:
                joined.join(f"{part.id}.{group[0]}", f"{part.id}.{name}")
    return joined
