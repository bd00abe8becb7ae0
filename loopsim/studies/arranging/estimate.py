"""What an arrangement would give, before it is drawn: flow by curves laid end to end, heat by passing it once round.

Estimates decide only which arrangements are drawn and in what order; what is shown of one is solved from its drawing.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from loopsim.elements import BlockCooling
from loopsim.elements.exchange import Exchanger
from loopsim.network import LoopNetwork
from loopsim.parts import Block
from loopsim.solve import solve_variants
from loopsim.studies.arranging.open_loop import Item
from loopsim.studies.arranging.plans import Beside, InRow, Pass, Plan, Step, ends_of
from loopsim.studies.arranging.ways import BareLayout
from loopsim.studies.heat.point import heat_sources
from loopsim.studies.heat.results import HeatPoint
from loopsim.units import GRAVITY, to_si

__all__ = ["Estimate", "Estimator"]

FloatArray = NDArray[np.float64]

_POINTS = 41
_BEYOND = 4.0  # times the flow as drawn: up to where curves are laid
_TEES = 1.5  # velocity heads of the tube that a branch pays for its two tees; a guess
_SMALL = 1e-12  # flow that is nearly none [m3/s]


class Estimate(NamedTuple):
    """What is expected of a plan; the margin is None where heat would have no way out, or nothing has a limit."""

    flow: float
    margin: float | None


class _Warming(NamedTuple):
    """How the temperature above the room changes on a way: ``leaves = share * enters + rise``."""

    share: float
    rise: float

    def then(self, other: "_Warming") -> "_Warming":
        return _Warming(other.share * self.share, other.share * self.rise + other.rise)


@dataclass(frozen=True, slots=True)
class _Cooled:
    """A radiator as it stands in its air: the law, the air's flow and heat capacity rate, and its temperature."""

    law: Exchanger
    air_flow: float
    air_rate: float
    air_enters: float  # above the room [K]


@dataclass(frozen=True, slots=True)
class _Heated:
    """A block: its law, its heat, and by how much each component may be warmer than the room above its own joint."""

    law: BlockCooling
    heat: float
    bearable: tuple[float, ...]


class Estimator:
    """Estimates for the plans of one loop.

    Parameters
    ----------
    bare : BareLayout
    heat : HeatPoint
        The layout as drawn, at the load case that counts.
    """

    def __init__(self, bare: BareLayout, heat: HeatPoint) -> None:
        self.bare, self.heat = bare, heat
        self.network: LoopNetwork = heat.coupled.thermal.loop
        self.state = self.network.state_of(heat.point.pumps[0].id)
        top = _BEYOND * max(heat.point.loop_flow, *(abs(pump.flow) for pump in heat.point.pumps), _SMALL)
        self.grid: FloatArray = np.linspace(0.0, top, _POINTS)
        self.gain = self._gain()
        self.capacity = self.state.density * self.state.heat_capacity
        self.radiators, self.blocks = dict(self._cooled()), dict(self._heated())
        self.in_air = min(_margins_in_air(heat), default=np.inf)
        self._curves: dict[object, FloatArray] = {}

    def of(self, plan: Plan) -> Estimate:
        """Flow and margin to be expected of a plan."""
        drop = self._row(plan.steps, self.bare.loop.leaves, plan.returns)
        flow = self._crossing(self.gain - drop)
        return Estimate(flow, self._margin(plan.steps, flow))

    def _gain(self) -> FloatArray:
        """What pumps and all that stays build up between where the loop leaves and comes back, on the grid [Pa]."""
        loop, network = self.bare.loop, self.network.network
        moved = {part for item in (*loop.units, *loop.in_line) for part in item.parts} | loop.joints
        gone = {name for item in (*moved, *loop.redrawn) for name in self.network.elements_of[item]}
        circuit = self.network.circuit_of[self.network.elements_of[self.heat.point.pumps[0].id][0]]
        piece = network.part_of((name for name in circuit.body.links if name not in gone), holds_pressure=False)
        leaves, returns = (self.network.junction_of(port) for port in (loop.leaves, loop.returns[0]))
        solved = solve_variants(piece, {leaves: -self.grid, returns: self.grid})
        head = solved.head(leaves) - solved.head(returns)
        return np.asarray(piece.state.density * GRAVITY * head)

    def _crossing(self, surplus: FloatArray) -> float:
        """The flow at which a falling surplus is used up."""
        return float(np.interp(0.0, -surplus, self.grid))

    def _step(self, step: Step) -> FloatArray:
        """Drop over a step on the grid [Pa]."""
        if isinstance(step, Pass):
            return self._item(step.item)
        if isinstance(step, InRow):
            return self._row(step.steps)
        return self._beside([self._branch(step, number) for number in range(len(step.branches))])

    def _row(self, steps: Sequence[Step], start: str = "", end: str = "") -> FloatArray:
        """Drop over steps and the tubes between them, with those from `start` and to `end`."""
        ends = [("", start), *map(ends_of, steps), (end, "")]
        tubes = (self._tube(a, b) for (_, a), (b, _) in pairwise(ends) if a and b)
        return np.asarray(sum((self._step(step) for step in steps), np.zeros(_POINTS)) + sum(tubes))

    def _branch(self, beside: Beside, number: int) -> FloatArray:
        """A branch with its tees and the tubes to them."""
        step = beside.branches[number]
        drop = self._step(step)
        if number:
            (into, out), (entered, left) = ends_of(beside.branches[0]), ends_of(step)
            drop = drop + self._tube(into, entered) + self._tube(left, out)
        return np.asarray(drop + self._tees)

    @property
    def _tees(self) -> FloatArray:
        if "tees" not in self._curves:
            bore = to_si(min(tube.bore_mm for tube in self.bare.build.tubes), "mm")
            speed = self.grid / (np.pi / 4 * bore**2)
            self._curves["tees"] = np.asarray(_TEES * self.state.density * speed**2 / 2)
        return self._curves["tees"]

    def _beside(self, drops: Sequence[FloatArray]) -> FloatArray:
        """At one drop the flows of branches add up."""
        common = np.linspace(0.0, 1.0, _POINTS) ** 2 * min(drop[-1] for drop in drops)
        flow = sum(np.interp(common, drop, self.grid) for drop in drops)
        return np.asarray(np.interp(self.grid, flow, common))

    def _item(self, item: Item) -> FloatArray:
        if item.parts not in self._curves:
            names = [name for part in item.parts for name in self.network.elements_of[part]]
            links = self.network.network.links
            drops = (links[name].element.dp(self.grid, self.network.network.state_in(name))[0] for name in names)
            self._curves[item.parts] = np.asarray(sum(drops, np.zeros(_POINTS)))
        return self._curves[item.parts]

    def _tube(self, start: str, end: str) -> FloatArray:
        if (start, end) not in self._curves:
            way, build = self.bare.way(start, end), self.bare.build
            ports = (build.port(reference)[1] for reference in (way.run.start, way.run.end))
            element = way.run.element(build.tube(way.run.tube), way.path, *ports)
            drop = element.dp(self.grid, self.state)[0]
            self._curves[start, end] = self._curves[end, start] = np.asarray(drop)
        return self._curves[start, end]

    def _margin(self, steps: Sequence[Step], flow: float) -> float | None:
        """Least margin once round, from the temperature at which the loop comes back as warm as it left [K]."""
        if flow < _SMALL:
            return None
        shares = list(self._flows(steps, flow))
        once = self._warming(InRow(tuple(steps)), dict(shares)).then(
            _Warming(1.0, self._from_pumps / (self.capacity * flow))
        )
        if once.share > 1 - 1e-9:
            return None
        margins = list(self._margins(InRow(tuple(steps)), dict(shares), once.rise / (1 - once.share)))
        least = min([*margins, self.in_air])
        return None if least == np.inf else float(least)

    def _flows(self, steps: Iterable[Step], flow: float) -> Iterator[tuple[Step, float]]:
        """Flow through every step."""
        for step in steps:
            yield step, flow
            if isinstance(step, InRow):
                yield from self._flows(step.steps, flow)
            elif isinstance(step, Beside):
                drops = [self._branch(step, number) for number in range(len(step.branches))]
                common = float(np.interp(flow, self.grid, self._beside(drops)))
                for branch, drop in zip(step.branches, drops, strict=True):
                    yield from self._flows((branch,), float(np.interp(common, drop, self.grid)))

    def _warming(self, step: Step, flows: dict[Step, float]) -> _Warming:
        if isinstance(step, InRow):
            made = _Warming(1.0, 0.0)
            for each in step.steps:
                made = made.then(self._warming(each, flows))
            return made
        if isinstance(step, Beside):
            parts = [(self._warming(each, flows), flows[each]) for each in step.branches]
            total = sum(flow for _, flow in parts) or 1.0
            return _Warming(
                sum(way.share * flow for way, flow in parts) / total,
                sum(way.rise * flow for way, flow in parts) / total,
            )
        return self._through(step.item, max(flows[step], _SMALL))

    def _through(self, item: Item, flow: float) -> _Warming:
        made, rate = _Warming(1.0, 0.0), self.capacity * flow
        for part in item.parts:
            if part in self.blocks:
                made = made.then(_Warming(1.0, self.blocks[part].heat / rate))
            elif part in self.radiators:
                air = self.radiators[part]
                share = float(air.law.conductance(flow, rate, air.air_flow, air.air_rate)) / rate
                made = made.then(_Warming(1 - share, share * air.air_enters))
        return made

    def _margins(self, step: Step, flows: dict[Step, float], enters: float) -> Iterator[float]:
        """Margins of all components on a way that the coolant enters so much warmer than the room."""
        if isinstance(step, Beside):
            for branch in step.branches:
                yield from self._margins(branch, flows, enters)
        elif isinstance(step, InRow):
            for each in step.steps:
                yield from self._margins(each, flows, enters)
                warming = self._warming(each, flows)
                enters = warming.share * enters + warming.rise
        else:
            yield from self._at_block(step.item, max(flows[step], _SMALL), enters)

    def _at_block(self, item: Item, flow: float, enters: float) -> Iterator[float]:
        rate = self.capacity * flow
        for block in (self.blocks[part] for part in item.parts if part in self.blocks):
            leaves = enters + block.heat / rate
            coolant = leaves - float(block.law.inlet_share(flow, rate)) * (leaves - enters)
            face = coolant + block.heat * float(block.law.resistance(flow))
            yield from (bearable - face for bearable in block.bearable)

    @property
    def _from_pumps(self) -> float:
        """Heat that gets into the coolant beside that of the blocks [W]."""
        return self.heat.budget.into_coolant - sum(block.heat for block in self.blocks.values())

    def _cooled(self) -> Iterator[tuple[str, _Cooled]]:
        coupled, thermal = self.heat.coupled, self.heat.coupled.thermal
        found = {each.part: each for each in self.heat.exchangers}
        for (part, law), other in zip(thermal.exchangers, thermal.heat.exchange_b, strict=True):
            each = found[part]
            yield (
                part,
                _Cooled(law, each.other_flow, abs(float(coupled.rate[other])), each.other_enters - self.heat.room),
            )

    def _heated(self) -> Iterator[tuple[str, _Heated]]:
        point = self.heat.point
        sources = heat_sources(point.build, point.layout, self.heat.case)
        for part in sources.parts:
            if isinstance(part, Block):
                bearable = (
                    load.limit_c - self.heat.room - sources.heat_of(part, load) * load.resistance_k_w
                    for load in part.loads
                )
                yield part.id, _Heated(part.cooling, sources.loads[part.id], tuple(bearable))


def _margins_in_air(heat: HeatPoint) -> Iterator[float]:
    for each in heat.components:
        if each.cooled_by == "air" and each.margin is not None:
            yield each.margin
