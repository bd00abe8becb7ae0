"""A solved machine for many draws of its uncertain inputs at once."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from loopsim.network import ROOM
from loopsim.parts import AirComponent, Block
from loopsim.solve import Temperatures, solve_heat, solve_variants
from loopsim.solve.transport import film_flow
from loopsim.studies.heat.power import supply_loads
from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.heat.sources import HeatSources
from loopsim.studies.tolerance.pressures import Pressures
from loopsim.studies.uncertain import Of, Uncertain

__all__ = ["Model"]

FloatArray = NDArray[np.float64]


class Model:
    """What follows from factors on the inputs, near a solved machine.

    Viscosity, density and the power of pumps stay those of the solved machine: what the draws' own temperatures would
    change of them is small beside the bands.

    Parameters
    ----------
    heat : HeatPoint
        With every input at its middle.
    inputs : sequence of Uncertain, length k
    """

    def __init__(self, heat: HeatPoint, inputs: Sequence[Uncertain]) -> None:
        self.heat, self.inputs = heat, inputs
        self.thermal, self.transport = heat.coupled.thermal, heat.coupled.transport
        self.sources = HeatSources(self.thermal, heat.case)
        self._loop_weights = self._flow_weights()
        self._pressures = Pressures(heat)
        loads = [each.targets[0] for each in inputs if each.of == "load"]
        self._losses = {part_id: self._loss_per_load(part_id) for part_id in loads}

    def figures(self, factors: FloatArray) -> dict[str, FloatArray]:
        """Figures by their keys, as in `loopsim.studies.figures`, each of shape (v,).

        Where heat has no way out, the flow alone; margin only where a component has a limit.

        Parameters
        ----------
        factors : ndarray, shape (k, v)
            On each input.
        """
        liquid = solve_variants(self.thermal.loop.network, {}, self._of("liquid", factors))
        if not self.heat.is_steady:
            return {"flow_l_h": self._loop_flow(liquid.flows), **self._spread(self._pressures.figures(liquid), factors)}
        flow = self._flows(liquid.flows, factors)
        rate = flow * self.transport.volumetric[:, None]
        found = solve_heat(self.thermal.heat, rate, *self._heating(factors), self._conductance(factors, flow, rate))
        components = self._components(factors, flow, rate, found)
        coolant = slice(0, self.thermal.liquid_count)
        figures = {
            "flow_l_h": self._loop_flow(flow),
            **self._margin(components),
            "coolant_rise_k": found.outlet[coolant].max(axis=0, initial=0.0),
            **self._pressures.figures(liquid),
            "mains_w": self._mains(factors),
            **{f"{name}, temperature_c": temperature for name, temperature in components.items()},
            **self._block_flows(flow),
        }
        return self._spread(figures, factors)

    def flow_alone(self, factors: FloatArray) -> FloatArray:
        """Loop flow without heat and air, shape (v,) [m3/s]."""
        return self._loop_flow(solve_variants(self.thermal.loop.network, {}, self._of("liquid", factors)).flows)

    def _loop_flow(self, flow: FloatArray) -> FloatArray:
        """From the flows of the liquid, or of all streams."""
        return np.asarray(self._loop_weights[: len(flow)] @ np.abs(flow))

    @staticmethod
    def _spread(figures: dict[str, FloatArray], factors: FloatArray) -> dict[str, FloatArray]:
        """With a value for each draw also where nothing that is drawn matters."""
        return {key: np.broadcast_to(values, factors.shape[1]) for key, values in figures.items()}

    def _of(self, what: Of, factors: FloatArray) -> dict[str, FloatArray]:
        """Factors of one kind by what they multiply; one always, so that there are as many variants as draws."""
        found = {
            target: row
            for each, row in zip(self.inputs, factors, strict=True)
            if each.of == what
            for target in each.targets
        }
        if not found and what in ("liquid", "air"):
            links = (self.thermal.loop if what == "liquid" else self.thermal.air).network.links
            return {name: np.ones(factors.shape[1]) for name in list(links)[:1]}
        return found

    def _flows(self, liquid: FloatArray, factors: FloatArray) -> FloatArray:
        """Of all streams, those of the liquid first."""
        air = solve_variants(self.thermal.air.network, {}, self._of("air", factors)).flows
        both = [np.broadcast_to(each, (len(each), factors.shape[1])) for each in (liquid, air)]
        return np.concatenate(both)

    def _heating(self, factors: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Heat into streams and nodes: that of the solved machine, its loads multiplied."""
        count = factors.shape[1]
        streams, nodes = (
            np.repeat(each[:, None], count, axis=1)
            for each in (self.transport.heating.streams, self.transport.heating.nodes)
        )
        for part_id, factor in self._of("load", factors).items():
            more = self.sources.loads[part_id] * (factor - 1)
            if self.thermal.loop.elements_of.get(part_id):
                streams[self.thermal.number[self.thermal.loop.elements_of[part_id][0]]] += more
            else:
                nodes[self.thermal.space_node(self.thermal.space_of(part_id))] += more
            nodes += self._losses[part_id][:, None] * more
        return streams, nodes

    def _mains(self, factors: FloatArray) -> FloatArray:
        """Power from the mains: that of the solved machine, its loads multiplied, with what supplies lose more [W]."""
        drawn = np.full(factors.shape[1], self.heat.budget.electrical)
        for part_id, factor in self._of("load", factors).items():
            drawn += self.sources.loads[part_id] * (factor - 1) * (1 + self._losses[part_id].sum())
        return drawn

    def _block_flows(self, flow: FloatArray) -> dict[str, FloatArray]:
        """Flow at each block by its name, where there are several [m3/s]."""
        blocks = [part for part in self.sources.parts if isinstance(part, Block)]
        rows = [self.thermal.number[self.thermal.loop.elements_of[block.id][0]] for block in blocks]
        both = zip(blocks, rows, strict=True)
        return {f"{block.name}, flow_l_h": np.abs(flow[row]) for block, row in both} if len(blocks) > 1 else {}

    def _loss_per_load(self, part_id: str) -> FloatArray:
        """What supplies lose more for each watt of a part's load, into each node, shape (n,)."""
        loop, drawn = self.thermal.loop, self.sources.electrical(self.heat.coupled.liquid)
        more = {**drawn, part_id: drawn.get(part_id, 0.0) + 1.0}
        lost = np.zeros(len(self.thermal.heat.nodes))
        for before, after in zip(*(supply_loads(loop.build, loop.layout, each) for each in (drawn, more)), strict=True):
            inside = before.stands == "inside"
            lost[self.thermal.space_node(self.thermal.space_of(before.id) if inside else ROOM)] += (
                after.loss - before.loss
            )
        return lost

    def _conductance(self, factors: FloatArray, flow: FloatArray, rate: FloatArray) -> FloatArray:
        """Of each exchanger; its factor cannot lift it above what the weaker stream carries."""
        heat, own = self.thermal.heat, self._of("exchange", factors)
        flow = film_flow(self.thermal, self.transport.volumetric, flow)
        found = np.empty((len(self.thermal.exchangers), factors.shape[1]))
        for row, ((part_id, law), a, b) in enumerate(
            zip(self.thermal.exchangers, heat.exchange_a, heat.exchange_b, strict=True)
        ):
            most = np.minimum(np.abs(rate[a]), np.abs(rate[b]))
            found[row] = np.minimum(law.conductance(flow[a], rate[a], flow[b], rate[b]) * own.get(part_id, 1.0), most)
        return found

    def _components(
        self, factors: FloatArray, flow: FloatArray, rate: FloatArray, found: Temperatures
    ) -> dict[str, FloatArray]:
        """Temperature of each component by its name [degrees Celsius]."""
        temperatures: dict[str, FloatArray] = {}
        loads, blocks = self._of("load", factors), self._of("block", factors)
        for part in self.sources.parts:
            factor = loads.get(part.id, np.ones(factors.shape[1]))
            if isinstance(part, Block):
                face = self._face(part, factor, blocks.get(part.id, 1.0), flow, rate, found)
                for load in part.loads:
                    name = part.name if len(part.loads) == 1 else f"{part.name}, {load.name}"
                    temperatures[name] = face + factor * self.sources.heat_of(part, load) * load.resistance_k_w
            elif isinstance(part, AirComponent):
                temperatures[part.name] = self._around(part, rate, found)
        return temperatures

    def _face(
        self,
        block: Block,
        load: FloatArray,
        resistance: FloatArray | float,
        flow: FloatArray,
        rate: FloatArray,
        found: Temperatures,
    ) -> FloatArray:
        """Of a block's contact face [degrees Celsius]."""
        row = self.thermal.number[self.thermal.loop.elements_of[block.id][0]]
        share = block.cooling.inlet_share(flow[row], rate[row])
        coolant = found.outlet[row] - share * (found.outlet[row] - found.inlet[row])
        own = load * self.sources.loads[block.id] * block.cooling.resistance(flow[row]) * resistance
        return np.asarray(self.thermal.room_c + coolant + own)

    def _around(self, part: AirComponent, rate: FloatArray, found: Temperatures) -> FloatArray:
        """Air around a component [degrees Celsius]."""
        space = self.thermal.space_of(part.id)
        node = self.thermal.space_node(space)
        heat = self.thermal.heat
        below = np.where(rate >= 0, heat.end[:, None], heat.start[:, None])
        size = np.abs(rate) * (below == node)
        total = size.sum(axis=0)
        entering = np.divide((size * found.outlet).sum(axis=0), total, out=np.zeros_like(total), where=total > 0)
        above = found.node[node] if space != ROOM else np.zeros_like(total)
        room = self.thermal.room_c
        return np.asarray(room + entering + part.stagnation_factor * (above - entering))

    def _margin(self, components: dict[str, FloatArray]) -> dict[str, FloatArray]:
        """Of the warmest component in each draw [K], under its key; empty without limits."""
        limits = {each.name: each.limit for each in self.heat.components if each.limit is not None}
        margins = [limits[name] - temperature for name, temperature in components.items() if name in limits]
        return {"margin_k": np.min(margins, axis=0)} if margins else {}

    def _flow_weights(self) -> FloatArray:
        """By which the sizes of all flows add up to the loop's: its place's element, or half of what joins it."""
        weights = np.zeros(len(self.thermal.heat.streams))
        loop, place = self.thermal.loop, self.heat.point.loop_flow_at
        if place is None:
            return weights
        names = loop.elements_of[place]
        if len(names) == 1:
            weights[self.thermal.number[names[0]]] = 1.0
            return weights
        for run in loop.layout.runs:
            ends = run.part_ids
            weights[self.thermal.number[run.id]] = 0.5 * ends.count(place)
        return weights
