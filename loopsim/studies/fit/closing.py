"""Whether a circuit in which a pump drives liquid round is closed, and has a vessel."""

from collections.abc import Iterator

from loopsim.build import Build, Layout
from loopsim.build.free_ports import free_ports
from loopsim.parts import Part, Pump, part_of
from loopsim.studies.fit.circuits import joined_ports
from loopsim.studies.results import Finding
from loopsim.studies.words import listed

__all__ = ["closing_findings", "driven_open_ports"]


def closing_findings(build: Build, layout: Layout) -> Iterator[Finding]:
    """Open ends from which a pump would push the coolant, and rings that have no vessel."""
    ways = _Ways(build, layout)
    for part_id, names, pump in _open_ends(ways):
        part = build.part(part_id)
        ports = f"port {_named(names)} is" if len(names) == 1 else f"ports {_named(names)} are"
        text = f"{part.name}: {ports} open in the ring of {pump.name}: with the pump running the coolant runs out there"
        fix = "take_out" if _is_spare(layout, part, names) else ""
        remedy = "lead a tube run from it, or take the part out" if fix else "lead a tube run from it"
        yield Finding("open_end", part_id, text, False, remedy, fix)
    for pump in ways.without_vessel():
        text = (
            f"the ring of {pump.name} has no vessel: nothing takes up what the coolant swells by as it warms, and air "
            "has no place to go; without one only pressure differences are known"
        )
        yield Finding("no_vessel", pump.id, text, False, "set a reservoir into it, before the pump", "add_vessel")


def driven_open_ports(build: Build, layout: Layout) -> dict[str, tuple[str, ...]]:
    """Open ports of each part in a ring that a pump drives, by part id."""
    return {part_id: names for part_id, names, _ in _open_ends(_Ways(build, layout))}


class _Ways:
    """Ports as they hang together, once with the pumps and once without: a pump drives a ring if it bridges it."""

    def __init__(self, build: Build, layout: Layout) -> None:
        self.build, self.layout = build, layout
        parts = [build.part(part_id) for part_id in layout.placements]
        pumps = [part for part in parts if isinstance(part, Pump)]
        self._all = joined_ports(layout, parts)
        self._rings = {self._root(pump): pump for pump in reversed(pumps) if self._closes(pump, parts)}
        self._with_vessel = {
            self._all.root(f"{part.id}.{port}") for part in parts for port in part.ports if part.is_vessel
        }

    def pump_of(self, port: str) -> Pump | None:
        """A pump that drives the liquid at a port round."""
        return self._rings.get(self._all.root(port))

    def without_vessel(self) -> list[Pump]:
        """A pump of each ring that no vessel belongs to."""
        return [pump for root, pump in self._rings.items() if root not in self._with_vessel]

    def _root(self, pump: Pump) -> str:
        return self._all.root(f"{pump.id}.outlet")

    def _closes(self, pump: Pump, parts: list[Part]) -> bool:
        around = joined_ports(self.layout, [part for part in parts if part is not pump])
        return around.root(f"{pump.id}.inlet") == around.root(f"{pump.id}.outlet")


def _open_ends(ways: _Ways) -> Iterator[tuple[str, tuple[str, ...], Pump]]:
    """Parts with open ports in driven rings: id, ports, and a pump that drives the liquid there."""
    for part_id, (waiting, _) in free_ports(ways.build, ways.layout).items():
        driven = {name: pump for name in waiting if (pump := ways.pump_of(f"{part_id}.{name}")) is not None}
        if driven:
            yield part_id, tuple(driven), next(iter(driven.values()))


def _is_spare(layout: Layout, part: Part, names: tuple[str, ...]) -> bool:
    """True for a fitting that, with its open ports, only lengthens the line."""
    taken = sum(part_of(end) == part.id for run in layout.runs for end in (run.start, run.end))
    return taken == 2 and len(names) == len(part.ports) - 2 and part.meeting_law is not None


def _named(names: tuple[str, ...]) -> str:
    return listed([name.replace("_", " ") for name in names])
