"""How running pumps push liquid round a loop that is partly full of air."""

from math import sqrt

import numpy as np
from numpy.typing import NDArray

from loopsim.studies.fill.flow_order import blind_ends, flow_order, strongest_way
from loopsim.studies.fill.flows import passage_flows
from loopsim.studies.fill.simulate import Filling, Vessel
from loopsim.studies.fill.start_up import GAS_DERATING, shut_off_head
from loopsim.studies.results import OperatingPoint
from loopsim.studies.words import NO_FLOW

__all__ = ["Carriage"]

FloatArray = NDArray[np.float64]


class Carriage:
    """One set of running pumps: liquid leaves the vessels, pushes the air ahead of it, and comes back.

    Liquid divides as at the operating point of the full loop. A passage takes it up until only the air that stays
    there is left, then passes it on; a blind one fills from the place where it joins.

    Parameters
    ----------
    filling : Filling
        What is moved.
    point : OperatingPoint
        With just these pumps running.
    stays : ndarray, shape (m,)
        Air that each passage keeps [m3].
    """

    def __init__(self, filling: Filling, point: OperatingPoint, stays: FloatArray) -> None:
        self.filling, self.point, graph = filling, point, filling.graph
        self.most = np.maximum(filling.target - stays, 0.0)
        self.insides: dict[int, Vessel] = {
            place: vessel for vessel in filling.vessels for place in graph.ends[vessel.column].ravel().tolist()
        }
        flow = np.where(filling.circuit & ~filling.in_column, passage_flows(graph, point), 0.0).tolist()
        moving = [
            (passage, *((start, end) if flow[passage] > 0 else (end, start)), abs(flow[passage]))
            for passage, (start, end) in enumerate(graph.ends.tolist())
            if abs(flow[passage]) > NO_FLOW
        ]
        self.order = flow_order(moving, self.insides)
        self.drawn = sum(rate for _, start, _, rate in self.order if start in self.insides)
        self.blind = blind_ends(graph, self.order, self.insides)
        beside = (passage for passages in self.blind.values() for passage in passages)
        self.reached = sorted({*(passage for passage, *_ in self.order), *beside})
        self.way = strongest_way(self.order, self.insides)
        self.head = self._shut_off_head()

    @property
    def room(self) -> float:
        """What the loop can still take up on this way [m3]."""
        lacking = np.maximum(self.most[self.reached] - self.filling.liquid[self.reached], 0.0)
        return float(lacking.sum())

    @property
    def slowness(self) -> float:
        """Flow now over that of the full loop, 0 where the pumps no longer lift the front.

        A pump whose head falls with the square of its flow, in a loop that loses with the square, is left with the
        root of what the columns leave of its head; that is derated for gas, an estimate.
        """
        derated = GAS_DERATING * self.head
        return sqrt(max(1 - max(self.opposing, 0.0) / derated, 0.0)) if derated > 0 else 0.0

    @property
    def opposing(self) -> float:
        """Columns against the pumps along the strongest way from vessel to vessel [m]."""
        if not self.way:
            return 0.0
        filling, heights, volume = self.filling, self.filling.heights, self.filling.graph.volume
        level = filling.level_of(self.insides[self.way[0][1]])
        against, share = float(heights[self.way[0][1]]) - level, 1.0
        for passage, start, end, _ in self.way:
            share = float(filling.liquid[passage] / volume[passage]) if volume[passage] > 0 else share
            against += share * float(heights[end] - heights[start])
        return against + share * (level - float(heights[self.way[-1][2]]))

    def push(self, volume: float) -> float:
        """Move so much out of the vessels [m3]; gives what the loop took up of it."""
        seconds = volume / self.drawn
        filling, liquid = self.filling, self.filling.liquid
        arrived: dict[int, float] = {}
        passed: dict[int, float] = {}
        moved = dict.fromkeys(filling.vessels, 0.0)
        for passage, start, end, rate in self.order:
            through = comes = rate * seconds
            if start in self.insides:
                moved[self.insides[start]] -= through
            else:
                comes = self._passed_on(start, through, arrived, passed)
            stays = min(max(float(self.most[passage] - liquid[passage]), 0.0), comes)
            liquid[passage] += stays
            if liquid[passage] >= self.most[passage]:
                filling.flooded_to[end] = np.inf  # under the pump's pressure, however high it lies
            if end in self.insides:
                moved[self.insides[end]] += comes - stays
            else:
                arrived[end] = arrived.get(end, 0.0) + comes - stays
                passed[end] = passed.get(end, 0.0) + through
        return self._balance(moved)

    def _passed_on(self, place: int, through: float, arrived: dict[int, float], passed: dict[int, float]) -> float:
        """Liquid that goes on from a place into a passage: its share of what has come, blind ends filled first [m3]."""
        arrived[place] = arrived.get(place, 0.0) - self._soak(place, arrived.get(place, 0.0))
        whole = passed.get(place, 0.0)
        return through * min(arrived[place] / whole, 1.0) if whole > 0 else 0.0

    def _soak(self, place: int, arrived: float) -> float:
        """Fill blind ends that hang on a place; gives what they took [m3]."""
        took = 0.0
        for passage in self.blind.get(place, ()):
            room = max(float(self.most[passage] - self.filling.liquid[passage]), 0.0)
            share = min(room, arrived - took)
            self.filling.liquid[passage] += share
            took += share
        return took

    def _balance(self, moved: dict[Vessel, float]) -> float:
        """Put into the vessels what is not in the loop, so that no drop is lost."""
        filling = self.filling
        before = sum(filling.volume_of(each) for each in filling.vessels)
        whole = filling.poured - filling.in_loop
        wanted = {vessel: filling.volume_of(vessel) + gain for vessel, gain in moved.items()}
        off = (whole - sum(wanted.values())) / len(wanted)  # of what goes round without meeting a vessel, and rounding
        for vessel, volume in wanted.items():
            filling.put(vessel, volume + off)
        return before - whole

    def _shut_off_head(self) -> float:
        """Head without flow of the running pumps on the strongest way, at the speeds at which they are set [m]."""
        items = {self.filling.graph.items[passage] for passage, *_ in self.way}
        on_way = [pump.id for pump in self.point.pumps if pump.id in items and pump.state == "running"]
        return sum(shut_off_head(self.point.build, self.point.layout, pump) for pump in on_way)
