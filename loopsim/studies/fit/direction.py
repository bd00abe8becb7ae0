"""Which way liquid will go, as far as the drawing tells, and what stands against it."""

from collections.abc import Iterator

from loopsim.build import Build, Layout
from loopsim.parts import Part, Pump
from loopsim.studies.results import Finding

__all__ = ["direction_findings", "drawn_directions"]


class _Ways:
    """What is known of the runs' directions: 1 from start to end, -1 back."""

    def __init__(self, build: Build, layout: Layout) -> None:
        self.build = build
        self.at_port = {end: (run.id, sign) for run in layout.runs for end, sign in ((run.start, 1), (run.end, -1))}
        self.known: dict[str, int] = {}
        self.against: list[Part] = []
        self.bodies = [
            [self.at_port[port] for port in ports if port in self.at_port]
            for part_id in layout.placements
            for group in build.part(part_id).chambers
            if len(ports := [f"{part_id}.{name}" for name in group]) > 1
        ]
        for part_id in layout.placements:
            part = build.part(part_id)
            if isinstance(part, Pump):
                self._push(part)

    def out_of(self, reference: str) -> int:
        """1 where liquid leaves a part by a port, -1 where it enters, 0 where that is not known or nothing joins."""
        run, sign = self.at_port.get(reference, ("", 0))
        return self.known.get(run, 0) * sign

    def _push(self, pump: Pump) -> None:
        """Let a pump send its liquid on, unless another one already sends it the other way."""
        if self.out_of(f"{pump.id}.outlet") < 0 or self.out_of(f"{pump.id}.inlet") > 0:
            self.against.append(pump)
            return
        for port, out in (("outlet", 1), ("inlet", -1)):
            run, sign = self.at_port.get(f"{pump.id}.{port}", ("", 0))
            if run:
                self.known[run] = out * sign
        self._spread()

    def _spread(self) -> None:
        """What enters a body of liquid leaves it: where one way alone is left, that is the way."""
        found = True
        while found:
            found = False
            for body in self.bodies:
                open_ = [(run, sign) for run, sign in body if run not in self.known]
                ways = {self.known[run] * sign for run, sign in body if run in self.known}
                if len(open_) == 1 and len(ways) == 1:
                    run, sign = open_[0]
                    self.known[run] = -ways.pop() * sign
                    found = True


def drawn_directions(build: Build, layout: Layout) -> dict[str, int]:
    """Directions of the runs that follow from the drawing: from the pumps on, as far as nothing divides.

    Returns
    -------
    directions : dict of str to int
        By run id: 1 from its start to its end, -1 back; runs of which the drawing does not tell are left out.
    """
    return _Ways(build, layout).known


def direction_findings(build: Build, layout: Layout) -> Iterator[Finding]:
    """Pumps, check valves, filters and meters that liquid enters by their outlet."""
    ways = _Ways(build, layout)
    for pump in ways.against:
        text = f"{pump.name} pushes against another pump: liquid would enter it by its outlet"
        yield Finding("backwards", pump.id, text, False, "exchange the tubes at its two ports", "swap_ports")
    for part_id in layout.placements:
        part = build.part(part_id)
        if not part.one_way or isinstance(part, Pump):
            continue
        if ways.out_of(f"{part_id}.outlet") < 0 or ways.out_of(f"{part_id}.inlet") > 0:
            text = f"{part.name} is entered by its outlet: a {part.title} works one way only"
            yield Finding("backwards", part_id, text, False, "exchange the tubes at its two ports", "swap_ports")
