"""Ports to which no run leads: those still waiting for one, and those that count as plugged."""

from collections.abc import Collection
from typing import NamedTuple

from loopsim.build.document import Build, Layout
from loopsim.parts import Part

__all__ = ["FreePorts", "free_ports"]

_ENOUGH = 2  # runs that make a part of one body of liquid complete


class FreePorts(NamedTuple):
    """Free ports of one part, by name."""

    waiting: tuple[str, ...]
    plugged: tuple[str, ...]


def free_ports(build: Build, layout: Layout) -> dict[str, FreePorts]:
    """Free ports of every part of a layout that has any, by part id.

    A vessel or a manifold has more ports than a loop needs: with two runs on it the others are closed by plugs, as
    they are when such a part is built in. So are further openings behind a port of any part, but one. Every other part
    needs a run on each of its ports.
    """
    joined = {end for run in layout.runs for end in (run.start, run.end)}
    found = {}
    for part_id in layout.placements:
        part = build.part(part_id)
        free = tuple(name for name in part.ports if f"{part_id}.{name}" not in joined)
        is_complete = part.merges_ports and len(part.ports) - len(free) >= _ENOUGH
        if free:
            waiting = () if is_complete else _waiting(part, free)
            found[part_id] = FreePorts(waiting, tuple(name for name in free if name not in waiting))
    return found


def _waiting(part: Part, free: Collection[str]) -> tuple[str, ...]:
    """Free ports but for plugged ones: further openings, and a port of which one of those is in use."""
    served = {main for twin, main in part.twins.items() if twin not in free}
    return tuple(name for name in free if name not in part.twins and name not in served)
