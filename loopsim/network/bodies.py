"""What hangs together: the connected bodies of a network."""

from collections.abc import Iterator
from dataclasses import dataclass

from loopsim.network.flow_network import Network
from loopsim.network.joined import Joined

__all__ = ["Body", "bodies"]


@dataclass(frozen=True)
class Body:
    """Junctions that elements join to each other, and these elements, in the order of the network."""

    junctions: frozenset[str]
    links: tuple[str, ...]


def bodies(network: Network) -> Iterator[Body]:
    """The connected bodies with at least one element, in the order of their first element."""
    joined = Joined[str]()
    for link in network.links.values():
        joined.join(link.start, link.end)
    names: dict[str, list[str]] = {}
    for name, link in network.links.items():
        names.setdefault(joined.root(link.start), []).append(name)
    junctions = {joined.root(group[0]): frozenset(group) for group in joined.groups()}
    return (Body(junctions[root], tuple(names[root])) for root in names)
