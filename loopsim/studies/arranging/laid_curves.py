"""Curves laid end to end and side by side: the flow of a plan, before it is drawn."""

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loopsim.network import LoopNetwork
from loopsim.solve import solve_variants
from loopsim.studies.arranging.open_loop import Item
from loopsim.studies.arranging.plans import Beside, InRow, Pass, Plan, Step, ends_of
from loopsim.studies.arranging.ways import BareLayout
from loopsim.studies.heat.results import HeatPoint
from loopsim.units import GRAVITY, to_si

__all__ = ["SMALL", "LaidCurves"]

FloatArray = NDArray[np.float64]

SMALL = 1e-12  # flow that is nearly none [m3/s]
_POINTS = 41
_BEYOND = 4.0  # times the largest flow as drawn: up to where curves are laid
_TEES = 1.5  # velocity heads of the tube that a branch pays for its two tees; a guess


class LaidCurves:
    """Pressure against flow, on one grid of flows, of all that a plan is made of.

    Parameters
    ----------
    bare : BareLayout
    heat : HeatPoint
        The layout as drawn; liquid is as warm as there.
    """

    def __init__(self, bare: BareLayout, heat: HeatPoint) -> None:
        self.bare = bare
        self.network: LoopNetwork = heat.coupled.thermal.loop
        self.state = self.network.state_of(bare.loop.units[0].parts[0])
        top = _BEYOND * max(SMALL, *(abs(pump.flow) for pump in heat.point.pumps))
        self.grid: FloatArray = np.linspace(0.0, top, _POINTS)
        self._tubes: dict[tuple[str, str], FloatArray] = {}
        self._items: dict[tuple[str, ...], FloatArray] = {}

    def flow(self, plan: Plan) -> float:
        """The flow at which the plan takes just what the pumps give [m3/s]."""
        surplus = self._gain - self._row(plan.steps, self.bare.loop.leaves, plan.returns)
        return float(np.interp(0.0, -surplus, self.grid))

    def flows(self, steps: Iterable[Step], flow: float) -> Iterator[tuple[Step, float]]:
        """Every step with the flow through it, for the flow through all of them."""
        for step in steps:
            yield step, flow
            if isinstance(step, InRow):
                yield from self.flows(step.steps, flow)
            elif isinstance(step, Beside):
                drops = self._branches(step)
                common = float(np.interp(flow, self.grid, self._beside(drops)))
                for branch, drop in zip(step.branches, drops, strict=True):
                    yield from self.flows((branch,), float(np.interp(common, drop, self.grid)))

    @cached_property
    def _gain(self) -> FloatArray:
        """What pumps and all that stays build up between where the loop leaves and comes back [Pa]."""
        loop, network = self.bare.loop, self.network.network
        moved = {part for item in (*loop.units, *loop.in_line) for part in item.parts} | loop.joints
        gone = {name for item in (*moved, *loop.redrawn) for name in self.network.elements_of[item]}
        circuit = self.network.circuit_of[self.network.elements_of[loop.units[0].parts[0]][0]]
        piece = network.part_of((name for name in circuit.body.links if name not in gone), holds_pressure=False)
        leaves, returns = (self.network.junction_of(port) for port in (loop.leaves, loop.returns[0]))
        solved = solve_variants(piece, {leaves: -self.grid, returns: self.grid})
        return np.asarray(piece.state.density * GRAVITY * (solved.head(leaves) - solved.head(returns)))

    def _step(self, step: Step) -> FloatArray:
        """Drop over a step [Pa]."""
        if isinstance(step, Pass):
            return self._item(step.item)
        if isinstance(step, InRow):
            return self._row(step.steps)
        return self._beside(self._branches(step))

    def _row(self, steps: Sequence[Step], start: str = "", end: str = "") -> FloatArray:
        """Drop over steps and the tubes between them, with those from `start` and to `end`."""
        ends = [("", start), *map(ends_of, steps), (end, "")]
        tubes = (self._tube(a, b) for (_, a), (b, _) in pairwise(ends) if a and b)
        return np.asarray(sum((self._step(step) for step in steps), np.zeros(_POINTS)) + sum(tubes))

    def _branches(self, beside: Beside) -> list[FloatArray]:
        """Drop over each branch with its tees, and the tubes to them but for the one straight on."""
        into, out = ends_of(beside.branches[0])
        drops = []
        for number, branch in enumerate(beside.branches):
            drop = self._step(branch) + self._tees
            if number:
                entered, left = ends_of(branch)
                drop = drop + self._tube(into, entered) + self._tube(left, out)
            drops.append(drop)
        return drops

    def _beside(self, drops: Sequence[FloatArray]) -> FloatArray:
        """At one drop the flows of branches add up."""
        common = np.linspace(0.0, 1.0, _POINTS) ** 2 * min(drop[-1] for drop in drops)
        flow = sum(np.interp(common, drop, self.grid) for drop in drops)
        return np.asarray(np.interp(self.grid, flow, common))

    @cached_property
    def _tees(self) -> FloatArray:
        bore = to_si(min(tube.bore_mm for tube in self.bare.build.tubes), "mm")
        speed = self.grid / (np.pi / 4 * bore**2)
        return np.asarray(_TEES * self.state.density * speed**2 / 2)

    def _item(self, item: Item) -> FloatArray:
        if item.parts not in self._items:
            names = [name for part in item.parts for name in self.network.elements_of[part]]
            links = self.network.network.links
            drops = (links[name].element.dp(self.grid, self.network.network.state_in(name))[0] for name in names)
            self._items[item.parts] = np.asarray(sum(drops, np.zeros(_POINTS)))
        return self._items[item.parts]

    def _tube(self, start: str, end: str) -> FloatArray:
        if (start, end) not in self._tubes:
            way, build = self.bare.way(start, end), self.bare.build
            ports = (build.port(reference)[1] for reference in (way.run.start, way.run.end))
            element = way.run.element(build.tube(way.run.tube), way.path, *ports)
            drop = element.dp(self.grid, self.state)[0]
            self._tubes[start, end] = self._tubes[end, start] = np.asarray(drop)
        return self._tubes[start, end]
