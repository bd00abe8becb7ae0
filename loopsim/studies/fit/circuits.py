"""Which parts and runs hold one body of liquid, as far as the drawing tells."""

from collections import defaultdict
from collections.abc import Iterable

from loopsim.build import Build, Layout
from loopsim.parts import part_of

__all__ = ["Joined", "circuits"]


class Joined:
    """Things that hang together, found by joining them two by two."""

    def __init__(self) -> None:
        self._of: dict[str, str] = {}

    def root(self, name: str) -> str:
        """The one thing that stands for all that hang together with this one."""
        of = self._of
        while (above := of.setdefault(name, name)) != name:
            of[name] = of[above]
            name = above
        return name

    def join(self, one: str, other: str) -> None:
        """From now on both hang together."""
        self._of[self.root(one)] = self.root(other)

    def groups(self) -> Iterable[list[str]]:
        """All that was named, by what hangs together."""
        found: dict[str, list[str]] = defaultdict(list)
        for name in list(self._of):
            found[self.root(name)].append(name)
        return found.values()


def circuits(build: Build, layout: Layout) -> list[set[str]]:
    """Ids of the parts and runs of each circuit as drawn; a part between two circuits is in both."""
    joined = Joined()
    for run in layout.runs:
        joined.join(run.start, run.end)
    for part_id in layout.placements:
        for group in build.part(part_id).chambers:
            for name in group:
                joined.join(f"{part_id}.{group[0]}", f"{part_id}.{name}")
    found = {joined.root(group[0]): {part_of(name) for name in group} for group in joined.groups()}
    for run in layout.runs:
        found[joined.root(run.start)].add(run.id)
    return list(found.values())
