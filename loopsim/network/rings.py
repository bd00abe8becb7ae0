"""Which parts and runs lie in a ring, as far as they are drawn: only there can liquid be led round."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from loopsim.build import Build, Layout
from loopsim.build.free_ports import free_ports
from loopsim.network.joined import Joined
from loopsim.parts import Pump, part_of

__all__ = ["in_rings", "in_use"]

Chamber = tuple[str, ...]  # ports of one part between which its liquid can pass, as "part.port"
Ways = Mapping[str, tuple[Chamber, Chamber]]  # tube runs, and what they join


def in_rings(build: Build, layout: Layout) -> frozenset[str]:
    """Ids of the parts and runs that are left when all ways which end blindly are taken off, one after the other.

    What a valve shuts or a pump stops still lies in its ring; what waits for a tube at one of its ends does not.
    """
    return _ids(_rings(_ways(layout, _chamber_of(build, layout))))


def in_use(build: Build, layout: Layout) -> frozenset[str]:
    """The same without what is plainly still being drawn: rings that no pump drives, in liquid with an open port.

    A closed loop without a pump counts: warm coolant may rise in it by itself.
    """
    chamber_of = _chamber_of(build, layout)
    ways = _ways(layout, chamber_of)
    rings, body_of = _rings(ways), _bodies(ways)
    driven = {body_of[chamber] for chamber in _met(rings) if isinstance(build.part(_part(chamber)), Pump)}
    waiting = [f"{part}.{port}" for part, free in free_ports(build, layout).items() for port in free.waiting]
    opened = {body_of.get(chamber_of[port]) for port in waiting if port in chamber_of}
    return _ids(
        {run: ends for run, ends in rings.items() if body_of[ends[0]] in driven or body_of[ends[0]] not in opened}
    )


def _chamber_of(build: Build, layout: Layout) -> dict[str, Chamber]:
    return {port: chamber for chamber in _chambers(build, layout) for port in chamber}


def _chambers(build: Build, layout: Layout) -> Iterator[Chamber]:
    """Of every part; ports that are shut off from each other, as those of a stuck valve, still belong together."""
    for part_id in layout.placements:
        part = build.part(part_id)
        groups = part.chambers
        shut = tuple(port for port in part.ports if not any(port in group for group in groups))
        for group in (*groups, shut):
            yield tuple(f"{part_id}.{port}" for port in group)


def _ways(layout: Layout, chamber_of: Mapping[str, Chamber]) -> Ways:
    return {run.id: (chamber_of[run.start], chamber_of[run.end]) for run in layout.runs}


def _rings(ways: Ways) -> Ways:
    while blind := {chamber for chamber, count in Counter(_met(ways)).items() if count < 2}:
        ways = {run: ends for run, ends in ways.items() if blind.isdisjoint(ends)}
    return ways


def _met(ways: Ways) -> Iterable[Chamber]:
    """Chambers to which runs lead, each as often as one does."""
    return (chamber for ends in ways.values() for chamber in ends)


def _bodies(ways: Ways) -> dict[Chamber, Chamber]:
    """By chamber, the one that stands for its body of liquid."""
    joined = Joined[Chamber]()
    for start, end in ways.values():
        joined.join(start, end)
    return {chamber: joined.root(chamber) for chamber in _met(ways)}


def _ids(ways: Ways) -> frozenset[str]:
    return frozenset((*ways, *(_part(chamber) for chamber in _met(ways))))


def _part(chamber: Chamber) -> str:
    return part_of(chamber[0])
