"""Where heat enters a layout: components, pumps, fans, supplies, and the friction of what flows."""

import numpy as np
from numpy.typing import NDArray

from loopsim.build import LoadCase
from loopsim.network import ROOM, ThermalNetwork, in_use
from loopsim.parts import AirComponent, Block, Fan, Load, Part, Pump, Supply
from loopsim.solve import FlowResult, Heating
from loopsim.studies.heat.power import SupplyLoad, supply_loads

__all__ = ["HeatSources"]

FloatArray = NDArray[np.float64]


class HeatSources:
    """All heat that a layout takes up, for one load case.

    Blocks and pumps outside of every ring are still being drawn: they are taken to be without power.

    Parameters
    ----------
    thermal : ThermalNetwork
    case : LoadCase
    """

    def __init__(self, thermal: ThermalNetwork, case: LoadCase) -> None:
        self.thermal, self.case = thermal, case
        loop, build = thermal.loop, thermal.loop.build
        self.parts: list[Part] = [build.part(part_id) for part_id in loop.layout.placements]
        self.pumps = [part for part in self.parts if isinstance(part, Pump)]
        self._in_use = in_use(build, loop.layout)
        self.loads = {
            part.id: _full_duty(part) * build.load_share(case, part.id) * self.has_power(part)
            for part in self.parts
            if isinstance(part, Block | AirComponent)
        }
        self.fans = {part.id: self._fan_power(part) for part in self.parts if isinstance(part, Fan)}
        self._passive = self._passive_rows()
        self._supplies_any = any(isinstance(part, Supply) for part in self.parts)
        self._fixed = self._fixed_heat()

    def at(self, liquid: FlowResult, air: FlowResult) -> Heating:  # noqa: ARG002  a fan's power is that of its speed
        """Heat put in while this flows."""
        streams, nodes = self._fixed.streams.copy(), self._fixed.nodes.copy()
        flow, drops = _flows_and_drops(liquid)
        count = self.thermal.liquid_count
        streams[:count] += np.where(self._passive, flow * drops, 0.0)
        for pump in self.pumps:
            row = self.thermal.number[pump.id]
            into_coolant, into_air, hydraulic = self._pump_heat(pump, flow[row], -drops[row])
            streams[row] += into_coolant - hydraulic  # the rest of it turns to heat where pressure drops
            nodes[self._air_node(pump.id)] += into_air
        if self._supplies_any:
            for supply in self.supplies(liquid):
                nodes[self._air_node(supply.id) if supply.stands == "inside" else self._room] += supply.loss
        return Heating(streams, nodes)

    def has_power(self, part: Part) -> bool:
        """False for a part with ports that is still being drawn: no liquid is led round through it yet."""
        return not part.ports or part.id in self._in_use

    def heat_of(self, block: Block, load: Load) -> float:
        """Heat of one component on a block [W]."""
        return load.heat_w * self.loads[block.id] / block.heat_w if block.heat_w else 0.0

    def supplies(self, liquid: FlowResult) -> tuple[SupplyLoad, ...]:
        """Loads and losses of the supplies while this flows."""
        loop = self.thermal.loop
        return supply_loads(loop.build, loop.layout, self.electrical(liquid))

    def electrical(self, liquid: FlowResult) -> dict[str, float]:
        """Electrical power that each part draws, by its id [W]."""
        flow, drops = _flows_and_drops(liquid)
        pumps = {}
        for pump in self.pumps:
            row = self.thermal.number[pump.id]
            into_coolant, into_air, _ = self._pump_heat(pump, flow[row], -drops[row])
            pumps[pump.id] = into_coolant + into_air
        return {**self.loads, **self.fans, **pumps}

    def _pump_heat(self, pump: Pump, flow: float, rise: float) -> tuple[float, float, float]:
        """Heat of a pump into the coolant and into the air around, and its hydraulic power [W]."""
        loop = self.thermal.loop
        if pump.id in loop.stopped or not self.has_power(pump):
            return 0.0, 0.0, float(flow * rise)  # below 0, but for its column's weight: what it resists warms it
        speed = loop.layout.placement(pump.id).setting().speed
        power = pump.electrical_power(float(flow), speed, loop.network.state_in(pump.id).density)
        hydraulic = float(flow * rise)
        return *pump.heat_shares(power, hydraulic), hydraulic

    def _fan_power(self, fan: Fan) -> float:
        stopped = fan.id in self.thermal.air.stopped
        setting = self.thermal.loop.layout.placement(fan.id).setting(stopped=stopped)
        return fan.electrical_w_at(setting.speed) if fan.turns(setting) else 0.0

    def _passive_rows(self) -> NDArray[np.bool_]:
        """Which of the liquid's elements turn all that they take into heat: all but the pumps."""
        pumps = {pump.id for pump in self.pumps}
        return np.array([name not in pumps for name in self.thermal.loop.network.links], dtype=bool)

    def _fixed_heat(self) -> Heating:
        """What does not depend on any flow."""
        streams, nodes = np.zeros(len(self.thermal.heat.streams)), np.zeros(len(self.thermal.heat.nodes))
        for part in self.parts:
            if isinstance(part, AirComponent):
                nodes[self._air_node(part.id)] += self.loads[part.id]
            elif isinstance(part, Fan):
                self._warm_air_of(part.id, self.fans[part.id], streams, nodes)
            elif part.id in self.loads:
                streams[self.thermal.number[self.thermal.loop.elements_of[part.id][0]]] += self.loads[part.id]
        return Heating(streams, nodes)

    def _warm_air_of(self, fan: str, power: float, streams: FloatArray, nodes: FloatArray) -> None:
        names = self.thermal.air.elements_of[fan]
        if names:
            streams[self.thermal.number[f"air {names[0]}"]] += power
        else:  # it stirs the air of one space
            nodes[self._air_node(fan)] += power

    def _air_node(self, part_id: str) -> int:
        return self.thermal.space_node(self.thermal.space_of(part_id))

    @property
    def _room(self) -> int:
        return self.thermal.space_node(ROOM)


def _flows_and_drops(liquid: FlowResult) -> tuple[FloatArray, FloatArray]:
    """Flow through each element and what it costs, so that their products add up to nothing in the whole network.

    Flows are those of one density, and drops hold what warm columns weigh less; then mechanical power is neither made
    nor lost on paper, and all of the pumps' power is found again as heat.
    """
    variants = liquid.variants
    return variants.flows[:, 0] / variants.made.swelling_as_written, variants.drops[:, 0]


def _full_duty(part: Part) -> float:
    """Heat of a part at full duty, into coolant or air [W]."""
    return part.heat_w if isinstance(part, Block) else part.air_heat_w
