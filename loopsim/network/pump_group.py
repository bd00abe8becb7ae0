"""Do the pumps of a network form one group between two points, in series, in parallel, or mixed?

Only then is there one combined pump curve. The graph is reduced by the two rules of series-parallel graphs (two
branches that meet in a junction with nothing else become one; two branches with the same ends become one); the
group is the smallest reduced branch with all pumps in it.
"""

from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from loopsim.network.flow_network import Link, Network

__all__ = ["Branch", "Gap", "PumpGroup", "pump_group", "single_pump"]


@dataclass(frozen=True)
class Branch:
    """A piece of a network between two junctions: one element, or pieces one after the other or side by side.

    `forward` is True where a single element runs from the branch's start to its end.
    """

    kind: Literal["element", "series", "parallel"]
    start: str
    end: str
    children: tuple["Branch", ...] = ()
    name: str = ""
    forward: bool = True

    def names(self) -> Iterator[str]:
        """Names of the elements in it."""
        if self.kind == "element":
            yield self.name
        for child in self.children:
            yield from child.names()

    def turned(self) -> "Branch":
        """The same branch seen from the other end."""
        children = tuple(child.turned() for child in self.children)
        if self.kind == "series":
            children = children[::-1]
        return Branch(self.kind, self.end, self.start, children, self.name, not self.forward)

    def leaves(self) -> Iterator["Branch"]:
        """The single elements in it, each as it is passed from the branch's start to its end."""
        if self.kind == "element":
            yield self
        for child in self.children:
            yield from child.leaves()


@dataclass(frozen=True)
class Gap:
    """Where a piece of the pump group sits in the network: liquid enters it at `start` and leaves it at `end`."""

    branch: Branch

    @property
    def start(self) -> str:
        """Junction at which liquid enters."""
        return self.branch.start

    @property
    def end(self) -> str:
        """Junction at which liquid leaves."""
        return self.branch.end


@dataclass(frozen=True)
class PumpGroup:
    """Pumps that act as one machine.

    Pieces in `gaps` carry one and the same flow, one after the other; what lies between them belongs to the system.
    """

    gaps: tuple[Gap, ...]

    def names(self) -> list[str]:
        """Names of all elements in the group."""
        return [name for gap in self.gaps for name in gap.branch.names()]


def pump_group(network: Network, pumps: Collection[str]) -> PumpGroup | None:
    """The group that the pumps form, or None if they form none between two points.

    Parameters
    ----------
    network : Network
    pumps : collection of str
        Names of the elements that are pumps, running or stopped.
    """
    fixed = [junction for junction in network.junctions.values() if junction.pressure is not None]
    if not pumps or len(fixed) > 1 or any(junction.inflow for junction in network.junctions.values()):
        return None
    edges = _reduced(_without_dead_ends(list(network.links.values())))
    holders = [edge for edge in edges if _has_pump(edge, pumps)]
    if len(holders) != 1 or not set(pumps) <= set(holders[0].names()) or _is_bridge(holders[0], edges):
        return None
    gaps = _gaps(holders[0], pumps, is_whole=len(edges) == 1)
    return PumpGroup(_facing_forward(gaps, pumps)) if gaps else None


def single_pump(network: Network, pump: str) -> PumpGroup:
    """The group of one pump by itself, whatever the network."""
    link = network.links[pump]
    return PumpGroup((Gap(Branch("element", link.start, link.end, name=pump)),))


def _has_pump(branch: Branch, pumps: Collection[str]) -> bool:
    return any(name in pumps for name in branch.names())


def _is_bridge(branch: Branch, edges: list[Branch]) -> bool:
    """True if no way leads from its end back to its start, beside it or in it: then nothing can flow through it."""
    if branch.kind == "parallel":
        return False
    reached, others = {branch.start}, [edge for edge in edges if edge is not branch]
    while True:
        touched = {end for edge in others for end in (edge.start, edge.end) if {edge.start, edge.end} & reached}
        if touched <= reached:
            return branch.end not in reached
        reached |= touched


def _without_dead_ends(links: list[Link]) -> list[Branch]:
    """Branches of the elements that lie on some loop or between loops: nothing flows in the others."""
    kept = {link.name: link for link in links if link.start != link.end}
    at: dict[str, set[str]] = defaultdict(set)
    for link in kept.values():
        at[link.start].add(link.name)
        at[link.end].add(link.name)
    dead = [junction for junction, names in at.items() if len(names) == 1]
    while dead:
        names = at.pop(dead.pop())
        for name in names & kept.keys():
            link = kept.pop(name)
            for end in (link.start, link.end):
                if end in at:
                    at[end].discard(name)
                    if len(at[end]) == 1:
                        dead.append(end)
    return [Branch("element", link.start, link.end, name=link.name) for link in kept.values()]


def _reduced(edges: list[Branch]) -> list[Branch]:
    """Apply both rules until neither applies; series first, so that a single loop closes on itself."""
    while True:
        after = _series_step(edges) or _parallel_step(edges)
        if after is None:
            return edges
        edges = after


def _series_step(edges: list[Branch]) -> list[Branch] | None:
    at: dict[str, list[Branch]] = defaultdict(list)
    for edge in edges:
        if edge.start != edge.end:
            at[edge.start].append(edge)
            at[edge.end].append(edge)
    for edge in edges:
        if edge.start == edge.end:
            at[edge.start].extend((edge, edge))
    for junction, meeting in at.items():
        if len(meeting) == 2 and meeting[0] is not meeting[1]:
            first, second = meeting
            first = first if first.end == junction else first.turned()
            second = second if second.start == junction else second.turned()
            joined = Branch("series", first.start, second.end, (*_parts(first, "series"), *_parts(second, "series")))
            return [edge for edge in edges if all(edge is not each for each in meeting)] + [joined]
    return None


def _parallel_step(edges: list[Branch]) -> list[Branch] | None:
    between: dict[frozenset[str], list[Branch]] = defaultdict(list)
    for edge in edges:
        if edge.start != edge.end:
            between[frozenset((edge.start, edge.end))].append(edge)
    for bundle in between.values():
        if len(bundle) > 1:
            start, end = bundle[0].start, bundle[0].end
            aligned = [edge if edge.start == start else edge.turned() for edge in bundle]
            joined = Branch(
                "parallel", start, end, tuple(part for edge in aligned for part in _parts(edge, "parallel"))
            )
            return [edge for edge in edges if all(edge is not each for each in bundle)] + [joined]
    return None


def _parts(branch: Branch, kind: str) -> Sequence[Branch]:
    """A branch as pieces of a larger one of this kind."""
    return branch.children if branch.kind == kind else (branch,)


def _gaps(branch: Branch, pumps: Collection[str], is_whole: bool) -> list[Gap] | None:
    """Descend to the smallest piece that still holds all pumps.

    Pieces one after the other may be taken out singly, for their order does not matter to the flow; a piece side by
    side with another is taken whole, for what lies in it decides how they share. `is_whole` says that the branch is
    all there is: then something must be left over as the system.
    """
    if branch.kind == "element":
        return None if is_whole else [Gap(branch)]
    holders = [child for child in branch.children if _has_pump(child, pumps)]
    if len(holders) == 1:
        return _gaps(holders[0], pumps, is_whole=False)
    if is_whole and len(holders) == len(branch.children):
        return None
    if branch.kind == "series":
        return [Gap(child) for child in holders]
    return [Gap(Branch("parallel", branch.start, branch.end, tuple(holders)))]


def _facing_forward(gaps: list[Gap], pumps: Collection[str]) -> tuple[Gap, ...]:
    """Turn the group so that its first pump pushes from start to end."""
    first = next(leaf for leaf in gaps[0].branch.leaves() if leaf.name in pumps)
    return tuple(gaps) if first.forward else tuple(Gap(gap.branch.turned()) for gap in reversed(gaps))
