"""How long a machine stays within its limits after a failure, between bounds that a hand calculation gives."""

from collections.abc import Iterator
from functools import cached_property
from math import inf, log

from loopsim.parts import Block
from loopsim.studies.heat.lumps import lumps_of
from loopsim.studies.heat.results import ComponentHeat, HeatPoint
from loopsim.studies.heat.sources import HeatSources

__all__ = ["Grace"]


class Grace:
    """Bounds of the time from a failure until the first component on a block reaches its limit.

    The lower bound lets nothing but the component and its block's metal take up its heat, and none of it leave:
    ``C (limit - T) / P``. The upper one stirs the whole loop into one lump of capacity ``C`` that gives off heat in
    proportion to its rise above the room, which comes to rest at ``r`` above it: then all temperatures approach their
    ends with the time constant ``C r / P``, so that a component on its way from ``T`` to ``E`` takes
    ``C r / P ln((E - T) / (E - limit))``; where there is no rest, ``C (limit - T) / P`` remains.

    Parameters
    ----------
    healthy : HeatPoint
        At rest before the failure.
    """

    def __init__(self, healthy: HeatPoint) -> None:
        self.healthy = healthy
        self._before = {(each.part, each.name): each for each in healthy.components}

    @cached_property
    def capacity(self) -> float:
        """Heat that the coolant, metal and components of the layout take up for each kelvin [J/K]."""
        coupled = self.healthy.coupled
        lumps = lumps_of(HeatSources(coupled.thermal, self.healthy.case))
        return float(lumps.capacity(coupled.transport.volumetric)[lumps.in_loop].sum())

    def bounds(self, struck: HeatPoint | None) -> tuple[float, float] | None:
        """From a failure to the first limit [s].

        Parameters
        ----------
        struck : HeatPoint or None
            At rest after it, in the same load case; None where there is no rest.

        Returns
        -------
        tuple of float or None
            0 where the limit was passed before; None where all on blocks hold.
        """
        bounds = list(self._of_components(struck))
        if not bounds:
            return None
        least, most = (min(each) for each in zip(*bounds, strict=True))
        return min(least, most), most

    def _of_components(self, struck: HeatPoint | None) -> Iterator[tuple[float, float]]:
        after = self.healthy if struck is None else struck
        on_blocks = (each for each in after.components if each.cooled_by == "coolant" and each.heat > 0)
        for component in on_blocks:
            if struck is not None and component.holds:
                continue
            margin = self._before[component.part, component.name].margin
            margin = 0.0 if margin is None else max(margin, 0.0)
            heat = sum(each.heat for each in after.components if each.part == component.part)
            end = None if struck is None else component.temperature
            alone = _loop_alone(after, component, end, margin, self.capacity)
            yield _own_capacity(after, component) * margin / heat, alone


def _own_capacity(heat: HeatPoint, component: ComponentHeat) -> float:
    """Of a component, those beside it, and the metal of their block [J/K]."""
    block = heat.point.build.part(component.part)
    assert isinstance(block, Block)
    return block.metal_j_k + sum(load.capacity_j_k for load in block.loads)


def _loop_alone(heat: HeatPoint, component: ComponentHeat, end: float | None, margin: float, capacity: float) -> float:
    power, rise = heat.budget.into_coolant, heat.coolant_rise
    if power <= 0:
        return inf
    if rise is None or end is None or component.limit is None or end <= component.limit:
        return capacity * margin / power
    over = end - component.limit
    return capacity * rise / power * log((margin + over) / over)
