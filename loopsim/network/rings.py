"""Which parts and runs lie in a ring, as far as they are drawn: only there can liquid be led round."""

from collections import Counter
from collections.abc import Iterator

from loopsim.build import Build, Layout

__all__ = ["in_rings"]

Chamber = tuple[str, ...]  # ports of one part between which its liquid can pass, as "part.port"


def in_rings(build: Build, layout: Layout) -> frozenset[str]:
    """Ids of the parts and runs that are left when all ways which end blindly are taken off, one after the other.

    What a valve shuts or a pump stops still lies in its ring; what waits for a tube at one of its ends does not.
    """
    chamber_of = {port: chamber for chamber in _chambers(build, layout) for port in chamber}
    ways = {run.id: (chamber_of[run.start], chamber_of[run.end]) for run in layout.runs}
    while blind := _blind(ways):
        ways = {run: ends for run, ends in ways.items() if blind.isdisjoint(ends)}
    parts = {chamber[0].partition(".")[0] for ends in ways.values() for chamber in ends}
    return frozenset((*ways, *parts))


def _chambers(build: Build, layout: Layout) -> Iterator[Chamber]:
    """Of every part; ports that are shut off from each other, as those of a stuck valve, still belong together."""
    for part_id in layout.placements:
        part = build.part(part_id)
        groups = part.chambers
        shut = tuple(port for port in part.ports if not any(port in group for group in groups))
        for group in (*groups, shut):
            yield tuple(f"{part_id}.{port}" for port in group)


def _blind(ways: dict[str, tuple[Chamber, Chamber]]) -> set[Chamber]:
    """Chambers to which a single way leads."""
    count = Counter(chamber for ends in ways.values() for chamber in ends)
    return {chamber for chamber, met in count.items() if met < 2}
