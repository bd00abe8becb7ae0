"""What hangs together: the connected bodies of a network."""

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
    found: dict[str, str] = {}  # from each junction towards the one that stands for its body

    def root_of(junction: str) -> str:
        root = found.setdefault(junction, junction)
        while root != found[root]:
            root = found[root]
        while junction != root:  # the next search is short
            junction, found[junction] = found[junction], root
        return root

    links = network.links
    for link in links.values():
        found[root_of(link.start)] = root_of(link.end)
    names: dict[str, list[str]] = {}
    junctions: dict[str, set[str]] = {}
    for name, link in links.items():
        names.setdefault(root_of(link.start), []).append(name)
    for junction in found:
        junctions.setdefault(root_of(junction), set()).add(junction)
    return (Body(frozenset(junctions[root]), tuple(names[root])) for root in names)
