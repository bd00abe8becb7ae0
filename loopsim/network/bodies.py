"""What hangs together: the connected bodies of a network."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from loopsim.network.flow_network import Network

__all__ = ["Body", "bodies"]


@dataclass(frozen=True)
class Body:
    """Junctions that elements join to each other, and these elements, in the order of the network."""

    junctions: frozenset[str]
    links: tuple[str, ...]


def bodies(network: Network) -> Iterator[Body]:
    """The connected bodies with at least one element, in the order of their first element."""
    neighbours: defaultdict[str, list[str]] = defaultdict(list)
    for link in network.links.values():
        neighbours[link.start].append(link.end)
        neighbours[link.end].append(link.start)
    number: dict[str, int] = {}
    for junction in neighbours:
        if junction not in number:
            _reach(junction, neighbours, number)
    links: defaultdict[int, list[str]] = defaultdict(list)
    junctions: defaultdict[int, set[str]] = defaultdict(set)
    for name, link in network.links.items():
        body = number[link.start]
        links[body].append(name)
        junctions[body].update((link.start, link.end))
    return (Body(frozenset(junctions[body]), tuple(names)) for body, names in links.items())


def _reach(first: str, neighbours: dict[str, list[str]], number: dict[str, int]) -> None:
    """Give all that can be reached from a junction the next number."""
    body = len(number)
    number[first] = body
    edge = [first]
    while edge:
        for name in neighbours[edge.pop()]:
            if name not in number:
                number[name] = body
                edge.append(name)
