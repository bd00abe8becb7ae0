"""A loop opened: what stays as it is drawn, and the blocks and radiators that can change places between its ends."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from loopsim.build import Build, Layout
from loopsim.errors import SketchError
from loopsim.parts import Block, Part, Pump, Radiator, TubeRun, part_of
from loopsim.parts.branching import Branching
from loopsim.parts.manifold import Manifold
from loopsim.studies.results import OperatingPoint
from loopsim.studies.words import NO_FLOW, listed

if TYPE_CHECKING:
    import networkx as nx

__all__ = ["Item", "OpenLoop", "open_loop"]

MOST_UNITS = 7


class Node(NamedTuple):
    """One body of liquid in a part: the part, and the first of its ports."""

    part: str
    port: str


@dataclass(frozen=True, slots=True)
class Item:
    """What liquid passes from one port to another: a block, a radiator, or some other part that stays in line.

    Attributes
    ----------
    parts : tuple of str
        Ids; several where parts stay joined as they are drawn, such as a block and the valve before it.
    ports : tuple of str
        By which liquid enters and leaves it as drawn, ``"part.port"``.
    turns : bool
        True if liquid may pass it the other way.
    """

    parts: tuple[str, ...]
    ports: tuple[str, str]
    turns: bool


@dataclass(frozen=True)
class OpenLoop:
    """A loop without the tubes that are to be drawn anew.

    Attributes
    ----------
    point : OperatingPoint
        The layout as drawn, solved.
    leaves : str
        Port by which liquid leaves what stays, its pumps and vessels, for the rest.
    returns : tuple of str
        Ports by which it may come back: that of the drawing first, then others of the same vessel that are free.
    units : tuple of Item
        What changes places, as the drawing has it along the flow.
    in_line : tuple of Item
        What else stands between: it always carries the whole flow.
    redrawn : frozenset of str
        Ids of the runs that go.
    joints : frozenset of str
        Ids of the tees, crosses and manifolds that go: they only join what is joined otherwise now.
    """

    point: OperatingPoint
    leaves: str
    returns: tuple[str, ...]
    units: tuple[Item, ...]
    in_line: tuple[Item, ...]
    redrawn: frozenset[str]
    joints: frozenset[str]

    @property
    def build(self) -> Build:
        """The build that it was read from."""
        return self.point.build

    @property
    def layout(self) -> Layout:
        """The layout as drawn."""
        return self.point.layout

    def name_of(self, item: Item) -> str:
        """What an item is called: its block or radiator."""
        return _main_part(self.build, item.parts).name


def open_loop(point: OperatingPoint, only: Collection[str] = ()) -> OpenLoop:
    """Open the loop of a layout that has most blocks and radiators.

    Pumps and vessels stay, with everything that is joined to them on the way from where the loop comes back to where
    it leaves: so the reservoir keeps its place before the pump's suction.

    Parameters
    ----------
    point : OperatingPoint
    only : collection of str
        Ids of the blocks and radiators that may change places; all of them if empty. Others stay in line.

    Raises
    ------
    SketchError
        If there is no closed loop with a pump, nothing in it to arrange or too much, or something in it that cannot be
        arranged around.
    """
    return _Opening(point, only).opened()


class _Opening:
    def __init__(self, point: OperatingPoint, only: Collection[str]) -> None:
        self.point, self.build, self.layout = point, point.build, point.layout
        self._check(only)
        self.only = frozenset(only)
        self.flows = {each.id: each.flow for each in point.parts}
        self.node_at = dict(_nodes(self.build, self.layout))
        self.graph = self._circuit(self._whole())
        self.held = self._strip_dead_ends()
        if not self.graph.edges:
            raise self._refusal("its tubes form no ring")
        self.unit_nodes = [node for node in self.graph if self._is_unit(node)]

    def opened(self) -> OpenLoop:
        """The loop without the tubes between its items."""
        rest = self.graph.subgraph(node for node in self.graph if node not in self.unit_nodes)
        trunk = self._trunk(rest)
        leaves, returns = self._ends_of(trunk)
        joints, pieces = self._pieces(rest, trunk)
        units, in_line = self._items(pieces, trunk, leaves, returns)
        if len(units) < 2:
            raise self._refusal("fewer than two blocks and radiators lie in its loop, so there is nothing to arrange")
        if len(units) > MOST_UNITS:
            names = listed([_main_part(self.build, each.parts).name for each in units])
            raise self._refusal(
                f"{len(units)} blocks and radiators lie in its loop ({names}), at most {MOST_UNITS} can be arranged at "
                "once; choose which"
            )
        kept = {part for each in (*units, *in_line) if len(each.parts) > 1 for part in each.parts}
        redrawn = frozenset(
            run.id for run, (a, b) in self._edges() if not ({a, b} <= trunk or {a.part, b.part} <= kept)
        )
        return OpenLoop(
            self.point, leaves, (returns, *self._other_returns(returns)), units, in_line, redrawn,
            frozenset(node.part for node in joints),
        )  # fmt: skip

    def _check(self, only: Collection[str]) -> None:
        for part_id in only:
            self.layout.placement(part_id)
            part = self.build.part(part_id)
            if not isinstance(part, Block | Radiator):
                raise SketchError(
                    f"{part.name} is a {part.title}; only blocks and radiators change places", part=part_id
                )

    def _refusal(self, why: str, part: str | None = None) -> SketchError:
        return SketchError(f"layout {self.layout.name!r} cannot be arranged: {why}", part=part)

    def _whole(self) -> "nx.MultiGraph[Node]":
        import networkx as nx  # on first use, it loads slowly

        graph: nx.MultiGraph[Node] = nx.MultiGraph()
        graph.add_nodes_from(dict.fromkeys(self.node_at.values()))
        for run in self.layout.runs:
            graph.add_edge(self.node_at[run.start], self.node_at[run.end], run=run)
        return graph

    def _circuit(self, whole: "nx.MultiGraph[Node]") -> "nx.MultiGraph[Node]":
        """The circuit with a pump that has most blocks and radiators."""
        import networkx as nx  # on first use, it loads slowly

        found = [
            nodes
            for nodes in nx.connected_components(whole)
            if any(isinstance(self._part(node), Pump) for node in nodes)
        ]
        if not found:
            raise self._refusal("no pump is joined to anything in it")
        most = max(found, key=lambda nodes: sum(isinstance(self._part(node), Block | Radiator) for node in nodes))
        kept = [node for node in whole if node in most]
        return nx.MultiGraph(whole.subgraph(kept))

    def _strip_dead_ends(self) -> set[Node]:
        """Take away what hangs on a single tube; the nodes that it hung on."""
        held: set[Node] = set()
        while ends := [node for node in self.graph if self.graph.degree(node) < 2 and len(self.graph) > 1]:
            held |= {other for node in ends for other in self.graph.neighbors(node)}
            self.graph.remove_nodes_from(ends)
        return held

    def _part(self, node: Node) -> Part:
        return self.build.part(node.part)

    def _is_unit(self, node: Node) -> bool:
        is_wanted = not self.only or node.part in self.only
        return is_wanted and isinstance(self._part(node), Block | Radiator) and self.graph.degree(node) == 2

    def _is_joint(self, node: Node) -> bool:
        return isinstance(self._part(node), Branching | Manifold) and node not in self.held

    def _is_source(self, node: Node) -> bool:
        part = self._part(node)
        return isinstance(part, Pump) or part.is_vessel

    def _edges(self) -> Iterator[tuple[TubeRun, tuple[Node, Node]]]:
        """Runs of the loop in the order of the layout."""
        for run in self.layout.runs:
            ends = self.node_at[run.start], self.node_at[run.end]
            if all(node in self.graph for node in ends):
                yield run, ends

    def _ends(self, nodes: Collection[Node]) -> list[tuple[str, bool]]:
        """Ports by which runs lead out of some nodes, each with True where liquid leaves them there."""
        found = []
        for run, (a, b) in self._edges():
            if (a in nodes) != (b in nodes):
                port, sign = (run.start, 1) if a in nodes else (run.end, -1)
                found.append((port, self.flows[run.id] * sign > 0))
        return found

    def _trunk(self, rest: "nx.MultiGraph[Node]") -> frozenset[Node]:
        """The piece with the vessel and a pump, less the joints at its ends."""
        import networkx as nx  # on first use, it loads slowly

        pieces = [frozenset(piece) for piece in nx.connected_components(rest)]
        core = max(pieces, key=self._weight)
        if not any(self._is_source(node) for node in core):
            raise self._refusal("no pump lies in its loop")
        sources = {node for node in core if self._is_source(node)}
        while len(self._ends(core)) > 2:
            smaller = [self._without(rest, core, joint, sources) for joint in rest if joint in core]
            best = min((len(self._ends(each)), -len(each), number) for number, each in enumerate(smaller) if each)
            if best[0] >= len(self._ends(core)):
                break
            core = smaller[best[2]]
        return core

    def _weight(self, piece: Iterable[Node]) -> tuple[int, int, int]:
        """By which the piece with the vessel, else that with most pumps, is known."""
        parts = [self._part(node) for node in piece]
        vessels = sum(part.surface_mm is not None for part in parts)
        return vessels, sum(isinstance(part, Pump) for part in parts), len(parts)

    def _without(
        self, rest: "nx.MultiGraph[Node]", core: frozenset[Node], joint: Node, sources: set[Node]
    ) -> frozenset[Node]:
        """What of a piece still holds all its pumps and vessels once a joint is gone; all of it where nothing does."""
        import networkx as nx  # on first use, it loads slowly

        if not self._is_joint(joint):
            return core
        left = nx.connected_components(rest.subgraph(core - {joint}))
        return next((frozenset(piece) for piece in left if sources <= piece), core)

    def _ends_of(self, trunk: frozenset[Node]) -> tuple[str, str]:
        ends = self._ends(trunk)
        out, back = [port for port, leaves in ends if leaves], [port for port, leaves in ends if not leaves]
        if len(out) == len(back) == 1 and self._flows_at(out[0]):
            return out[0], back[0]
        if not ends:
            raise self._refusal("no tube leads on from its pumps")
        names = listed(sorted({self.build.part(part_of(port)).name for port, _ in ends}))
        if not any(self._flows_at(port) for port, _ in ends):
            raise self._refusal("nothing flows in it, so there is no way round to arrange along")
        raise self._refusal(
            f"the loop leaves its pumps and vessels at {len(ends)} places ({names}); it must leave at one and come "
            "back at one"
        )

    def _flows_at(self, port: str) -> bool:
        return any(abs(self.flows[run.id]) > NO_FLOW for run in self.layout.runs if port in (run.start, run.end))

    def _pieces(self, rest: "nx.MultiGraph[Node]", trunk: frozenset[Node]) -> tuple[list[Node], list[frozenset[Node]]]:
        """Joints that go, and what else stands between the units."""
        import networkx as nx  # on first use, it loads slowly

        between = [node for node in rest if node not in trunk]
        joints = [node for node in between if self._is_joint(node)]
        others = rest.subgraph(node for node in between if node not in joints)
        pieces = [frozenset(piece) for piece in nx.connected_components(others)]
        for piece in pieces:
            names = listed([self._part(node).name for node in rest if node in piece])
            if len(self._ends(piece)) != 2:
                raise self._refusal(f"{names} is joined at {len(self._ends(piece))} places, not at two")
        return joints, pieces

    def _items(
        self, pieces: list[frozenset[Node]], trunk: frozenset[Node], leaves: str, returns: str
    ) -> tuple[tuple[Item, ...], tuple[Item, ...]]:
        """Units along the flow, what stands before them in a branch being theirs; and what carries the whole flow."""
        groups = {node: {node} for node in self.unit_nodes}
        in_line = []
        for piece in pieces:
            if self._carries_all(piece, trunk, leaves, returns):
                in_line.append(self._item(piece))
                continue
            owner = self._owner(piece, groups)
            if owner is None:
                name = self._part(next(iter(piece))).name
                raise self._refusal(f"{name} lies in a way past the blocks and radiators, which cannot be kept")
            groups[owner] |= piece
        order = self._along(trunk, leaves)
        units = sorted((self._item(group) for group in groups.values()), key=lambda unit: order[unit.parts[0]])
        return tuple(units), tuple(in_line)

    def _carries_all(self, piece: frozenset[Node], trunk: frozenset[Node], leaves: str, returns: str) -> bool:
        """True if there is no way round it from where the loop leaves to where it comes back."""
        import networkx as nx  # on first use, it loads slowly

        cut = nx.MultiGraph(self.graph)
        cut.remove_nodes_from([*piece, *trunk])
        (first, last) = (self._beyond(port) for port in (leaves, returns))
        return first in piece or last in piece or not nx.has_path(cut, first, last)

    def _beyond(self, port: str) -> Node:
        """The node at the other end of the run on a port."""
        run = next(run for run in self.layout.runs if port in (run.start, run.end))
        return self.node_at[run.end if run.start == port else run.start]

    def _owner(self, piece: frozenset[Node], groups: Mapping[Node, set[Node]]) -> Node | None:
        """The unit with which a piece stays: that to which a tube leads on from it, else that before it."""
        ends = sorted(self._ends(piece), key=lambda end: not end[1])
        return next((unit for port, _ in ends for unit, group in groups.items() if self._beyond(port) in group), None)

    def _item(self, nodes: Collection[Node]) -> Item:
        ends = sorted(self._ends(nodes), key=lambda end: end[1])  # where liquid enters first
        parts = tuple(node.part for node in self.graph if node in nodes)
        return Item(parts, (ends[0][0], ends[1][0]), not any(self.build.part(part).one_way for part in parts))

    def _along(self, trunk: frozenset[Node], leaves: str) -> dict[str, int]:
        """Parts in the order in which they are met from where the loop leaves."""
        import networkx as nx  # on first use, it loads slowly

        found = nx.MultiGraph(self.graph)
        found.remove_nodes_from(trunk)
        met = [node.part for node in nx.bfs_tree(found, self._beyond(leaves))]
        order = [*met, *(node.part for node in self.graph if node.part not in met)]
        return {part: number for number, part in reversed(list(enumerate(order)))}

    def _other_returns(self, returns: str) -> list[str]:
        """Free ports of the vessel into which the loop comes back, at which it might as well."""
        part, _ = self.build.port(returns)
        taken = {end for run in self.layout.runs for end in (run.start, run.end)}
        if part.surface_mm is None:
            return []
        return [reference for name in part.ports if (reference := f"{part.id}.{name}") not in taken]


def _nodes(build: Build, layout: Layout) -> Iterator[tuple[str, Node]]:
    """The body of liquid behind every port."""
    for part_id in layout.placements:
        for group in build.part(part_id).chambers:
            for port in group:
                yield f"{part_id}.{port}", Node(part_id, group[0])


def _main_part(build: Build, parts: Iterable[str]) -> Part:
    found = [build.part(part) for part in parts]
    return next((part for part in found if isinstance(part, Block | Radiator)), found[0])
