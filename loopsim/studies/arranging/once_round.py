"""The coolant followed once round a plan: where it settles, and what that leaves to every limit."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from loopsim.elements import BlockCooling
from loopsim.elements.exchange import Exchanger
from loopsim.media import State
from loopsim.parts import Block
from loopsim.studies.arranging.laid_curves import SMALL
from loopsim.studies.arranging.open_loop import Item
from loopsim.studies.arranging.plans import Beside, InRow, Step
from loopsim.studies.heat.point import heat_sources
from loopsim.studies.heat.results import HeatPoint

__all__ = ["OnceRound"]

_ALL = 1 - 1e-9  # share of its warmth that coolant keeps once round where nothing sheds heat


class _Warming(NamedTuple):
    """How the temperature above the room changes on a way: ``leaves = share * enters + rise``."""

    share: float = 1.0
    rise: float = 0.0

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
    """A block: its law, its heat, and how much warmer than the room its face may be for each component."""

    law: BlockCooling
    heat: float
    bearable: tuple[float, ...]


class OnceRound:
    """Heat of plans, with the air as it is in the layout as drawn.

    Parameters
    ----------
    heat : HeatPoint
        The layout as drawn, at the load case that counts.
    state : State
        Of the liquid.
    """

    def __init__(self, heat: HeatPoint, state: State) -> None:
        self.heat = heat
        self.capacity = state.density * state.heat_capacity
        self.radiators, self.blocks = dict(self._cooled()), dict(self._heated())
        self.in_air = [each.margin for each in heat.components if each.cooled_by == "air" and each.margin is not None]

    def margin(self, steps: Sequence[Step], flow: float, flows: Mapping[Step, float]) -> float | None:
        """Least margin to any limit [K].

        None where the heat has no way out, or nothing has a limit.

        Parameters
        ----------
        steps : sequence of Step
        flow : float
            Through all of them [m3/s].
        flows : mapping of Step to float
            Through each [m3/s].
        """
        if flow < SMALL:
            return None
        row = InRow(tuple(steps))
        pumps = _Warming(rise=self._from_pumps / (self.capacity * flow))
        once = self._warming(row, flows).then(pumps)
        if once.share > _ALL:
            return None
        settled = once.rise / (1 - once.share)  # as warm as it left
        return min((*self._margins(row, flows, settled), *self.in_air), default=None)

    def _warming(self, step: Step, flows: Mapping[Step, float]) -> _Warming:
        if isinstance(step, InRow):
            made = _Warming()
            for each in step.steps:
                made = made.then(self._warming(each, flows))
            return made
        if isinstance(step, Beside):
            return self._mixed(step, flows)
        return self._through(step.item, max(flows[step], SMALL))

    def _mixed(self, beside: Beside, flows: Mapping[Step, float]) -> _Warming:
        """Branches meet again, each with its share of the flow."""
        ways = [(self._warming(each, flows), flows[each]) for each in beside.branches]
        total = sum(flow for _, flow in ways) or 1.0
        share = sum(way.share * flow for way, flow in ways) / total
        return _Warming(share, sum(way.rise * flow for way, flow in ways) / total)

    def _through(self, item: Item, flow: float) -> _Warming:
        made, rate = _Warming(), self.capacity * flow
        for part in item.parts:
            if part in self.blocks:
                made = made.then(_Warming(rise=self.blocks[part].heat / rate))
            elif part in self.radiators:
                air = self.radiators[part]
                share = float(air.law.conductance(flow, rate, air.air_flow, air.air_rate)) / rate
                made = made.then(_Warming(1 - share, share * air.air_enters))
        return made

    def _margins(self, step: Step, flows: Mapping[Step, float], enters: float) -> Iterator[float]:
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
            yield from self._at_block(step.item, max(flows[step], SMALL), enters)

    def _at_block(self, item: Item, flow: float, enters: float) -> Iterator[float]:
        rate = self.capacity * flow
        for block in (self.blocks[part] for part in item.parts if part in self.blocks):
            warms = block.heat / rate
            coolant = enters + warms * (1 - float(block.law.inlet_share(flow, rate)))
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
            rate, enters = abs(float(coupled.rate[other])), each.other_enters - self.heat.room
            yield part, _Cooled(law, each.other_flow, rate, enters)

    def _heated(self) -> Iterator[tuple[str, _Heated]]:
        point, room = self.heat.point, self.heat.room
        sources = heat_sources(point.build, point.layout, self.heat.case)
        for part in sources.parts:
            if isinstance(part, Block):
                joints = [(load.limit_c, sources.heat_of(part, load) * load.resistance_k_w) for load in part.loads]
                bearable = tuple(limit - room - over_joint for limit, over_joint in joints)
                yield part.id, _Heated(part.cooling, sources.loads[part.id], bearable)
